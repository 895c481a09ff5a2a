"""The field record: what was sprayed and fed by which label, when a bed is closed, water, rain, soil tests, minutes."""

from core.subject import Subject

SUBJECT = Subject(
    title="Field record",
    kinds=("sprayed", "fed", "watered", "rain", "soil tested", "worked"),
    verbs={
        "spray": ("spray", "sprayed", "spraying", "drench", "drenched"),
        "feed": ("feed", "fed", "feeding", "fertilize", "fertilized", "fertilise", "fertilised"),
        "water": ("water", "watered", "watering", "irrigate", "irrigated", "drip"),
        "soil": ("soil",),
        "worked": (
            *("worked", "weed", "weeded", "weeding", "hoe", "hoed", "hoeing", "mulch", "mulched", "mulching"),
            *("thin", "thinned", "thinning", "stake", "staked", "staking", "till", "tilled", "tilling"),
            *(
                "disbud",
                "disbudded",
                "disbudding",
                "deadhead",
                "deadheaded",
                "deadheading",
                "prune",
                "pruned",
            ),
            *("pruning", "mow", "mowed", "mowing", "scouted", "scouting"),
        ),
    },
    loose={"rain": ("rain", "rained")},
    begins=("rain",),
    commands={
        "record": "what an inspector asks for: sprays, feeds, water, soil tests of a year; --posted, --minutes",
    },
    view="Field",
    view_key="F",
    rows=("closed bed", "field entry"),
    asks=("closed",),
    cautions=3,
    doubts=(
        *("cut", "set out", "drilled", "pinched", "netted", "covered", "uncovered", "cleared", "lifted"),
        *("worked", "lost", "up", "step", "pricked out", "potted on"),
    ),
    events=("closed",),
)
