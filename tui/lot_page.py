"""`shedbook lot L041`: one lot's own page, with the plot of its drying."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.dialect import told_time
from core.drying.asks import asks_of
from core.lot_page import LotPage, lot_called, lot_page
from core.problems import Problem
from core.text import named, wrapped
from tui.cli_session import open_session
from tui.command import Command, tell
from tui.out import good

if TYPE_CHECKING:
    from core.session import Session


def page_of(session: Session, code: str) -> LotPage | Problem:
    """A lot's own page: its numbers, places, losses, drying and story."""
    found = lot_called(session.farm, code)
    if isinstance(found, Problem):
        return found
    story = session.look_back.history(found.code)
    told = [] if isinstance(story, Problem) else story
    marks = session.look_back.marks(told)
    return lot_page(session.farm, found, session.today, story=told, marks=marks, clock=session.clock)


def lot(args: Namespace) -> int:
    """One lot's page."""
    page = good(page_of(open_session(args), args.code))
    plot = frozenset(page.plot)
    lines = (part for line in lot_lines(page) for part in ([line] if line in plot else wrapped([line])))
    return tell(args, page, lines)


def _options(lot: ArgumentParser) -> None:
    lot.add_argument("code", metavar="LOT", help="such as L041")


COMMANDS = {"lot": Command(lot, _options)}


def lot_lines(page: LotPage) -> Iterator[str]:
    """The page as lines of text; the lines of its plot are not wrapped."""
    yield f"{page.lot} {_named(page)}"
    from_planting = f" ({page.planting})" if page.planting else ""
    at = f" at {told_time(page.cut_at)}" if page.cut_at else ""
    stage = f"; stage at the cut: {page.stage}" if page.stage else ""
    yield f"  cut {page.cut_on}{at} in {page.bed}{from_planting}, to be {_use(page.use)}{stage}"
    if page.insisted:
        yield f"  anyway: {page.insisted}"
    yield f"  {page.adds_up}"
    if page.places:
        yield "where"
    for place in page.places:
        grade = f", {place.grade} grade" if place.grade else ""
        bound = f" in bunches of {place.per}" if place.per > 1 and place.unit == "stems" else ""
        bound = f" of {place.per}" if place.unit == "bunches" else bound
        yield f"  {place.place}: {place.on_hand} {place.unit}{bound}, {place.form} since {place.since}{grade}"
    for fresh in page.fresh:
        yield f"  {fresh.because}"
    yield from _drying(page)
    if page.losses:
        yield "lost"
    for loss in page.losses:
        found = " (more was found)" if loss.stems < 0 else ""
        yield f"  {loss.on}  {loss.form:8} {loss.stems:4} {loss.cause}{found}"
    if page.story:
        yield "story"
    for told in page.story:
        yield f"  {told.on}  {told.by:3} {told.says}{f'  ({told.mark})' if told.mark else ''}"


def _drying(page: LotPage) -> Iterator[str]:
    if page.hanging or page.weighings:
        yield "drying"
    for row in page.hanging:
        note = f"; {row.note}" if row.note else ""
        yield (
            f"  {row.line}: {asks_of(row) or 'hanging'}, test from {row.test_from}, dry by {row.dry_by} "
            f"({row.speaks}), {100 * row.share:.0f} % of its time done{note}"
        )
        for why in row.why:
            yield f"    {why}"
    for on, result, place in page.tests:
        on_line = f" on {place}" if place else ""
        yield (
            f"  out of a box{on_line} {on}: damp"
            if result == "damp"
            else f"  snap test {on}{on_line}: {result}"
        )
    is_told = any(row.note for row in page.hanging)
    if page.drying is not None and (page.drying.enough or not is_told):
        yield f"  {page.drying.says}"
    for w in page.weighings:
        yield f"  {w.on} {told_time(w.clock)}  {w.grams:g} g, {100 * w.left:.0f} % of the first"
    yield from page.plot
    if page.weighings:
        yield f"  {page.crop} {page.keeps}"


def _named(page: LotPage) -> str:
    name = named(page.crop, page.variety)
    return f"{name}, {page.way}" if page.way else name


def _use(use: str) -> str:
    return {"dry": "dried", "wire": "wired"}.get(use, f"sold {use}")
