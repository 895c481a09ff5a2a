"""When what hangs is dry: weighings, curves, the lot's own clock, the shelf."""

from core.subject import Subject

SUBJECT = Subject(
    title="Drying",
    kinds=("hung", "weighed", "tested"),
    verbs={
        "hang": ("hang", "hung", "hanging"),
        "snap": ("snaps", "snapped"),
        "bend": ("bends", "bend", "bent"),
        "weigh": ("weigh", "weighed"),
    },
    loose={"snap": ("snap",), "weigh": ("",)},
    begins=("snap",),
    commands={"shelf": "what hangs, how far it has dried and by what; and the bucket"},
    view="Shelf",
    view_key="6",
    rows=("hanging",),
    asks=("shelf",),
    keeps=("lots",),
    events=("drying",),
)
