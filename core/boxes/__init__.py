"""Boxes of dry stock: where they stand, the looks into them for moth and damp, and what is done about either."""

from core.subject import Subject

SUBJECT = Subject(
    title="Boxes",
    kinds=("boxed", "box", "box checked", "box treated"),
    verbs={
        "box": ("boxed", "boxing"),
        "check": ("check", "checked", "look", "looked"),
        "freeze": ("freeze", "frozen", "froze"),
        "warm": ("warm", "warmed"),
    },
    loose={"box": ("box",), "where": ("box",), "check": ("box",)},
    begins=("box",),
    rows=("box",),
    asks=("boxes",),
    keeps=("lots", "boxes"),
    events=("boxes",),
)
