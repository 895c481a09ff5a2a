"""Cut: what to look for in the crop that is being written, and the cuts that a number alone repeats."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult

from tui.lines import same_again
from tui.rows import Column, Line, Row, day_text, head_line, named, plain, table_line
from tui.views.view import View, row_bindings

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
CARD = 11
"""Lines of the stage card, its head counted."""


HOW = ("Write how many stems, the crop, the bed and the use (fresh, dry or wire):", "  40 strawflower b3 dry")


class Cut(View):
    """The stage card above, the last cuts below; the entry line has the keys."""

    VIEW = "cut"
    EMPTY = "No cut is written yet. Write one, such as: 40 strawflower b3 dry"
    BINDINGS = row_bindings("cut")

    def compose(self) -> ComposeResult:
        self.strip.styles.height = CARD
        yield self.strip
        yield self.list

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
        row = self.list.row
        return same_again(text, row.value) if row else ""

    def say(self, row: Row | None) -> None:
        if row is None:
            self.card(None)
        else:
            self.card(self.door.stage_card(row.value["crop"], row.value["use"]))

    def card(self, card: StageCard | None) -> None:
        """Show what to look for."""
        rule = ((self.glyphs.rule * (self.width + 2), "quiet"),)
        if card is None:
            self.strip.show([*plain(HOW, "quiet"), *[()] * (CARD - 1 - len(HOW)), rule])
            return
        head: Line = ((f"{card.crop} for {card.use}", "title"),)
        room = CARD - 2
        warn = list(card.warn)[:room]
        look = list(card.look)[: room - len(warn)]
        body = [head, *plain(look), *plain(warn, "caution")]
        self.strip.show([*body, *[()] * (CARD - 1 - len(body)), rule])

    def take_focus(self) -> None:
        from tui.widgets.entry_line import EntryLine

        self.screen.query_one(EntryLine).focus()
