"""The command line: every verb, its options, and what it prints. The screen is loaded only when it is opened."""

from __future__ import annotations

import argparse
import gc
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from core import __version__
from core.problems import Problem, ShedbookError
from tui.arguments import day, week_count, year

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

COLLECT_EVERY = 50_000
"""Values made between two looks for what is not needed any more: a command ends before there is much of it, and looking
as often as Python does takes a twentieth of its time."""
Verb = Callable[[argparse.Namespace], int]
HOMES = {
    "bench": "bench_verb",
    "buckets": "buckets_verb",
    "losses": "losses_verb",
    "lot": "lot_verb",
    "plan": "plan_verb",
    "shed": "shed_verb",
    "shelf": "shelf_verb",
    "stock": "stock_verb",
    "tonight": "weather_verb",
    "weather": "weather_verb",
    "reckon": "reckon",
    "reckon_crown": "reckon_pieces",
    "reckon_drying": "reckon_drying",
    "reckon_moisture": "reckon_moisture",
    "reckon_plan": "reckon_plan",
    "reckon_seeds": "reckon_plan",
    "reckon_vase": "reckon_vase",
    "reckon_wire": "reckon_pieces",
    "reckon_wreath": "reckon_pieces",
}
"""The module in which a verb's function, named like it, stands: found by the whole name or by what stands before "_";
`verbs` holds the others. Only the one that is run is loaded."""


class Words(argparse.ArgumentParser):
    """Reads the words of a command; help that cannot be printed is told like any other answer."""

    def _print_message(self, message: str, file: SupportsWrite[str] | None = None) -> None:
        from tui import out

        if file is None or file is sys.stdout:
            out.text(message)
        else:
            super()._print_message(message, file)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; its exit status: 0 done, 1 refused, 2 usage."""
    from tui import out

    gc.set_threshold(COLLECT_EVERY)
    out.ready()
    args = _before_options()
    try:
        words = sys.argv[1:] if argv is None else list(argv)
        status = _parse(words, args)
        if status is None:
            status = run(args)
            out.flush()
        return status
    except ShedbookError as trouble:
        return out.refuse(trouble.problem)
    except out.Unprinted as lost:
        return out.unprinted(lost)
    except KeyboardInterrupt:
        return out.refuse(Problem("Stopped. What was said to be written is written."))
    except Exception as error:
        return out.unexpected(error)


def _parse(words: list[str], args: argparse.Namespace) -> int | None:
    """Put what the words say into `args`; the exit status where that was all there was to do, as with --help."""
    from tui import out

    try:
        parser(reckoning="reckon" in words, weather="weather" in words).parse_args(words, args)
    except SystemExit as stop:  # argparse has said why
        status = stop.code if isinstance(stop.code, int) else out.USAGE
        out.flush()
        return status
    return None


def run(args: argparse.Namespace) -> int:
    """Carry out parsed arguments."""
    name = args.verb or "screen"
    home = HOMES.get(name) or HOMES.get(name.partition("_")[0], "verbs")
    verb: Verb = getattr(import_module(f"tui.{home}"), name)
    return verb(args)


def _before_options() -> argparse.Namespace:
    """What stands where no option says otherwise; the options themselves may come before or after the verb."""
    return argparse.Namespace(verb="", farm=_farm_of_environment(), on=None, by=_initials_of_environment())


def parser(*, reckoning: bool = True, weather: bool = True) -> argparse.ArgumentParser:
    """All verbs and options; those of `reckon` and `weather` are left out where asked, to save time at the start."""
    shared = Words(add_help=False, argument_default=argparse.SUPPRESS, formatter_class=_layout_of_help)
    shared.add_argument("--farm", metavar="DIR", type=Path, help="the farm's folder (or SHEDBOOK_FARM)")
    shared.add_argument(
        "--on", metavar="YYYY-MM-DD", type=day, help="read the book, and write, as of that day"
    )
    shared.add_argument("--by", metavar="INITIALS", type=_initials, help="who is writing (or SHEDBOOK_BY)")

    top = Words(
        prog="shedbook",
        description="The working book of a small flower farm. Without a verb it opens the screen.",
        epilog='One-line entries: shedbook write "40 strawflower b3 dry". Press ? on the screen for more.',
        parents=[shared],
        formatter_class=_layout_of_help,
    )
    top.add_argument("--version", action="version", version=f"shedbook {__version__}")
    verbs = top.add_subparsers(title="verbs", metavar="VERB")

    def verb(
        name: str, says: str, *, json: bool = True, csv: bool = False, run: str | None = None
    ) -> argparse.ArgumentParser:
        sub = verbs.add_parser(
            name,
            help=says,
            description=says[0].upper() + says[1:] + ".",
            parents=[shared],
            formatter_class=_layout_of_help,
        )
        sub.set_defaults(verb=run or name)
        if json:
            sub.add_argument("--json", action="store_true", help="print JSON")
        if csv:
            sub.add_argument("--csv", action="store_true", help="print a table for a spreadsheet (RFC 4180)")
        return sub

    demo = verb("demo", "open an invented farm, on a day in June", json=False)
    demo.add_argument(
        "--path", metavar="DIR", type=Path, help="write it there, print the folder and open nothing"
    )
    new = verb("new", "make an empty farm folder")
    new.add_argument("folder", metavar="DIR", type=Path)
    verb("today", "print the brief: what this morning asks")
    write = verb("write", "write one line; - takes lines from standard input")
    write.add_argument("line", metavar="LINE", nargs="+", help="such as: 40 strawflower b3 dry")
    verb("trays", "trays, their hardening and when they go out", csv=True)
    verb("beds", "beds, what stands in them and what it needs", csv=True)
    verb("shelf", "what hangs, how far it has dried and by what; and the bucket", csv=True)
    verb("buckets", "what is fresh, what is left of its vase life, and what to do with it today", csv=True)
    _shed_options(verb("shed", "the air of the drying shed, its lines, and what damp hurts first"))
    verb("stock", "what is on hand, with its form, age and place, and the boxes", csv=True)
    _bench_options(
        verb("bench", "wired heads, pieces and makings; what can be made, what is short of an order")
    )
    lot = verb("lot", "one lot's page: its numbers, places, losses, drying with its plot, and its story")
    lot.add_argument("code", metavar="LOT", help="such as L041")
    losses = verb(
        "losses", "what was lost at every hand-over and why, by stage at the cut, in store", csv=True
    )
    losses.add_argument("--crop", metavar="CROP", help="of one crop only: any beginning of its name")
    losses.add_argument("--year", metavar="YYYY", type=year, help="of what was cut in that year")
    _plan_options(
        verb("plan", "the kept plans, and the room there is; with a wish, what it comes to", csv=True)
    )
    crop = verb("crop", "one crop's sheet, every figure with its source")
    crop.add_argument("name", metavar="NAME", nargs="+", help="any unambiguous beginning")
    crop.add_argument("--way", metavar="WAY", help="another way of growing it, where the sheet has one")
    strike = verb("strike", "strike an entry; a struck strike restores")
    strike.add_argument("id", metavar="ID", help="the entry's id, or its last characters")
    entries = verb("entries", "the entries themselves, oldest first; as JSON one a line")
    entries.add_argument("--since", metavar="YYYY-MM-DD", type=day, help="only those dated from then on")
    history = verb("history", "the whole story of a lot, a tray, a planting, a bed or pieces made")
    history.add_argument("code", metavar="CODE", help="such as L041, S12 or b3")
    check = verb("check", "look for damage and for anything that does not add up")
    check.add_argument(
        "--repair", action="store_true", help="write back what book.json still holds, set damaged lines aside"
    )
    verb("tonight", "the night to come: its low, the trays and beds at risk, and when")
    sky = verb("weather", "frost odds of the station, your own ground, and what the windows hang on")
    if weather:
        from tui.weather_options import add_options

        add_options(sky, shared)
    _book_verbs(verb)
    reckon = verb("reckon", "one calculation on its own, with no farm", json=False, run="reckon_what")
    if reckoning:
        from tui.reckon import add_parsers

        add_parsers(reckon, shared)
    return top


def _layout_of_help(prog: str) -> argparse.HelpFormatter:
    """As wide as the terminal; left alone, argparse loads a module that knows every archive to find that out."""
    try:
        columns = int(os.environ.get("COLUMNS") or os.get_terminal_size(sys.stdout.fileno()).columns)
    except (AttributeError, ValueError, OSError):
        columns = 80
    return argparse.HelpFormatter(prog, width=columns - 2)


def _bench_options(bench: argparse.ArgumentParser) -> None:
    from tui.arguments import number

    bench.add_argument(
        "--make", metavar="ORDER", help='what is short for an order, such as "12 wreaths of 14 in"'
    )
    bench.add_argument("--trace", metavar="PIECES", help="what is in pieces made, back to bed and seed: M001")
    bench.add_argument(
        "--spare", metavar="PERCENT", type=number, default=0, help="so many more stems, for wedding work"
    )


def _shed_options(shed: argparse.ArgumentParser) -> None:
    from tui.arguments import bunch_count

    shed.add_argument(
        "--hang",
        metavar="BUNCHES",
        type=bunch_count,
        help="so many are to be hung; else what is likely today",
    )


def _plan_options(plan: argparse.ArgumentParser) -> None:
    plan.add_argument("line", metavar="LINE", nargs="*", help="a wish, such as: 120 strawflower dry by 09-19")
    plan.add_argument("--keep", action="store_true", help="write it into the book; without, it is only shown")
    plan.add_argument("--what-if", metavar="NAME=VALUE", help="what else moves, such as germination=0.6")
    plan.add_argument("--why", action="store_true", help="every step with its reason and its source")
    plan.add_argument(
        "--weeks", metavar="N", type=week_count, default=26, help="weeks of room; 26 unless said"
    )


def _book_verbs(verb: Callable[..., argparse.ArgumentParser]) -> None:
    merge = verb(
        "merge", "bring in the other machine's book: a farm folder, a log, or a file made by 'since'"
    )
    merge.add_argument("other", metavar="OTHER", type=Path)
    since = verb(
        "since",
        "print the log lines after an entry or from a day on, to carry to the other machine",
        json=False,
    )
    since.add_argument("start", metavar="ID|DATE")
    restore = verb(
        "restore", "bring back from a backup what the logs have lost; without a name, list the backups"
    )
    restore.add_argument("backup", metavar="BACKUP", nargs="?")


def _initials(text: str) -> str:
    from core.text import clean

    initials = "".join(c for c in clean(text) if c.isalnum())[:8].lower()
    if not initials:
        raise argparse.ArgumentTypeError("give initials, such as: ml")
    return initials


def _initials_of_environment() -> str:
    import getpass

    said = os.environ.get("SHEDBOOK_BY")
    if not said:
        try:
            said = getpass.getuser()
        except (OSError, KeyError):
            said = "me"
    return "".join(c for c in said if c.isalnum())[:8].lower() or "me"


def _farm_of_environment() -> Path | None:
    """The farm where no option names it; None where nobody's home is known."""
    if said := os.environ.get("SHEDBOOK_FARM"):
        return Path(said)
    try:
        return Path.home() / "shedbook"
    except RuntimeError:
        return None


if __name__ == "__main__":
    sys.exit(main())
