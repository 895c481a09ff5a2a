"""Plots on the command line: in plain letters with the table behind, or as SVG."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from pathlib import Path

from core.dialect import in_words
from core.libraries import module_with
from core.outgoing import read_old, replace, told
from core.plotted.plots import PLOTS, plotted
from core.plotted.shapes import Plotted
from core.plotted.svg import svg
from core.problems import Problem, ShedbookError
from core.units import number
from tui import out
from tui.arguments import season
from tui.cli_session import open_session
from tui.command import Command, tell_done
from tui.out import good
from tui.season_strip import strip_lines, strip_rows
from tui.table import columns_of, csv_table, printed_table

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 800 '
"""How every SVG that is made here begins."""


STRIP = columns_of(("", "stems", "most", "week of", "from", "to"))


def plot(args: Namespace) -> int:
    """Draw one plot."""
    session = open_session(args)
    found = good(plotted(session.farm, args.what, session.today, args.year, args.crop, session.records))
    heads = ("", *(series.name for series in found.series), *(("of",) if found.notes else ()))
    notes = [found.notes] if found.notes else []
    rows = list(zip(found.labels, *(series.values for series in found.series), *notes, strict=True))
    if args.svg:
        return _put(args, found)
    if args.json:
        out.as_json(found)
    elif args.csv:
        out.text(csv_table(columns_of(("from", *heads[1:])), rows))
    elif found.shape == "strip":
        out.lines([*strip_lines(found), "", *printed_table(STRIP, strip_rows(found))])
    else:
        draw = module_with("plotext", "plots", "tui.drawn").drawn
        out.lines(draw(found))
        cells = [[number(one) if isinstance(one, int | float) else one or "" for one in row] for row in rows]
        out.lines(["", *printed_table(columns_of([*map(in_words, heads)]), cells)])
    return out.DONE


def _put(args: Namespace, found: Plotted) -> int:
    path: Path = args.svg
    old = read_old(path)
    if old is not None and not old.startswith(SVG):
        text = f"{told(path)} is none that shedbook made: move it away, or name another file."
        raise ShedbookError(Problem(text, "impossible"))
    replace(path, svg(found).encode())
    says = f"{told(path)}: {found.title}."
    return tell_done(args, says, {"file": path, **found._asdict()}, [says])


def _options(parser: ArgumentParser) -> None:
    parser.add_argument("what", metavar="WHAT", choices=[*PLOTS], help=", ".join(PLOTS))
    parser.add_argument("--crop", metavar="CROP", help="of one crop only: any beginning of its name")
    parser.add_argument("--year", metavar="YYYY", type=season, help="of that year, beside the one before")
    parser.add_argument("--svg", metavar="FILE", type=Path, help="as a drawing for other programs")


COMMANDS = {"plot": Command(plot, _options, csv=True)}
