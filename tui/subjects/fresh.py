"""Buckets: what is fresh, in the bucket and the cooler; what has least left of its vase life stands first."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from core.dialect import told_degrees
from core.fresh.asks import asks_of
from core.fresh.room_air import STANDARD_F
from core.fresh.rows import FreshRow, fresh_rows, whole_days
from core.marked import with_figures
from core.places import BUCKET, COOLER
from core.reckon.vase_life import LOOK
from core.reckon.vase_trials import OWN
from core.shed.air import room_air
from core.text import named, wrapped
from core.units import day_text, plural
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.letters import deed
from tui.phrases import air_text, because, strip
from tui.row_keys import Row, RowSort, Typed, gap
from tui.table import CSV, SCREEN, TEXT, Column, Line, Table, fit
from tui.views.view import View

if TYPE_CHECKING:
    from core.session import Session

NOTHING = "Nothing is in the bucket or the cooler: write a cut, such as '40 zinnia b4 fresh'."
NOT_READ = "Taken: {degrees:68} in the room, {degrees:36} in the cooler. Write what you read: cooler {typed_degrees:38}"
PRESSING = ("sell", "rescue", "wire", "take out", "look", "old")


def left_text(left: tuple[float, float] | None) -> str:
    """ "4 to 9", "no"; "" where the sheet has no vase life."""
    return "" if left is None else whole_days(left)


def _about_left(left: tuple[float, float] | None) -> str:
    """ "about 3-12", "none"; nothing where the sheet has no vase life."""
    if left is None:
        return ""
    least, most = (f"{days:.0f}" for days in left)
    if most == "0":
        return "none"
    return f"about {least}" if least == most else f"about {least}-{most}"


COLUMNS = (
    Column("lot", "lot", 6),
    Column("", "crop", show=lambda r: named(r.crop, r.variety), on=SCREEN | TEXT),
    Column("crop", "crop", on=CSV),
    Column("variety", "variety", on=CSV),
    Column("place", "in", on=TEXT | CSV, csv_head="place"),
    Column("since", "since", on=CSV),
    Column("use", "for", 5, least=66, csv_head="use"),
    Column("stems", "stems", 5, right=True),
    Column("cut_on", "cut", 6, day_text, right=True, least=88, on=SCREEN | TEXT),
    Column("cut_on", "cut on", on=CSV),
    Column("age_days", "age d", on=CSV),
    Column("used_days", "used d", on=CSV),
    Column("place", "in", 6, least=60, on=SCREEN),
    Column("left_days", "days left", 10, left_text, right=True, on=SCREEN),
    Column("left_days", "days left", show=_about_left, on=TEXT),
    Column("left_days", "least left d", show=lambda left: left and left[0], on=CSV),
    Column("left_days", "most left d", show=lambda left: left and left[1], on=CSV),
    Column("expires", "until", show=day_text, on=TEXT),
    Column("expires", "until", on=CSV),
    Column("", "", 17, asks_of, on=SCREEN),
    Column("", "now", show=asks_of, on=TEXT),
    Column("status", "now", on=CSV),
    Column("because", "because", on=CSV),
    Column("keep", "kept", show="; ".join, on=CSV),
    Column("flags", "amiss", show="; ".join, on=CSV),
    Column("note", "note", on=CSV),
)


def cooled(r: FreshRow) -> Typed:
    """All of it into the cooler, or out of it: the other of the two places."""
    return gap(f"move {r.lot} from {r.place} to {BUCKET if r.place == COOLER else COOLER}")


FRESH = RowSort(
    "fresh",
    "On what is fresh",
    (
        deed("hang", "hang", "hang it on a line", lambda r: gap(f"hang {r.lot} line ")),
        deed("wire", "wire", "wire the heads while fresh", lambda r: gap("wire ", f" {r.lot} 22g")),
        deed("sold", "sold", "stems sold", lambda r: gap(f"sold {r.lot} {r.place} ")),
        deed("move", "move", "into the cooler, or out of it", cooled),
        deed("lost", "lost", "stems lost, with the cause", lambda r: gap(f"lost {r.lot} {r.place} ")),
    ),
    view="buckets",
    page="lot",
)
ROWS = (FRESH,)


# the command


def buckets(args: Namespace) -> int:
    """Print the bucket and the cooler, what has least left first."""
    session = open_session(args)
    rows = fresh_rows(session.farm, session.today, session.clock)
    return show_table(args, COLUMNS, rows, page=lambda: list(_notes(rows)), nothing=NOTHING)


TABLES = (
    Table(
        "buckets",
        COLUMNS,
        lambda session: fresh_rows(session.farm, session.today, session.clock),
        "what is fresh in the bucket and the cooler",
    ),
)
COMMANDS = {"buckets": Command(buckets, csv=True)}


def _notes(rows: Sequence[FreshRow]) -> Iterator[str]:
    if not rows:
        return
    flags = [f"! {row.lot}: {flag}" for row in rows for flag in row.flags]
    if flags:
        yield from ("", *wrapped(flags))
    yield from ("", "because")
    yield from wrapped(f"  {row.lot}: {row.because}" for row in rows if row.status != "compost")
    kept = {row.crop: row.keep for row in rows if row.keep}
    if kept:
        yield from ("", "kept")
        yield from wrapped(f"  {crop}: {'; '.join(words)}" for crop, words in kept.items())
    yield ""
    yield from wrapped(
        [f"Days left are days in a vase at {told_degrees(STANDARD_F[BUCKET])} from now on, {LOOK}."]
    )
    crops = dict.fromkeys(row.crop for row in rows)
    yield from wrapped(f"  {crop}: {with_figures(OWN[crop].source)}" for crop in crops if crop in OWN)


# the view


class Buckets(View):
    """The earliest to expire leaves first."""

    EMPTY = "Nothing is fresh. Write a cut: 40 strawflower b3 fresh"
    SORTS = ("fresh",)
    JOBS = ("Stock", "Hang, wire, box", "The shed")
    air: Line = ()

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        farm, day, clock = session.farm, session.today, session.clock
        found = fresh_rows(farm, day, clock)
        read = [air_text(room_air(farm, room, day, clock)) for room in ("cooler", "room") if room in farm.air]
        said = "; ".join(read) or with_figures(NOT_READ)
        self.air = ((fit(f"  {said}", self.columns).rstrip(), "quiet"),) if found else ()
        return self.table(COLUMNS, found, FRESH, lambda r: (r.lot, r.place), _look)

    def above(self) -> list[Line]:
        return [self.air] if self.air else []

    def detail(self, row: Row) -> list[Line]:
        r: FreshRow = row.value
        good = r.expires and r.left_days and r.left_days[0] > 0
        expires = f"; good until {day_text(r.expires)} or longer" if good else ""
        first = f"{r.lot} {named(r.crop, r.variety)}: {plural(r.stems, 'stem')}, about "
        first += f"{left_text(r.left_days) or 'an unknown number of'} days left in the vase{expires}"
        return strip(
            self.width,
            (first, "bold"),
            ("; ".join(r.flags), "caution"),
            (because(r.because), ""),
            (f"keep: {'; '.join(r.keep)}" if r.keep else "", "quiet"),
            (r.note, "quiet"),
        )


VIEW = Buckets


def _look(r: FreshRow) -> str:
    return "caution" if r.status == "compost" else "bold" if r.status in PRESSING else ""
