"""The cut: stems of one crop from one bed at one time become a lot in the bucket."""

from core.subject import Subject

SUBJECT = Subject(
    title="Cutting",
    kinds=("cut",),
    verbs={
        "cut": (
            *("cut", "cutting", "harvest", "harvested", "harvesting", "pick", "picked", "picking"),
            *("gather", "gathered"),
        ),
        "lost": (),
    },
    loose={"cut": ("",)},
    view="Cut",
    view_key="4",
    rows=("cut", "to cut"),
    asks=("at_stage",),
    cares=True,
    keeps=("plantings",),
)
