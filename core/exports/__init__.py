"""What leaves the book for other programs: tables for a spreadsheet, all of them in one folder."""

from core.subject import Subject

SUBJECT = Subject(
    title="Tables",
    commands={"out": "every table of the book into a folder, for a spreadsheet (CSV)"},
)
