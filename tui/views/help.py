"""Help for one view: its keys from the key table, its lines from the guide of the entry line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.language.guide import guide
from tui.keys import ENTRY, EVERYWHERE, KINDS, LIST, ROWS, VIEWS, Key
from tui.rows import Line, Row, fit, wrap
from tui.views.view import View

if TYPE_CHECKING:
    from core.door import Door

KIND_NAMES = {
    "tray": "On a tray",
    "planting": "On a planting",
    "bed": "On an empty bed",
    "hanging": "On what hangs",
    "fresh": "On what is fresh",
    "heads": "On wired heads",
    "piece": "On a piece",
    "recipe": "On a recipe",
    "stock": "On a lot",
    "box": "On a box",
    "making": "On makings",
    "to cut": "On what to cut",
    "planned": "On what a plan asks for",
    "plan": "On a plan",
    "room": "On room of trays or lines",
}


JOBS = {
    "today": ("Weather and frost", "Cut"),
    "trays": ("Seed and trays",),
    "beds": ("Beds",),
    "cut": ("Cut",),
    "buckets": ("Stock", "Hang, wire, box", "The shed"),
    "shelf": ("Hang, wire, box", "The shed"),
    "bench": ("Pieces and makings", "Hang, wire, box"),
    "lot": ("Hang, wire, box", "Stock"),
    "stock": ("Stock", "In store", "The book"),
    "plan": ("What is to come",),
    "weather": ("Weather and frost",),
}
"""Which jobs of the guide a view is about."""


class Help(View):
    """A page to scroll through; any view's, for it is asked which."""

    ruled = False

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.about = "today"

    @property
    def below_lines(self) -> int:
        return 0

    def below(self) -> list[Line]:
        return []

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        rows: list[Row] = []
        for kind in KINDS.get(self.about, ()):
            if ROWS[kind]:
                rows += [_row(KIND_NAMES[kind], "head"), *(_key(k, self.width) for k in ROWS[kind])]
        first = JOBS.get(self.about, ())
        for name in first:
            rows += self._job(name)
        rows += [_row("In the entry line", "head"), *(_key(k, self.width) for k in ENTRY)]
        views = Key("", (), "1 to 9, 0", "", "go to " + ", ".join(VIEWS.values()))
        always = (views, *(k for k in EVERYWHERE if not k.id.startswith("show.")), *LIST)
        rows += [_row("Everywhere", "head"), *(_key(k, self.width) for k in always)]
        for job in guide():
            if job.name not in first:
                rows += self._job(job.name)
        return f"Help for {VIEWS.get(self.about, self.about)}: Esc or ? goes back", rows

    def _job(self, name: str) -> list[Row]:
        """The lines for one job of the guide."""
        job = next(job for job in guide() if job.name == name)
        rows = [_row(f"Lines to write: {job.name}", "head")]
        for line, does in job.examples:
            rows += self._example(line, does)
        return rows

    def _example(self, line: str, does: str) -> list[Row]:
        wide = 34 if self.width >= 70 else 24
        if len(line) < wide:
            lines = wrap(does, self.width - wide)
            first = Row("", ((fit(line, wide), "key"), (lines[0], "")))
            return [first, *(_row(" " * wide + more) for more in lines[1:])]
        return [_row(line, "key"), *(_row(" " * wide + more) for more in wrap(does, self.width - wide))]


def _row(text: str, look: str = "") -> Row:
    return Row("", ((text, look),))


def _key(key: Key, width: int) -> Row:
    return Row("", ((fit(key.shown, 9) + " ", "key"), (fit(key.words, width - 10).rstrip(), "")))
