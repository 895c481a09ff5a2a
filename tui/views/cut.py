"""Cut: what to look for in the crop that is being written, and the cuts that a number alone repeats."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.widget import Widget

from tui.lines import same_again
from tui.rows import MARK, Column, Line, Row, day_text, head_line, named, plain, table_line
from tui.views.view import TALL, View, row_bindings

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
CARD, CARD_TALL = 10, 15
"""Lines of the stage card, its head counted and its rule not: at 24 rows, and on tall screens."""


HOW = ("Write how many stems, the crop, the bed and the use (fresh, dry or wire):", "  40 strawflower b3 dry")


class Cut(View):
    """The stage card above, the last cuts below; the entry line has the keys."""

    VIEW = "cut"
    EMPTY = "No cut is written yet. Write one, such as: 40 strawflower b3 dry"
    BINDINGS = row_bindings("cut")

    def compose(self) -> ComposeResult:
        self.strip.styles.height = self.detail_lines + 1
        yield self.strip
        yield self.list

    @property
    def detail_lines(self) -> int:
        return CARD if self.app.size.height < TALL else CARD_TALL

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
        rule = ((self.glyphs.rule * (self.width + MARK), "quiet"),)
        room = self.detail_lines
        if card is None:
            body = plain(HOW, "quiet")
        else:
            warn = list(card.warn)[: room - 2]
            look = list(card.look)[: room - 1 - len(warn)]
            body = [((f"{card.crop} for {card.use}", "title"),), *plain(look), *plain(warn, "caution")]
        self.strip.show([*body, *[()] * (room - len(body)), rule])

    @property
    def wants_keys(self) -> Widget:
        from tui.widgets.entry_line import EntryLine

        return self.screen.query_one(EntryLine)
