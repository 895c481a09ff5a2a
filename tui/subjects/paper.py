"""Labels and sheets as PDF."""

from __future__ import annotations

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from collections.abc import Sequence
from pathlib import Path

from core.codes import canonical
from core.dialect import is_british
from core.libraries import module_with
from core.outgoing import read_old, replace, told
from core.paper import labels as labelled
from core.paper.bed_map import bed_map
from core.paper.day_sheet import day_sheet
from core.paper.flow import PAGES
from core.paper.label_sheets import EXAMPLE, SHEETS, roll_called, sheet_called
from core.paper.lists import cut_sheet, pick_sheet, slip_sheet
from core.paper.marks import Page
from core.paper.season_sheet import season_sheet
from core.problems import Problem, ShedbookError
from core.text import clean
from core.units import plural
from tui.arguments import count_of, number
from tui.cli_session import open_session
from tui.command import Command, tell_done
from tui.out import good
from tui.subjects.orders import order_called

WHAT = {
    "cutlist": cut_sheet,
    "picklist": pick_sheet,
    "beds": bed_map,
    "day": day_sheet,
    "season": season_sheet,
}


def labels(args: Namespace) -> int:
    """Print labels."""
    sheet = good(roll_called(args.roll) if args.roll else sheet_called(args.sheet))
    shift = tuple(args.shift)
    if args.trial:
        return _put(args, [labelled.trial(sheet, shift)], labels=0)
    if not args.lots:
        raise ShedbookError(
            Problem("Of which lots? Name them: --lots L041 L042 (or trays, such as S12).", "unknown")
        )
    session = open_session(args)
    found = good(labelled.labels_of(session.farm, args.lots, args.each))
    return _put(args, good(labelled.pages(found, sheet, args.start, shift)), labels=len(found))


def sheet(args: Namespace) -> int:
    """Print one sheet."""
    session = open_session(args)
    size = PAGES[args.page or ("a4" if is_british() else "letter")]
    what = args.what.lower()
    if what.isdigit() and len(what) == len("2026"):
        return _put(args, season_sheet(session.sight(), size, int(what)))
    if what in WHAT:
        return _put(args, WHAT[what](session.sight(), size))
    code = canonical(what)
    if code is None:
        raise ShedbookError(
            Problem(
                f"There is no sheet '{clean(args.what)[:24]}': {', '.join(WHAT)}, a year for its season, or an order, "
                "such as O014, for its packing slip.",
                "unknown",
            )
        )
    return _put(args, slip_sheet(session.sight(), good(order_called(session, code)), size))


def _put(args: Namespace, pages: Sequence[Page], **more: int) -> int:
    """Write the pages, and say so."""
    module_with("segno", "paper", "segno")
    made = module_with("reportlab", "paper", "core.paper.pdf")
    data: bytes = good(made.pdf(pages))
    path: Path = args.file
    old = read_old(path)
    if old is not None and made.OURS not in old:
        text = f"{told(path)} is none that shedbook made: move it away, or name another file."
        raise ShedbookError(Problem(text, "impossible"))
    replace(path, data)
    count = f", {plural(more['labels'], 'label')}" if more.get("labels") else ""
    says = f"{told(path)}: {plural(len(pages), 'page')}{count}. Print it at actual size."
    return tell_done(args, says, {"file": path, "pages": len(pages), **more}, [says])


def _millimetres(text: str) -> float:
    value = number(text)
    if abs(value) > labelled.MOST_SHIFT:
        raise ArgumentTypeError(f"a shift is of {labelled.MOST_SHIFT:g} mm at most")
    return value


def _labels_options(parser: ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", type=Path, help="such as labels.pdf")
    parser.add_argument(
        "--lots",
        metavar="CODE",
        nargs="+",
        default=[],
        help="such as L041 L042; what is picked for an order (O014), trays, plantings, pieces too",
    )
    parser.add_argument(
        "--sheet", default="letter-30", help=f"{', '.join(SHEETS)}; or its millimetres: {EXAMPLE}"
    )
    parser.add_argument("--roll", metavar="WxH", default="", help="labels on a roll, such as 57x32 mm")
    parser.add_argument(
        "--each", metavar="N", type=count_of("labels", 1000), help="of each so many; else one a bunch"
    )
    parser.add_argument(
        "--start",
        metavar="N",
        type=count_of("labels", 1000),
        default=1,
        help="the first label that is left on the sheet",
    )
    parser.add_argument(
        "--shift",
        metavar="MM",
        nargs=2,
        type=_millimetres,
        default=(0.0, 0.0),
        help="right and down, such as 0.5 -1",
    )
    parser.add_argument("--trial", action="store_true", help="outlines and a rule, for plain paper")


def _sheet_options(parser: ArgumentParser) -> None:
    parser.add_argument(
        "what",
        metavar="WHAT",
        help=f"{', '.join(WHAT)}, a year for its season, or an order's code for its packing slip",
    )
    parser.add_argument("file", metavar="FILE", type=Path, help="such as day.pdf")
    parser.add_argument("--page", choices=[*PAGES], help="letter unless the farm speaks British")


COMMANDS = {"labels": Command(labels, _labels_options), "sheet": Command(sheet, _sheet_options)}
