"""Planning backward: from the stems promised to the seed, and what room that takes."""

from core.subject import Subject

SUBJECT = Subject(
    title="What is to come",
    kinds=("planned", "planned pieces", "dropped", "capacity"),
    hears=("sown", "set out", "drilled", "cut", "made"),
    verbs={"plan": ("plan", "planned"), "drop": ("drop", "dropped"), "room": ("room",)},
    commands={"plan": "the kept plans, and the room there is; with what is wanted, what that takes"},
    view="Plan",
    view_key="9",
    rows=("plan", "planned", "room", "ground"),
    asks=("plans",),
    keeps=("plans", "piece_plans"),
    events=("plans",),
)
