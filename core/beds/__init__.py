"""Beds and what stands in them: set out or drilled, pinched, netted, covered, cleared."""

from core.subject import Subject

SUBJECT = Subject(
    title="Beds",
    kinds=("bed", "drilled", "set out", "pinched", "netted", "covered", "uncovered", "cleared", "lost"),
    verbs={
        "set out": ("set", "setting"),
        "plant": ("plant", "planted"),
        "drill": ("drill", "drilled"),
        "pinch": ("pinch", "pinched"),
        "net": ("net", "netted"),
        "cover": ("cover", "covered"),
        "uncover": ("uncover", "uncovered"),
        "clear": ("clear", "cleared"),
        "lost": ("lost", "lose", "loss"),
    },
    loose={"bed": ("bed",)},
    begins=("bed",),
    commands={"beds": "beds, what stands in them and what it needs"},
    view="Beds",
    view_key="3",
    rows=("planting", "bed"),
    hears=("low",),
    asks=("beds",),
    keeps=("plantings",),
)
