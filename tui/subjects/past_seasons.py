"""Past seasons: a table brought in, its mapping shown first; and what was brought in, by year and crop."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Iterator
from pathlib import Path

from core.dialect import is_british
from core.outgoing import read_whole
from core.past_seasons.bringing import How, ToBring, read_table
from core.past_seasons.columns import FIELDS, SORTS
from core.past_seasons.rows import past_rows
from core.text import clean, wrapped
from core.units import money, number_or_blank, plain_money, plural
from tui import out
from tui.arguments import count_of
from tui.cli_session import close_session, open_session
from tui.command import Command, show_table, tell, tell_done
from tui.out import good
from tui.table import CSV, TEXT, Column, Meaning, Table

MOST_TOLD = 20
COLUMNS = (
    Column("year", "year"),
    Column("crop", "crop"),
    Column("seeds", "seeds"),
    Column("up", "up"),
    Column("cut", "stems"),
    Column("culls", "culled"),
    Column("minutes", "minutes", show=number_or_blank),
    Column("sold", "sold"),
    Column("cents", "taken", show=lambda cents: None if cents is None else money(cents), on=TEXT),
    Column("cents", "taken", show=plain_money, on=CSV),
)
TABLES = (
    Table(
        "past-seasons",
        COLUMNS,
        lambda session: past_rows(session.farm),
        "past seasons as brought in",
        heads={
            "seeds": Meaning("seeds sown", "seeds"),
            "sold": Meaning("sold", "stems"),
            "stems": Meaning("cut", "stems"),
        },
    ),
)


def past(args: Namespace) -> int:
    """Print what was brought in."""
    nothing = "Nothing is brought in of past seasons: 'shedbook bring FILE --dry-run' looks at a table (CSV)."
    return show_table(args, COLUMNS, past_rows(open_session(args).farm), nothing=nothing)


def bring(args: Namespace) -> int:
    """Bring a table in, or look what it comes to."""
    session = open_session(args, to_write=not args.dry_run)
    day_first = is_british() if args.day_first is None else args.day_first
    how = How(
        dict(args.map),
        args.sort or "",
        {w.lower(): c for w, c in args.call},
        args.per or 0,
        day_first,
        args.anyway,
    )
    data = read_whole(args.file)
    found = good(read_table(data, session.farm, session.today, how))
    answer = _answer(found, args.dry_run)
    if args.dry_run:
        status = tell(args, answer, _lines(found, "would be written", most=None))
    elif found.refused:
        status = tell(args, answer, _lines(found, "would be written", most=3))
        out.error(f"Nothing was written: {plural(len(found.refused), 'row')} cannot be brought in.")
    else:
        if found.drafts:
            good(session.record(draft for _, draft in found.drafts))
        done = f"{plural(len(found.drafts), 'row')} written."
        status = tell_done(args, done, answer, _lines(found, "written"))
    close_session(session)
    return out.REFUSED if found.refused else status


def _answer(found: ToBring, is_dry: bool) -> dict[str, object]:
    """As JSON tells it."""
    writes = not is_dry and not found.refused
    return {
        "sort": found.mapped.sort,
        "mapping": found.mapped.columns,
        "unused": found.mapped.unused,
        "rows": [{"line": line, "on": on, "says": says} for line, on, says in found.says],
        "already": found.already,
        "refused": found.refused,
        "written": len(found.drafts) if writes else 0,
    }


def _lines(found: ToBring, would: str, most: int | None = MOST_TOLD) -> list[str]:
    return wrapped(_told(found, would, most))


def _told(found: ToBring, would: str, most: int | None) -> Iterator[str]:
    """The mapping first, then what is refused, then what is written; at most so many rows, None for all of them."""
    taken = ", ".join(f"{name} from '{clean(head)[:24]}'" for name, head in found.mapped.columns.items())
    yield f"{found.mapped.sort}: {taken}"
    if found.mapped.unused:
        yield f"left out: {', '.join(clean(head)[:24] for head in found.mapped.unused)}"
    refused = [f"  line {row.line}: {row.why}" for row in found.refused]
    yield from _first(refused, most and MOST_TOLD, "more that cannot be brought in")
    rows = [f"  line {line}: {on} {says.removeprefix('past season: ')}" for line, on, says in found.says]
    yield from _first(rows, most, f"more that {would}" if "would" in would else f"more {would}")
    money_told = f", {money(found.cents)} taken" if found.cents else ""
    if found.unpriced:
        money_told += f", {plural(found.unpriced, 'row')} without a price"
    yield (
        f"{plural(len(found.drafts), 'row')} {would}{money_told}, {found.already} in the book already, "
        f"{len(found.refused)} refused"
    )
    if would == "written" and found.drafts:
        yield "'undo' takes all of it back, or 'cancel ID' of any of its entries"


def _first(lines: list[str], most: int | None, more: str) -> Iterator[str]:
    yield from lines[:most]
    if most is not None and len(lines) > most:
        yield f"  and {len(lines) - most} {more}"


def _pair(text: str) -> tuple[str, str]:
    name, is_pair, value = text.partition("=")
    if not (name and is_pair):
        raise ArgumentTypeError(f"'{clean(text)[:40]}' is no pair, such as day=Date")
    return name.strip(), value.strip()


def _options(parser: ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help="a table as CSV, its heads in the first line")
    parser.add_argument(
        "--as", dest="sort", choices=[*SORTS], help="what it is a table of, where its heads do not tell"
    )
    parser.add_argument(
        "--map", metavar="FIELD=HEAD", type=_pair, nargs="+", action="extend", default=[],
        help=f"which column is which, such as day=Date; the fields: {', '.join(FIELDS)}",
    )  # fmt: skip
    parser.add_argument(
        "--call", metavar="WORD=CROP", type=_pair, nargs="+", action="extend", default=[],
        help="what the table calls a crop, such as Everlasting=strawflower",
    )  # fmt: skip
    parser.add_argument("--per", metavar="N", type=count_of("stems", 1000), help="stems to a bunch")
    first = parser.add_mutually_exclusive_group()
    first.add_argument("--day-first", action="store_true", default=None, help="6/7/2024 is the sixth of July")
    first.add_argument(
        "--month-first", dest="day_first", action="store_false", help="it is the seventh of June"
    )
    parser.add_argument(
        "--anyway",
        action="store_true",
        help="also what is dated since the book itself has such: it is not the same",
    )
    parser.add_argument("--dry-run", action="store_true", help="only show what would be written")


COMMANDS = {"bring": Command(bring, _options), "past": Command(past, csv=True)}
