"""Two machines brought to the same book over a line between them, such as ssh: each sends what the other lacks."""

from core.subject import Subject

SUBJECT = Subject(
    title="Two machines",
    commands={"meet": "bring this book and the one on another machine to the same, over ssh: meet shed:farm"},
    asks=("meeting",),
)
