"""Bench: heads to wire and wired, what could be made of what is dry, pieces on hand, makings to buy."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.text import named
from core.units import day_text, number, number_or_blank, plural
from tui.rows import Column, Line, Row, head_line, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from typing import Any

    from core.door import Door
    from core.pieces.bench import HeadsRow, MakingRow, PieceRow, RecipeRow, ToWireRow

TO_WIRE = (
    Column("lot", 6),
    Column("to wire", 0),
    Column("heads", 6, right=True),
    Column("by", 7, right=True),
    Column("takes about", 14, right=True, least=60),
)
HEADS = (
    Column("wired heads", 0),
    Column("heads", 6, right=True),
    Column("age", 6, right=True),
    Column("gauge", 40, least=74),
)
RECIPES = (
    Column("recipe", 0),
    Column("sort", 12, least=60),
    Column("could make", 10, right=True),
    Column("limited by", 26),
)
PIECES = (
    Column("piece", 6),
    Column("recipe", 0),
    Column("on hand", 8, right=True),
    Column("made", 7, right=True),
    Column("min each", 8, right=True, least=60),
)
MAKINGS = (
    Column("making", 0),
    Column("there", 8, right=True),
    Column("buy at", 7, right=True, least=60),
    Column("", 44),
)


class Bench(View):
    """What must be done today first."""

    EMPTY = "Nothing is on the bench. Begin with a recipe: recipe wreath-12 as wreath 12in"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        bench = door.bench()
        self.cautions = bench.cautions
        parts = [
            self._part(
                TO_WIRE, [Row(f"{r.lot} {r.place}", self._to_wire(r), "fresh", r) for r in bench.to_wire]
            ),
            self._part(
                RECIPES, [Row(f"recipe {r.recipe}", self._recipe(r), "recipe", r) for r in bench.recipes]
            ),
            self._part(PIECES, [Row(r.piece, self._piece(r), "piece", r) for r in bench.pieces]),
            self._part(HEADS, [Row(_heads_key(r), self._heads(r), "heads", r) for r in bench.heads]),
            self._part(
                MAKINGS, [Row(f"making {r.making}", self._making(r), "making", r) for r in bench.makings]
            ),
        ]
        rows: list[Row] = []
        for part in filter(None, parts):
            rows += [*([Row("", ())] if rows else []), *part]
        return "", rows

    def _part(self, columns: Sequence[Column], rows: list[Row]) -> list[Row]:
        return [Row("", ((head_line(columns, self.width), "head"),)), *rows] if rows else []

    def _to_wire(self, r: ToWireRow) -> Line:
        least, most = r.minutes
        texts = (r.lot, named(r.crop, r.variety), str(r.heads), day_text(r.wire_by), f"{least} to {most} min")
        return ((table_line(TO_WIRE, texts, self.width), "bold" if r.days_left == 0 else ""),)

    def _recipe(self, r: RecipeRow) -> Line:
        could = "" if r.can_make is None else str(r.can_make)
        limit = "" if r.limited_by is None else r.limited_by
        if not r.parts:
            limit = "no parts yet"
        texts = (r.recipe, _sort(r), could, limit)
        return ((table_line(RECIPES, texts, self.width), ""),)

    def _piece(self, r: PieceRow) -> Line:
        texts = (r.piece, r.recipe, str(r.on_hand), day_text(r.made_on), number_or_blank(r.minutes_each))
        return ((table_line(PIECES, texts, self.width), "caution" if r.on_hand < 0 else ""),)

    def _heads(self, r: HeadsRow) -> Line:
        texts = (named(r.crop, r.variety), str(r.heads), f"{r.age_days} d", r.gauge)
        return ((table_line(HEADS, texts, self.width), ""),)

    def _making(self, r: MakingRow) -> Line:
        says = "; ".join(filter(None, (r.status, r.says)))
        texts = (r.making, number(r.count), number_or_blank(r.reorder_at), says)
        return ((table_line(MAKINGS, texts, self.width), "bold" if r.status else ""),)

    # the strip below

    def detail(self, row: Row) -> list[Line]:
        about: dict[str, Callable[[Any], list[Line]]] = {
            "fresh": self._about_wiring,
            "recipe": self._about_recipe,
            "piece": self._about_piece,
            "heads": self._about_heads,
            "making": self._about_making,
        }
        return about[row.kind](row.value)

    def _about_wiring(self, r: ToWireRow) -> list[Line]:
        first = f"{r.lot} {named(r.crop, r.variety)}: {plural(r.heads, 'head')} in the {r.place}, to be wired while "
        first += f"fresh, by {day_text(r.wire_by)}"
        return strip(self.width, (first, "bold"), (r.source, "quiet"), (self.cautions[0], "quiet"))

    def _about_recipe(self, r: RecipeRow) -> list[Line]:
        parts = "; ".join(
            f"{number(p.count)} {'' if p.form == 'making' else f'{p.form} '}{p.what}" for p in r.parts
        )
        own = f", {number(r.minutes_own)} by your own record" if r.minutes_own is not None else ""
        minutes = f", {number(r.minutes)} min{own}" if r.minutes is not None else ""
        uncounted = f"not counted: {', '.join(r.uncounted)}" if r.uncounted else ""
        return strip(
            self.width,
            (f"{r.recipe}: {_sort(r)}{minutes}", "bold"),
            (parts or "no parts yet: p writes one", ""),
            (uncounted, "quiet"),
            (self.cautions[0], "quiet"),
        )

    def _about_piece(self, r: PieceRow) -> list[Line]:
        first = f"{r.piece}: {r.on_hand} of {r.made} {r.recipe} on hand, made {day_text(r.made_on)}"
        gone = f"{r.sold} sold, {r.lost} lost"
        of = f"{plural(r.stems, 'stem')} of {', '.join(r.lots)}" if r.lots else "nothing of the book's stems"
        return strip(self.width, (first, "bold"), (f"{gone}; in them {of}", ""), (self.cautions[-1], "quiet"))

    def _about_heads(self, r: HeadsRow) -> list[Line]:
        first = f"{named(r.crop, r.variety)}: {plural(r.heads, 'wired head')}, {r.gauge}"
        where = f"{', '.join(r.lots)} in {', '.join(r.places)}; the oldest cut {day_text(r.cut_on)}"
        return strip(self.width, (first, "bold"), (where, ""), (self.cautions[0], "quiet"))

    def _about_making(self, r: MakingRow) -> list[Line]:
        at = (
            f"buy it again at {number(r.reorder_at)}"
            if r.reorder_at is not None
            else "r sets when to buy it again"
        )
        return strip(self.width, (f"{number(r.count)} of {r.making}", "bold"), (r.says, ""), (at, "quiet"))


def _sort(r: RecipeRow) -> str:
    return f"{r.sort} {number(r.size_in)} in" if r.size_in is not None else r.sort


def _heads_key(r: HeadsRow) -> str:
    return f"heads {r.crop} {r.variety} {r.gauges}"
