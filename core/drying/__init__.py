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
    asks=("shelf",),
    keeps=("lots",),
)
