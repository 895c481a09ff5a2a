"""Mistakes in the book, and how they are put right: what is corrected, and every entry to be seen."""

from core.subject import Subject

SUBJECT = Subject(
    title="Put right",
    kinds=("correct",),
    verbs={"correct": ("was", "correct")},
    view="Entries",
    view_key="e",
    rows=("entry",),
)
