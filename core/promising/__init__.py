"""What can be promised: what is there and growing against what is promised, and what to cut for it in the morning."""

from core.subject import Subject

SUBJECT = Subject(
    title="Promises",
    commands={
        "promise": "whether so many can be promised for a day: surely, likely or no, and why",
        "cutlist": "what to cut this morning, bed by bed, and for which promise",
    },
    view="Promised",
    view_key="P",
    rows=("promised", "asked cut"),
    asks=("cut_list", "short"),
    keeps=("orders",),
    answers=("ordered", "cut"),
    doubts=("sold", "used", "picked", "handed over", "piece sold"),
)
