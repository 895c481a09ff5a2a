"""The ledger of stems: every lot in every place, moved, sold, used, lost and counted."""

from core.subject import Subject

THROWN = ("toss", "tossed", "compost", "composted", "dump", "dumped", "throw", "threw", "thrown")
"""Words with which all of a lot goes, where no number is written."""

SUBJECT = Subject(
    title="Stock",
    kinds=("moved", "sold", "used", "lost", "counted"),
    verbs={
        "lost": (
            *("lost", "lose", "loss", *THROWN, "discard", "discarded", "bin", "binned"),
            *("dead", "died", "killed", "ate", "eaten"),
        ),
        "sold": ("sold", "sell"),
        "used": ("used", "use"),
        "move": ("move", "moved"),
        "count": ("count", "counted"),
    },
    loose={"lost": ("mold", "mould", "moldy", "mouldy")},
    commands={
        "stock": "what is on hand, with its form, age and place, and the boxes",
        "losses": "what was lost at each step and why, by stage at the cut, in store",
    },
    view="Stock",
    view_key="8",
    rows=("stock",),
    cautions=2,
    keeps=("last_loss",),
)
