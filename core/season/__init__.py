"""The season: what winter asks of a farm whose beds are bare, and the first dates that are coming."""

from core.subject import Subject

SUBJECT = Subject(
    title="Season",
    kinds=("put off",),
    verbs={"put off": ("postpone", "postponed"), "divide": ()},
    loose={"put off": ("yet",)},
    asks=("season", "years"),
)
