"""Stock: every lot in every place, the oldest cut first, with how long it keeps; then the boxes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.boxes.asks import BOX_WORDS
from core.text import named
from core.units import dated_text, day_text, plural
from tui.rows import Column, Line, Row, because, head_line, table_line
from tui.views.view import View, strip

if TYPE_CHECKING:
    from core.boxes.kinds import BoxRow
    from core.door import Door
    from core.stems.rows import StockRow

COLUMNS = (
    Column("lot", 6),
    Column("crop", 0),
    Column("on hand", 7, right=True),
    Column("", 7),
    Column("age", 5, right=True),
    Column("place", 7),
    Column("grade", 6, least=66),
    Column("keeps", 14, least=60),
)
BOXES = (
    Column("box", 7),
    Column("holds", 0),
    Column("stands", 14, least=96),
    Column("looked into", 13, least=60),
    Column("", 22),
)
PER_ONE = {"bunches": "bunch", "heads": "head", "stems": "stem"}


class Stock(View):
    """The ledger: what is on hand."""

    EMPTY = "Nothing is on hand. Write a cut: 40 strawflower b3 dry"

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        stock, boxes = door.stock(), [box for box in door.boxes() if box.stems or box.ask]
        graded = tuple(c for c in COLUMNS if c.head != "grade" or any(r.grade for r in stock))
        rows = [Row(f"{r.lot} {r.place}", self._line(graded, r), "stock", r) for r in stock]
        if boxes:
            rows += [Row("", ()), Row("", ((head_line(BOXES, self.width), "head"),))]
            rows += [Row(f"box {r.box}", self._box(r), "box", r) for r in boxes]
        return head_line(graded, self.width), rows

    def _line(self, columns: tuple[Column, ...], r: StockRow) -> Line:
        texts = {
            "lot": r.lot,
            "crop": named(r.crop, r.variety),
            "on hand": str(r.on_hand),
            "": r.unit,
            "age": f"{r.age_days} d",
            "place": r.place,
            "grade": r.grade or "",
            "keeps": f"prime {_month(r.prime_until)}" if r.status == "prime" else r.status,
        }
        look = "caution" if r.on_hand < 0 else "bold" if r.status in ("discount", "compost") else ""
        return ((table_line(columns, [texts[c.head] for c in columns], self.width), look),)

    def _box(self, r: BoxRow) -> Line:
        looked = f"{day_text(r.last_check)} {r.last_result}" if r.last_check else ""
        now = BOX_WORDS.get(r.ask) or (f"next look {day_text(r.next_check)}" if r.next_check else "empty")
        texts = (r.box, _holds(r), _stands(r), looked, now)
        look = "caution" if r.ask in ("treat", "dry") else "bold" if r.ask else ""
        return ((table_line(BOXES, texts, self.width), look),)

    def detail(self, row: Row) -> list[Line]:
        if row.kind == "box":
            return self._about_box(row.value)
        r: StockRow = row.value
        bunches = f" = {r.stems} stems, {r.per} in a bunch" if r.unit == "bunches" else ""
        unit = PER_ONE.get(r.unit, r.unit) if r.on_hand == 1 else r.unit
        where = f"on {r.place}" if r.place.startswith("line") else f"in {r.place}"
        grade = f", {r.grade} grade" if r.grade else ""
        first = f"{r.lot} {named(r.crop, r.variety)}: {r.on_hand} {unit}{bunches}, {r.form}, {where}{grade}"
        stage = f" at stage '{r.stage}'" if r.stage else ""
        cut = f"cut {day_text(r.cut_on)} from bed {r.bed}{stage}, {r.age_days} days ago"
        boxed = (
            f"; boxed {day_text(r.boxed_on)}, {plural(r.store_days or 0, 'day')} in store"
            if r.boxed_on
            else ""
        )
        owed = "more went out than there was: count it" if r.on_hand < 0 else ""
        light = f"{r.place} stands in the light: its colour fades, put it in the dark" if r.light else ""
        return strip(
            self.width,
            (first, "bold"),
            (owed, "caution"),
            (light, "caution"),
            (cut + boxed, ""),
            (_keeping(r), ""),
            (because(r.because), "quiet"),
        )

    def _about_box(self, r: BoxRow) -> list[Line]:
        lots = f" ({', '.join(r.lots)})" if r.lots else ""
        first = f"{r.box}: {_holds(r)}{lots}" + (f", {_stands(r)}" if _stands(r) else "")
        looked = (
            f"looked into {day_text(r.last_check)}: {r.last_result}"
            if r.last_check
            else "not looked into yet"
        )
        parts = (looked, r.treated, f"next look {day_text(r.next_check)}" if r.next_check else "")
        light = "it stands in the light: colour fades, put it in the dark" if r.light else ""
        return strip(
            self.width,
            (first, "bold"),
            (r.says, "caution" if r.ask in ("treat", "dry") else "bold"),
            (r.care, "caution"),
            (light, "caution"),
            ("; ".join(part for part in parts if part), ""),
            (because(r.because), "quiet"),
        )


def _month(iso: str | None) -> str:
    """ "Oct 2026": a month is near enough for what keeps a year."""
    return f"{day_text(iso).split()[-1]} {iso[:4]}" if iso else ""


def _holds(r: BoxRow) -> str:
    """ "12 bunches statice", "14 bunches 3 crops", "24 heads strawflower"."""
    if not r.lots:
        return "nothing"
    crops = r.crops[0] if len(r.crops) == 1 else plural(len(r.crops), "crop")
    counts = (
        plural(r.bunches, "bunch", "bunches") if r.bunches else "",
        plural(r.heads, "head") if r.heads else "",
    )
    return f"{' and '.join(filter(None, counts)) or plural(r.stems, 'stem')} {crops}"


def _stands(r: BoxRow) -> str:
    light = {True: "in light", False: "dark"}.get(r.light) if r.light is not None else None
    return " ".join(filter(None, (r.where, light)))


def _keeping(r: StockRow) -> str:
    """ "prime to 30 Aug 2026 (69 days), discount from 28 Feb 2027 to 30 Aug 2027"; what it is now with days left."""
    if not r.status:
        return ""
    left = "" if r.changes_in_days is None else f" ({plural(r.changes_in_days, 'day')})"
    now = {word: left if word == r.status else "" for word in ("prime", "discount")}
    first = f", sell first{left}" if r.status == "sell first" else ""
    steps = (
        f"prime to {dated_text(r.prime_until)}{now['prime']}{first}, discount from {dated_text(r.discount_after)} "
        f"to {dated_text(r.compost_after)}{now['discount']}"
    )
    return f"compost: {steps}" if r.status == "compost" else steps
