"""Beds and what stands in them: set out or drilled, pinched, netted, covered, cleared."""

from core.subject import Subject

SUBJECT = Subject(
    title="Beds",
    kinds=(
        "bed",
        "drilled",
        "set out",
        "pinched",
        "netted",
        "declined",
        "covered",
        "uncovered",
        "cleared",
        "lost",
    ),
    verbs={
        "set out": ("set", "setting", "transplant", "transplanted", "transplanting"),
        "plant": ("plant", "planted", "planting"),
        "drill": ("drill", "drilled", "direct", "direct-sow", "direct-sowed", "direct-sown", "direct-seed"),
        "sow": (),
        "pinch": ("pinch", "pinched"),
        "net": ("net", "netted"),
        "cover": ("cover", "covered", "fleece", "fleeced"),
        "uncover": ("uncover", "uncovered"),
        "clear": ("clear", "cleared"),
        "lost": (),
    },
    loose={"bed": ("bed", "beds")},
    begins=("bed",),
    commands={"beds": "beds, what stands in them and what it needs"},
    view="Beds",
    view_key="3",
    rows=("planting", "bed"),
    hears=("low",),
    asks=("beds",),
    cautions=4,
    keeps=("plantings",),
    events=("beds", "cutting"),
)
