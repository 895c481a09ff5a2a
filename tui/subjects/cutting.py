"""Cut: what to look for in the crop that is being written, and the cuts that a number alone repeats."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from core.book.entry import Entry
from core.cutting.said import grown_for
from core.patterns import pattern
from core.places import USES
from core.settings.sheets import card_for
from core.text import named, wrap
from core.units import day_text
from tui.letters import deed
from tui.phrases import plain
from tui.row_keys import Row, RowSort
from tui.subjects.beds import cut_here
from tui.table import Column, Line
from tui.views.view import View, by_height

if TYPE_CHECKING:
    from core.crops.stages import StageCard
    from core.language.complete import Completion
    from core.session import Session


def _field(name: str, head: str = "", width: int = 6, *, right: bool = False) -> Column:
    return Column("fields", head or name, width, lambda fields: fields[name], right=right)


COLUMNS = (
    Column("on", "on", 6, day_text),
    Column("fields", "crop", show=lambda f: named(f["crop"], f.get("variety"))),
    _field("bed"),
    _field("use"),
    _field("stems", right=True),
    _field("lot", width=7),
)
LOOK_BACK = 400
"""Entries looked through for cuts to repeat."""
HOW = ("Write how many stems, the crop, the bed and the use (fresh, dry or wire):", "  40 strawflower b3 dry")
WARNING_LOOKS = {"stage": "bold", "ethylene": "", "caution": "caution", "sources": "quiet"}
"""How a warning of the card looks, by what it is about."""

CUT = RowSort("cut", "On a cut", view="cut")
TO_CUT = RowSort(
    "to cut",
    "On what to cut",
    (deed("cut", "cut", "write a cut from here, its stage card in sight", cut_here),),
    view="cut",
)
ROWS = (CUT, TO_CUT)

_ONLY_HOW_MANY = pattern(
    r"\s*\d+(\s+stems?)?(\s+\d+\s*min)?(\s+(\d+\s+culls?|culls?\s+\d+)(\s+[a-z-]+)?)?(\s+\d+\s*min)?\s*",
    re.IGNORECASE,
)


def same_again(text: str, cut: Mapping[str, Any]) -> str:
    """What has to follow `text` to repeat `cut`; "" where it says more than how many, culls and minutes."""
    if not _ONLY_HOW_MANY.fullmatch(text):
        return ""
    variety = cut.get("variety")
    quoted = f'"{variety}"' if variety and " " in variety else variety
    return " " + " ".join(filter(None, (cut["crop"], quoted, cut["bed"], cut["use"])))


class Cut(View):
    """The stage card above, the last cuts below; a number alone, after w, repeats the one under the cursor."""

    EMPTY = "No cut was written lately. Write one, such as: 40 strawflower b3 dry"
    TYPES = True
    SORTS = ("cut",)
    JOBS = ("Cut",)

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.session: Session | None = None
        self.typed: tuple[str, str] | None = None
        """Crop and use of the line being typed, once the crop is understood."""

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        self.session = session
        last: dict[tuple[str, ...], Entry] = {}
        for entry in session.recent(LOOK_BACK):
            if entry.kind == "cut":
                last.setdefault(_what(entry), entry)
        return self.table(COLUMNS, list(last.values()), CUT, _what)

    def look_at(self, session: Session, text: str, meant: Completion) -> bool:
        use = meant.use or (grown_for(session.farm, meant.crop) if meant.crop else None)
        self.typed = (meant.crop, use or USES[0]) if meant.crop else None
        return True

    def written(self, entries: Sequence[Entry]) -> None:
        if any(entry.kind == "cut" for entry in entries):
            self.listing.edge(-1)  # a number alone now repeats this one

    def again(self, text: str) -> str:
        """What `text`, a number alone, needs to repeat the chosen cut; "" where it says more."""
        row = self.listing.row
        return same_again(text, row.value.fields) if row else ""

    @property
    def below_lines(self) -> int:
        return 0

    def below(self) -> list[Line]:
        return []

    def above(self) -> list[Line]:
        """The stage card of what is typed, else of the cut under the cursor."""
        room = by_height(self.screen_rows, 10, 15)
        card = self._card()
        if card is None:
            body = plain(HOW, "quiet")
        else:
            warn = [
                ((part, WARNING_LOOKS[sort]),)
                for line, sort in zip(card.warn, card.sorts, strict=True)
                for part in self._fitting([line])
            ][: room - 2]
            look = plain(self._fitting(card.look)[: room - 1 - len(warn)])
            body = [((f"{card.crop} for {card.use}", "title"),), *look, *warn]
        return [*body, *[()] * (room - len(body)), self.rule_line(self.listing.more)]

    def _fitting(self, lines: Sequence[str]) -> list[str]:
        """Lines of a card, wrapped again where the screen is narrow."""
        return [part for line in lines for part in wrap(line, self.columns, hang=2)]

    def _card(self) -> StageCard | None:
        row = self.listing.row
        wanted = self.typed or (row and (row.value.fields["crop"], row.value.fields["use"]))
        return card_for(self.session.farm, *wanted) if wanted and self.session else None


VIEW = Cut


def _what(cut: Entry) -> tuple[str, ...]:
    """What was cut: crop, variety, bed and use, whatever the day."""
    fields = cut.fields
    return fields["crop"], fields.get("variety") or "", fields["bed"], fields["use"]
