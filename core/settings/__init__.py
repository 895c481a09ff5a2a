"""What the farm told the book about itself: its place, its frost dates, its own figures; and its notes."""

from core.subject import Subject

SUBJECT = Subject(
    title="The book",
    kinds=("farm", "crop", "sheet", "variety sheet", "note", "settled", "strike"),
    verbs={
        "crop": ("crop",),
        "sheet": ("sheet",),
        "bloom": ("bloom", "blooms"),
        "farm": ("farm",),
        "note": ("note",),
        "settled": ("settled",),
        "undo": ("undo",),
        "strike": ("strike", "struck", "cancel", "canceled", "cancelled"),
    },
    commands={
        "crop": "one crop's sheet, every figure with its source",
        "sheets": "your own crops and figures as a file for another farm: out FILE, in FILE",
    },
)
