"""Past seasons: cuts, sales and sowings from before the book, brought in from tables she kept elsewhere."""

from core.subject import Subject

SUBJECT = Subject(
    title="Past seasons",
    kinds=("past cut", "past sale", "past sowing"),
    commands={
        "bring": "cuts, sales or sowings of past seasons out of a table (CSV), all of it or none",
        "past": "what was brought in of past seasons, by year and crop",
    },
)
