"""The look back: her own figures from the record beside the published ones, what cost her, and the season as a page."""

from core.subject import Subject

SUBJECT = Subject(
    title="Looking back",
    kinds=("in vase", "left out"),
    loose={"vase": ("vase",), "leave out": ("leave", "left")},
    begins=("vase",),
    commands={
        "learn": "your own figures by your record, beside the sheet's, and which to change",
        "season": "the season as a page: weeks across, crops down, cut, sold, lost, taken, beside the one before",
        "draft": "next season's first plan, from this season's orders and sales, each line with why",
        "cost": "what cost you: losses by what went with them, plans against what was done, gaps, what was told short",
    },
    view="Season",
    rows=("season", "draft", "draft pieces", "own figure"),
)
