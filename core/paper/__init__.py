"""Paper: labels and tags with a code on them, and sheets to carry along or fill in, as PDF."""

from core.subject import Subject

SUBJECT = Subject(
    title="Paper",
    commands={
        "labels": "labels or tags of lots and trays, with a code to scan, as PDF",
        "sheet": "the cut list, a pick list, a packing slip, a map of the beds or a day's sheet, as PDF",
    },
)
