"""`shedbook find`: the search over everything, printed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from core.finding.finder import finder
from core.finding.things import Thing
from tui import out
from tui.cli_session import open_session
from tui.command import Command, show_table
from tui.table import CSV, Column

COLUMNS = (
    Column("sort", "what"),
    Column("name", "called"),
    Column("says", "is"),
    Column("on", "day", on=CSV),
    Column("is_live", "open", show=lambda live: "yes" if live else "no", on=CSV),
    Column("of", "code", show=lambda of: of[0], on=CSV),
)
MOST = 60


def find(args: Namespace) -> int:
    """What fits the words, the best first."""
    session = open_session(args)
    searched, words = finder(session.look_back), " ".join(args.words)
    found: list[Thing] = searched.find(words, most=args.most)
    if searched.is_near and not (args.json or args.csv):
        out.lines([f"Nothing is called '{words}', and no note says it; near it:"])
    nothing = f"Nothing is called '{words}', and no note says it: shedbook entries --word '{words}'."
    return show_table(args, COLUMNS, found, nothing=nothing)


def _options(parser: ArgumentParser) -> None:
    parser.add_argument(
        "words", metavar="WORDS", nargs="+", help="beginnings will do: zin lim, fern, box 7, L41"
    )
    parser.add_argument(
        "--most", metavar="N", type=int, default=MOST, help=f"so many at the most, {MOST} unless said"
    )


COMMANDS = {"find": Command(find, _options, csv=True)}
