"""Tubers, corms and roots that spend the winter in store: lifted, divided, looked over, planted out again, forced."""

from core.subject import Subject

SUBJECT = Subject(
    title="Tubers",
    kinds=(
        "lifted",
        "divided",
        "tubers bought",
        "tubers lost",
        "tubers sold",
        "tubers checked",
        "tubers counted",
        "bulbs chilled",
        "bulbs forced",
        "forced cleared",
        "tubers washed",
        "tubers stored",
    ),
    verbs={
        "lift": ("lift", "lifted", "dig", "dug"),
        "divide": ("divide", "divided"),
        "bought": (),
        "lost": (),
        "sold": (),
        "check": (),
        "count": (),
        "clear": (),
        "store": (),
        "wash": (),
        "force": ("force", "forced", "forcing", "chill", "chilled"),
    },
    loose={"store": ("store", "stored"), "wash": ("wash", "washed", "clean", "cleaned")},
    hears=("set out", "cut"),
    commands={"tubers": "what lies in store for the winter, by variety, and what became of it"},
    view="Tubers",
    view_key="T",
    rows=("tuber",),
    asks=("forcing",),
    events=("forcing",),
)
