"""Search: everything that the book has a name for, by words that she types; and what was noted."""

from core.subject import Subject

SUBJECT = Subject(
    title="Search",
    commands={"find": "search lots, beds, crops, buyers, orders, trays, places, supplies and notes at once"},
)
