"""The shed as a place: its air, its lines, what suffers first."""

from core.subject import Subject

SUBJECT = Subject(
    title="The shed",
    kinds=("line", "air", "air range"),
    verbs={"room": ("room",)},
    loose={"shed": ("shed", "cooler"), "line": ("line",)},
    begins=("shed", "cooler", "line"),
    commands={"shed": "the air of the drying shed, its lines, and what damp hurts first"},
    cautions=3,
    keeps=("air", "air_ranges", "lines", "capacity"),
)
