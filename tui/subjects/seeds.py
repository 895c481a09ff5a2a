"""The seed drawer: its packets, and the list of what is to be ordered."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from core.seeds.rows import OrderRow, PacketRow, order_rows, packet_rows
from core.text import named
from core.units import day_text, number, plural
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.phrases import plain, strip
from tui.row_keys import Row, RowSort, Typed, gap
from tui.table import CSV, PRINTED, SCREEN, TEXT, Column, Line, Meaning, Table
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

STANDING = {"good": "good", "test": "old: test", "poor": "poor", "empty": "empty"}


def _reckoned(r: PacketRow) -> str:
    """ "75 %"; "" where it is only the usual."""
    return f"{r.germination} %" if _by(r) else ""


def _by(r: PacketRow) -> str:
    """What the germination rests on: "8 of 10" of a test, "packet", or "" for the sheet."""
    if r.test_up is not None:
        return f"{r.test_up} of {r.test_of}"
    return "packet" if "packet" in r.germination_by else ""


def _ordered(r: OrderRow) -> str:
    """ "zinnia lime"; "dahlia tubers" of what is not seed."""
    return " ".join((named(r.crop, r.variety), *((r.of,) if r.of != "seeds" else ())))


COLUMNS = (
    Column("packet", "packet", 6),
    Column("", "seed of", show=lambda r: named(r.crop, r.variety), on=SCREEN | TEXT),
    Column("crop", "crop", on=CSV),
    Column("variety", "variety", on=CSV),
    Column("year", "year", 4, right=True),
    Column("there", "seeds", 6, right=True),
    Column("grams", "g", 6, lambda g: None if g is None else number(g), right=True, least=70),
    Column("", "reckoned", 8, _reckoned, right=True, on=SCREEN | TEXT),
    Column("", "by", 9, _by, on=SCREEN | TEXT),
    Column("germination", "germination %", on=CSV),
    Column("test_up", "test: up", on=CSV),
    Column("test_of", "test: of", on=CSV),
    Column("germination_by", "by", on=CSV),
    Column("standing", "now", 9, lambda s: STANDING[s]),
    Column("keeps", "keeps", on=PRINTED),
    Column("seed_lot", "lot", on=CSV),
    Column("supplier", "from", on=CSV),
    Column("bought", "bought", on=CSV),
    Column("sown", "sown", on=CSV),
    Column("tested", "tested", on=CSV),
    Column("lost", "lost", on=CSV),
    Column("missing", "missing", on=CSV),
)
ORDER = (
    Column("", "seed of", 22, _ordered, on=SCREEN | TEXT),
    Column("crop", "crop", on=CSV),
    Column("variety", "variety", on=CSV),
    Column("need", "need", 6, right=True),
    Column("there", "there", 6, right=True),
    Column("old", "old", 5, lambda n: n or None, right=True),
    Column("order", "order", 6, lambda n: n or None, right=True),
    Column("grams", "g", 6, lambda g: None if g is None else number(g), right=True),
    Column("sow_on", "sow", 6, day_text, on=SCREEN | TEXT),
    Column("sow_on", "sow on", on=CSV),
    Column("", "first", 9, lambda r: f"test {' '.join(r.test)}" if r.test else "", on=SCREEN | TEXT),
    Column("test", "test first", show=" ".join, on=CSV),
    Column("of", "of", on=CSV),
    Column("wanted_for", "for"),
    Column("because", "because", on=CSV),
)


def _typed(r: OrderRow) -> str:
    return named(r.crop, f"'{r.variety}'" if r.variety else None)


def _came(r: OrderRow) -> Typed:
    if r.of == "seeds":
        return gap(f"packet {_typed(r)} ", " seeds")
    return gap("bought ", f" {_typed(r)} {r.of}")


PACKET = RowSort(
    "packet",
    "On a packet",
    (
        deed("sow", "sow", "sow of it", lambda r: gap("sow ", f" {r.packet}")),
        deed("test", "test", "a germination test", lambda r: gap(f"test seed {r.packet} ", " of 20")),
        deed("count", "count", "what is really in it", lambda r: gap("count ", f" seeds {r.packet}")),
        deed("lost", "lost", "thrown out, with the cause", lambda r: gap(f"lost all {r.packet} ")),
    ),
    view="seeds",
)
ORDERED = RowSort(
    "seed order",
    "On seed to order",
    (
        deed(
            "bought",
            "packet",
            "it came",
            _came,
        ),
    ),
    view="seeds",
)
ROWS = (PACKET, ORDERED)


def _order(parser: ArgumentParser) -> None:
    parser.add_argument("--order", action="store_true", help="what is to be ordered for the season")
    parser.add_argument("--all", action="store_true", help="the empty packets too")


def seeds(args: Namespace) -> int:
    """The packets of the drawer, or what is to be ordered."""
    session = open_session(args)
    farm, day = session.farm, session.today
    if args.order:
        orders = [row for row in order_rows(farm, day) if row.is_short or args.all]
        nothing = "Nothing is to be ordered: what is planned, or was sown last season, is in the drawer."
        return show_table(args, ORDER, orders, nothing=nothing)
    rows = packet_rows(farm, day, every=args.all)
    return show_table(
        args, COLUMNS, rows, nothing="The drawer is empty: 'packet zinnia lime 200 seeds 2026' puts one in."
    )


TABLES = (
    Table(
        "seeds",
        COLUMNS,
        lambda session: packet_rows(session.farm, session.today),
        "the seed drawer",
        heads={
            "bought": Meaning("bought", "seeds"),
            "by": Meaning("whose word that is: a test of one's own, the packet, or what is usual"),
            "lost": Meaning("thrown out", "seeds"),
            "lot": Meaning("the seller's lot number"),
            "missing": Meaning("that a count found too few", "seeds"),
            "seeds": Meaning("seeds left", "seeds"),
            "test: of": Meaning("seeds tried in the newest test", "seeds"),
            "test: up": Meaning("of those came up", "seeds"),
            "year": Meaning("year it was packed for", "YYYY"),
        },
    ),
    Table(
        "seed-order",
        ORDER,
        lambda session: order_rows(session.farm, session.today),
        "seed, bulbs, tubers and plants to be ordered",
        heads={
            "for": Meaning("what it is for"),
            "of": Meaning("what it is: seeds, tubers, bulbs, corms or plants"),
            "old": Meaning("there beside those, too old to be counted before a test", "seeds"),
            "order": Meaning("to be ordered", "seeds"),
            "test first": Meaning("packets to be tested before any is ordered"),
            "there": Meaning("there and good", "seeds"),
        },
    ),
)
COMMANDS = {"seeds": Command(seeds, _order, csv=True)}


class Seeds(View):
    """The packets, then what is to be ordered."""

    EMPTY = "No packets yet. Write one, such as: packet zinnia 200 seeds"
    SORTS = ("packet", "seed order")
    JOBS = ("The seed drawer",)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        farm, day = session.farm, session.today
        head, rows = self.table(
            COLUMNS,
            packet_rows(farm, day),
            PACKET,
            lambda r: (r.packet,),
            lambda r: "caution" if r.standing in ("test", "poor") else "",
        )
        orders = [row for row in order_rows(farm, day) if row.is_short]
        if not orders:
            return head, rows
        order_head, short = self.table(ORDER, orders, ORDERED, lambda r: (r.crop, r.variety or ""))
        rows += [Row((), line) for line in plain(("", "To order for the season:", order_head), "quiet")]
        return head, [*rows, *short]

    def detail(self, row: Row) -> list[Line]:
        return _of_order(self.width, row.value) if row.sort is ORDERED else _of_packet(self.width, row.value)


VIEW = Seeds


def _of_order(width: int, r: OrderRow) -> list[Line]:
    weight = f", {number(r.grams)} g by the sheet" if r.grams is not None else ""
    good = f"if it is good, order {r.if_good or 'none'}"
    return strip(
        width,
        (f"{named(r.crop, r.variety)}: order {r.amount}{weight}", "bold"),
        (
            f"! test {' '.join(r.test)} first (test seed {r.test[0]} 8 of 10): {good}" if r.test else "",
            "caution",
        ),
        (f"{r.need} needed, {r.there} good ones there" + (f", {r.old} old" if r.old else ""), ""),
        (r.because, "quiet"),
    )


def _of_packet(width: int, r: PacketRow) -> list[Line]:
    marks = (("lot", r.seed_lot), ("from", r.supplier))
    lot = " ".join(f"{word} {said}" for word, said in marks if said)
    first = f"{r.packet} {named(r.crop, r.variety)} {r.year}, {r.there} of {plural(r.bought, 'seed')}"
    gone = (("sown", r.sown), ("tested", r.tested), ("lost", r.lost), ("missing", r.missing))
    went = ", ".join(f"{count} {what}" for what, count in gone if count)
    test = (
        f"! older than it usually keeps: test it (test seed {r.packet} 8 of 10)"
        if r.standing == "test"
        else ""
    )
    return strip(
        width,
        (f"{first}; {lot}" if lot else first, "bold"),
        (test, "caution"),
        (
            f"reckoned with {r.germination} % coming up: {r.germination_by}" + (f"; {went}" if went else ""),
            "",
        ),
        (f"keeps {r.keeps} ({r.keeps_by})", "quiet"),
    )
