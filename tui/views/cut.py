"""Cut: what to look for in the crop that is being written, and the cuts that a number alone repeats."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from core.text import named
from core.units import day_text
from tui.lines import same_again
from tui.rows import Column, Line, Row, head_line, plain, table_line, wrap
from tui.views.view import View, by_height

if TYPE_CHECKING:
    from core.crops.stages import StageCard
    from core.door import Door

COLUMNS = (
    Column("on", 6),
    Column("crop", 0),
    Column("bed", 6),
    Column("use", 6),
    Column("stems", 6, right=True),
    Column("lot", 7),
)
LOOK_BACK = 400
"""Entries looked through for cuts to repeat."""

HOW = ("Write how many stems, the crop, the bed and the use (fresh, dry or wire):", "  40 strawflower b3 dry")


WARNING_LOOKS = {"Too ": "bold", "Sources differ": "quiet", "Hurt by": ""}
"""How a warning of the card looks, by its beginning; what is left can hurt someone."""


class Cut(View):
    """The stage card above, the last cuts below; the entry line has the keys."""

    EMPTY = "No cut is written yet. Write one, such as: 40 strawflower b3 dry"
    TYPES = True

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.door: Door | None = None
        self.typed: tuple[str, str] | None = None
        """Crop and use of the line being typed, once both are understood."""

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        self.door = door
        again: dict[tuple[Any, ...], Row] = {}
        for entry in door.recent(LOOK_BACK):
            f = entry.fields
            if entry.kind == "cut":
                what = (f["crop"], f.get("variety"), f["bed"], f["use"])
                again.setdefault(what, Row(str(what), self._line(entry.on, f), "cut", f))
        return head_line(COLUMNS, self.width), list(again.values())

    def _line(self, on: str, f: Mapping[str, Any]) -> Line:
        texts = (
            day_text(on),
            named(f["crop"], f.get("variety")),
            f["bed"],
            f["use"],
            str(f["stems"]),
            f["lot"],
        )
        return ((table_line(COLUMNS, texts, self.width), ""),)

    def again(self, text: str) -> str:
        """What `text`, a number alone, needs to repeat the chosen cut; "" where it says more."""
        row = self.listing.row
        return same_again(text, row.value) if row else ""

    @property
    def below_lines(self) -> int:
        return 0

    def below(self) -> list[Line]:
        return []

    def above(self) -> list[Line]:
        """The stage card of what is typed, else of the cut under the cursor."""
        room = by_height(self.screen_rows, 3, 10, 15)
        card = self._card()
        if card is None:
            body = plain(HOW, "quiet")
        else:
            warn = _warnings(self._fitting(card.warn)[: room - 2])
            look = plain(self._fitting(card.look)[: room - 1 - len(warn)])
            body = [((f"{card.crop} for {card.use}", "title"),), *look, *warn]
        return [*body, *[()] * (room - len(body)), self.rule_line(self.listing.more)]

    def _fitting(self, lines: Sequence[str]) -> list[str]:
        """Lines of a card, wrapped again where the screen is narrow."""
        return [
            part
            for line in lines
            for part in ([line] if len(line) <= self.columns else wrap(line, self.columns))
        ]

    def _card(self) -> StageCard | None:
        row = self.listing.row
        wanted = self.typed or (row and (row.value["crop"], row.value["use"]))
        return self.door.stage_card(*wanted) if wanted and self.door else None


def _warnings(lines: list[str]) -> list[Line]:
    """The warnings of a card; a line that is set in goes on with the one before."""
    look = "caution"
    shown: list[Line] = []
    for text in lines:
        if not text.startswith(" "):
            look = next((k for start, k in WARNING_LOOKS.items() if text.startswith(start)), "caution")
        shown.append(((text, look),))
    return shown
