"""Trays: sown, up, pricked out, potted on, hardened off step by step, set out or lost."""

from core.subject import Subject

SUBJECT = Subject(
    title="Trays",
    kinds=("sown", "up", "pricked out", "potted on", "step", "held", "lost"),
    verbs={
        "sow": ("sow", "sown", "sowed", "sowing", "seed", "seeded", "seeding", "start", "started"),
        "up": ("up", "emerged", "germinated", "sprouted"),
        "prick": ("prick", "pricked"),
        "pot": ("pot", "potted", "bump", "bumped"),
        "step": ("step", "stepped"),
        "hold": ("hold", "held", "keep", "kept", "brought"),
        "lost": (),
    },
    commands={"trays": "trays, their hardening and when they go out"},
    view="Trays",
    view_key="2",
    rows=("tray",),
    asks=("trays",),
    keeps=("trays",),
    events=("trays",),
)

MAY_STEP = ("step", "begin step")
"""What is asked of a tray that nothing keeps in today; told here for screens that need not load its rows."""
