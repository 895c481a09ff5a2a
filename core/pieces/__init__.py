"""Wiring, recipes, pieces made of what is on hand, and the makings that go into them."""

from core.subject import Subject

SUBJECT = Subject(
    title="Pieces",
    kinds=("wired", "recipe", "part", "made", "piece sold", "piece lost"),
    hears=("used", "spent"),
    verbs={
        "wire": ("wired", "wiring"),
        "recipe": ("recipe",),
        "part": ("part",),
        "make": ("make", "made"),
        "drop": ("drop", "dropped"),
        "sold": ("sold", "sell"),
        "lost": (),
        "used": (),
    },
    loose={"wire": ("wire",)},
    commands={"bench": "wired heads, pieces and supplies; what can be made, what is short of an order"},
    view="Bench",
    view_key="7",
    rows=("recipe", "piece", "heads"),
)
