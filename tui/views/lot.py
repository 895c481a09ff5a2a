"""A lot's own page: where its stems are, what became of them, how its drying goes, and its whole story."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from core.dialect import told_time
from core.places import Place
from core.problems import Problem
from core.stems.rows import stock_rows
from core.text import named, wrap
from core.units import day_text, plural
from tui.lot_page import page_of
from tui.phrases import because, strip
from tui.row_keys import Row, RowSort
from tui.subjects.drying import HANGING, about_hanging
from tui.subjects.fresh import FRESH
from tui.subjects.stems import STOCK
from tui.table import Line, fit
from tui.views.view import View

if TYPE_CHECKING:
    from core.lot_page import LotPage, PlaceNow
    from core.session import Session

PLOT_FROM = 78
"""Columns from which the plot of the weighings has room."""
STORY = 17
"""Columns before a line of the story: its day, its year where that is not the cut's, and who wrote it."""
USES = {"dry": "to be dried", "wire": "to be wired", "fresh": "to be sold fresh"}


class Lot(View):
    """Opened on a row of one lot; Esc goes back. Its places are rows, with the keys they have in their own views."""

    SORTS = ("hanging", "fresh", "stock")
    JOBS = ("Hang, wire, box", "Stock")
    code = ""

    def speak_of(self, over: str, row: Row | None) -> None:
        if row is not None:
            self.code = row.id[1]

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        page = page_of(session, self.code)
        if isinstance(page, Problem):
            return f"{self.code}: Esc goes back", [Row((), ((page.sentence, "quiet"),))]
        stock = {r.place: r for r in stock_rows(session.farm, session.today) if r.lot == page.lot}
        hanging = {r.line: r for r in page.hanging}
        fresh = {r.place: r for r in page.fresh}
        rows = list(self._text(self._came(page)))
        sorts: tuple[tuple[RowSort, Mapping[Place, Any]], ...] = (
            (HANGING, hanging),
            (FRESH, fresh),
            (STOCK, stock),
        )
        for place in page.places:
            for sort, there in sorts:
                if place.place in there:
                    rows.append(self._place(page, place, sort, there[place.place]))
                    break
        if not page.places:
            rows += self._text("nothing of it is left")
        rows += self._lost(page)
        rows += self._drying(page)
        rows += [Row((), ()), _head("Its story")]
        for told in page.story:
            says = f"{told.says} ({told.mark})" if told.mark else told.says
            first, *rest = wrap(says, self.width - STORY, hang=0)
            year = "" if told.on[:4] == page.cut_on[:4] else told.on[:4]
            day = f"{day_text(told.on):7}{year:5}"
            rows.append(Row((), ((f"{day}{fit(told.by, 4)} ", "quiet"), (first, ""))))
            rows += [Row((), ((" " * STORY + more, ""),)) for more in rest]
        name = named(page.crop, page.variety, page.way)
        return f"{fit(f'{page.lot} {name}', self.width - 14)}Esc goes back", rows

    def _came(self, page: LotPage) -> str:
        at = f" at {told_time(page.cut_at)}" if page.cut_at else ""
        stage = f", stage: {page.stage}" if page.stage else ""
        return (
            f"cut {day_text(page.cut_on)}{at} from bed {page.bed}, {USES.get(page.use, page.use)}{stage}; "
            f"{page.adds_up.replace(' cut', '', 1)}"
        )

    def _place(self, page: LotPage, place: PlaceNow, sort: RowSort, value: Any) -> Row:
        bound = (
            f" of {place.per}" if place.unit == "bunches" else f" in {place.per}s" if place.per > 1 else ""
        )
        grade = f", {place.grade}" if place.grade else ""
        count = f"{place.on_hand} {place.unit}{bound}{grade}"
        text = f"{place.place:8} {count}, {place.form} since {day_text(place.since)}"
        return Row(sort.id(page.lot, place.place), ((fit(text, self.width).rstrip(), "bold"),), sort, value)

    def _lost(self, page: LotPage) -> Iterator[Row]:
        if page.lost_by_cause:
            by = ", ".join(f"{stems} {cause}" for cause, stems in page.lost_by_cause.items() if stems > 0)
            if by:
                yield from self._text(f"lost: {by}")

    def _drying(self, page: LotPage) -> Iterator[Row]:
        if not (page.hanging or page.weighings):
            return
        yield Row((), ())
        yield _head("Its drying")
        if page.drying is not None:
            yield from self._text(page.drying.says)
        if page.plot and self.width >= PLOT_FROM:
            for line in page.plot:
                yield Row((), ((line, ""),))
        else:
            for w in page.weighings:
                yield Row(
                    (),
                    (
                        (
                            fit(f"{day_text(w.on)} {told_time(w.clock)}  {w.grams:g} g", self.width).rstrip(),
                            "",
                        ),
                    ),
                )
        for hanging in page.hanging:
            for why in hanging.why:
                yield from self._text(f"- {why}")
        if page.weighings:
            yield from self._text(f"- {page.crop} {page.keeps}")

    def _text(self, text: str, look: str = "") -> Iterator[Row]:
        for line in wrap(text, self.width, hang=2):
            yield Row((), ((line, look),))

    def detail(self, row: Row) -> list[Line]:
        if row.sort is HANGING:
            return about_hanging(row.value, self.width)
        said = plural(row.value.stems, "stem")
        return strip(
            self.width,
            (f"{row.value.lot}: {said} in {row.value.place}", "bold"),
            (because(row.value.because), ""),
        )


VIEW = Lot


def _head(text: str) -> Row:
    return Row((), ((text, "head"),))
