"""The calendar: what the subjects have for whole days, as a file that phones and other programs read (RFC 5545)."""

from core.subject import Subject

SUBJECT = Subject(
    title="Calendar",
    commands={"calendar": "jobs, windows and orders as a calendar file (iCalendar), kept up to date"},
)
