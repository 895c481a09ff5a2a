"""What is fresh, in the bucket and the cooler: how much of its days in the vase is used."""

from core.subject import Subject

SUBJECT = Subject(
    title="Buckets",
    asks=("fresh",),
    keeps=("lots",),
    commands={"buckets": "what is fresh, what is left of its vase life, and what to do with it today"},
    view="Buckets",
    view_key="5",
    rows=("fresh",),
)
