"""Stock: every lot in every place with how long it keeps, then the boxes; and what was lost on the way."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.boxes.kinds import box_rows
from core.pieces.bench import making_rows
from core.places import in_place
from core.promising.open_claims import open_claims
from core.promising.weeks import free_now
from core.stems.losses import HAND_OVERS, USUAL_SHRINK_PCT, Losses, losses_of
from core.stems.rows import StockRow, stock_rows
from core.text import named, wrapped
from core.units import dated_text, day_text, number, number_or_blank, plural
from tui import out
from tui.arguments import season
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.out import good
from tui.phrases import because, strip
from tui.row_keys import Row, RowSort, Typed, gap
from tui.subjects import boxes, makings, promising
from tui.table import CSV, SCREEN, TEXT, Column, Line, Meaning, Table, csv_table, printed_table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

PER_ONE = {"bunches": "bunch", "heads": "head", "stems": "stem"}


def _month(iso: str | None) -> str:
    """ "Oct 2026": a month is near enough for what keeps a year."""
    return f"{day_text(iso).split()[-1]} {iso[:4]}" if iso else ""


def _keeps_to(r: StockRow) -> str:
    """ "prime to 6 Oct 2026": what a boxed lot is now, and the last day of it."""
    last = {"prime": r.prime_until, "sell first": r.discount_after, "discount": r.compost_after}
    return f"{r.status} to {dated_text(last[r.status])}" if r.status in last else r.status


COLUMNS = (
    Column("lot", "lot", 6),
    Column("", "crop", show=lambda r: named(r.crop, r.variety), on=SCREEN | TEXT),
    Column("crop", "crop", on=CSV),
    Column("variety", "variety", on=CSV),
    Column("form", "form", on=CSV),
    Column("on_hand", "on hand", 7, right=True),
    Column("", "", 7, lambda r: PER_ONE.get(r.unit, r.unit) if r.on_hand == 1 else r.unit, on=SCREEN),
    Column("unit", "unit", on=TEXT | CSV),
    Column("cut_on", "cut on", on=CSV),
    Column("age_days", "age", 5, lambda days: f"{days} d", right=True, on=SCREEN),
    Column("age_days", "age d", on=TEXT | CSV),
    Column("place", "place", 8),
    Column("stage", "stage", on=CSV),
    Column("grade", "grade", 6, least=66),
    Column(
        "",
        "keeps",
        14,
        lambda r: f"prime {_month(r.prime_until)}" if r.status == "prime" else r.status,
        least=60,
        on=SCREEN,
    ),
    Column("", "now", show=_keeps_to, on=TEXT),
    Column("boxed_on", "boxed on", on=CSV),
    Column("store_days", "in store d", on=CSV),
    Column("prime_until", "prime until", on=CSV),
    Column("discount_after", "discount after", on=CSV),
    Column("compost_after", "compost after", on=CSV),
    Column("status", "now", on=CSV),
)
UNGRADED = tuple(c for c in COLUMNS if c.name != "grade")
"""The same where nothing has a grade."""


def _on(r: StockRow, verb: str) -> Typed:
    """What a key begins: what is picked for an order is handed over or goes back first."""
    if r.place.is_set_aside:
        order = r.place.removeprefix("for ")
        return Typed(f"handed over {order}" if verb == "sold" else f"back {r.lot} {order}")
    return gap(f"{verb} {r.lot} {r.place} ")


STOCK = RowSort(
    "stock",
    "On a lot",
    (
        deed("sold", "sold", "sold, and to whom", lambda r: _on(r, "sold")),
        deed("used", "used for", "used for a piece", lambda r: _on(r, "used")),
        deed("count", "count", "what is really there", lambda r: _on(r, "count")),
        deed(
            "move",
            "move",
            "move to another place",
            lambda r: _on(r, "move") if r.place.is_set_aside else gap(f"move {r.lot} from {r.place} to "),
        ),
        deed("lost", "lost", "lost, with the cause", lambda r: _on(r, "lost")),
    ),
    view="stock",
    page="lot",
)
ROWS = (STOCK,)


# what is on hand


def stock(args: Namespace) -> int:
    """The ledger, the boxes, and the makings."""
    session = open_session(args)
    farm, day = session.farm, session.today
    rows, boxed = stock_rows(farm, day), box_rows(farm, day)
    promised = free_now(farm, day, open_claims(farm, day))

    def more() -> list[str]:
        lines = []
        if promised:
            lines += ["", *printed_table(promising.BESIDE_STOCK, promised)]
        if boxed:
            lines += ["", *printed_table(boxes.COLUMNS, boxed)]
            lines += wrapped(f"  {box.box}: {box.says}" for box in boxed if box.says)
        if farm.makings:
            lines += ["", *printed_table(makings.UNDER_STOCK, making_rows(farm))]
        return lines

    return show_table(
        args,
        COLUMNS,
        rows,
        page=more,
        nothing="Nothing is on hand.",
        makings=farm.makings,
        boxes=boxed,
        promised=promised,
    )


class Stock(View):
    """The ledger: what is on hand, the oldest cut first."""

    EMPTY = "Nothing is on hand. Write a cut: 40 strawflower b3 dry"
    SORTS = ("stock", "promised", "box")
    JOBS = ("Stock", "In store", "The book")

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        found = stock_rows(session.farm, session.today)
        columns = COLUMNS if any(r.grade for r in found) else UNGRADED
        head, rows = self.table(columns, found, STOCK, lambda r: (r.lot, r.place), _look)
        claims = open_claims(session.farm, session.today)
        if promised := free_now(session.farm, session.today, claims):
            second, more = self.table(
                promising.BESIDE_STOCK, promised, promising.PROMISED, lambda r: (r.crop, r.form)
            )
            rows += [Row((), ()), Row((), ((second, "head"),)), *more]
        boxed = [box for box in box_rows(session.farm, session.today) if box.stems or box.ask]
        if boxed:
            second, more = self.table(boxes.COLUMNS, boxed, boxes.BOX, lambda r: (r.box,), boxes.look)
            rows += [Row((), ()), Row((), ((second, "head"),)), *more]
        return head, rows

    def detail(self, row: Row) -> list[Line]:
        if row.sort is boxes.BOX:
            return boxes.about_box(row.value, self.width)
        if row.sort is promising.PROMISED:
            return promising.about_promised(row.value, self.width)
        return about_stock(row.value, self.width)


VIEW = Stock


def _look(r: StockRow) -> str:
    return "caution" if r.on_hand < 0 else "bold" if r.status in ("discount", "compost") else ""


def about_stock(r: StockRow, width: int) -> list[Line]:
    """What there is to say of a lot in a place, the most needed first."""
    bunches = f" = {r.stems} stems, {r.per} in a bunch" if r.unit == "bunches" else ""
    unit = PER_ONE.get(r.unit, r.unit) if r.on_hand == 1 else r.unit
    where = in_place(r.place)
    grade = f", {r.grade} grade" if r.grade else ""
    first = f"{r.lot} {named(r.crop, r.variety)}: {r.on_hand} {unit}{bunches}, {r.form}, {where}{grade}"
    stage = f" at stage '{r.stage}'" if r.stage else ""
    cut = f"cut {day_text(r.cut_on)} from bed {r.bed}{stage}, {r.age_days} days ago"
    boxed = (
        f"; boxed {day_text(r.boxed_on)}, {plural(r.store_days or 0, 'day')} in store" if r.boxed_on else ""
    )
    owed = "more went out than there was: count it" if r.on_hand < 0 else ""
    light = f"{r.place} stands in the light: its color fades, put it in the dark" if r.light else ""
    return strip(
        width,
        (first, "bold"),
        (owed, "caution"),
        (light, "caution"),
        (cut + boxed, ""),
        (_keeping(r), ""),
        (because(r.because), "quiet"),
    )


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


# what was lost

FORM, OF, SHARE = (
    Column("form", "lost at", show=lambda form: HAND_OVERS.get(form, form)),
    Column("of", "of"),
    Column("share_pct", "%", show=number_or_blank),
)
TOTALS = (FORM, Column("stems", "stems lost"), OF, SHARE)
LOSSES = (
    Column("crop", "crop"),
    FORM,
    Column("", "cause", show=lambda r: f"{r.cause}: found" if r.stems < 0 else r.cause),
    Column("stems", "stems"),
    OF,
    SHARE,
    Column("lots", "lots"),
)
IN_STORE = (
    Column("crop", "", show=lambda crop: crop or "all crops"),
    Column("boxed", "boxed"),
    Column("lost", "lost"),
    Column("stem_years", "times years", show=number),
    Column("per_year_pct", "% a year"),
)
NOTHING_LOST = "Nothing is written as lost: write it with its cause, such as 'lost 6 mold L038'."


def losses(args: Namespace) -> int:
    """Print the losses of all crops or of one, of the cuts of all years or of one."""
    session = open_session(args)
    found = good(losses_of(session.farm, session.today, args.crop, args.year))
    if args.json:
        out.rows(found.rows, hand_overs=found.hand_overs, stages=found.stages, shrink=found.shrink)
    elif args.csv:
        out.text(csv_table(LOSSES, found.rows))
    else:
        out.lines(_losses_page(found))
    return out.DONE


def _losses_options(losses: ArgumentParser) -> None:
    losses.add_argument("--crop", metavar="CROP", help="of one crop only: any beginning of its name")
    losses.add_argument("--year", metavar="YYYY", type=season, help="of what was cut in that year")


def _losses_page(found: Losses) -> Iterator[str]:
    if not found.rows:
        yield NOTHING_LOST
    else:
        yield from printed_table(TOTALS, found.hand_overs)
        yield ""
        yield from printed_table(LOSSES, found.rows)
    told = [row for row in found.stages if row.share_pct is not None]
    untold = [f"{row.crop} '{row.stage}' ({row.cause})" for row in found.stages if row.share_pct is None]
    if found.stages:
        yield from ("", "By the stage at the cut")
        yield from wrapped(f"  {row.crop}: {row.says}" for row in told)
        if untold:
            yield from wrapped([f"  too few lots to tell yet: {'; '.join(untold)}"])
    if found.shrink:
        yield from ("", "In store, stems")
        told_of = [row for row in found.shrink if row.per_year_pct is not None]
        yield from printed_table(IN_STORE, told_of)
        yield from wrapped([f"  {_in_store(found)}"])


def _in_store(found: Losses) -> str:
    """What is usual, and which crops cannot be told yet."""
    low, high = USUAL_SHRINK_PCT
    unknown = [row.crop or "all crops" for row in found.shrink if row.per_year_pct is None]
    silent = f"; too little kept, lost or counted to tell yet: {'; '.join(unknown)}" if unknown else ""
    return f"{low:g} to {high:g} % a year is usual (common practice){silent}"


TABLES = (
    Table(
        "stock",
        COLUMNS,
        lambda session: stock_rows(session.farm, session.today),
        "what is on hand, a line for each lot in each place",
    ),
    Table(
        "losses",
        LOSSES,
        lambda session: _every_loss(session).rows,
        "what was lost, by crop and cause",
        heads={
            "of": Meaning("out of so many that came to that hand-over", "stems"),
            "stems": Meaning("lost; below 0 a count found more", "stems"),
        },
    ),
)


def _every_loss(session: Session) -> Losses:
    return good(losses_of(session.farm, session.today, None, None))


COMMANDS = {"stock": Command(stock, csv=True), "losses": Command(losses, _losses_options, csv=True)}
