"""The look back on the command line: her own figures beside the sheet's, and what cost her."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Mapping, Sequence

from core.learning.cost import Cost, LossShare, LossSoFar
from core.learning.cost import cost as cost_of
from core.learning.planned import PlannedRow, ShortRow, TurnRow, planned_rows, short_rows, turn_rows
from core.learning.rows import (
    LearnedRow,
    Verdict,
    called,
    figure_text,
    learned,
    learned_of,
    span_text,
    worth_changing,
)
from core.settings.sheets import year_of
from core.stems.losses import HAND_OVERS, crop_that_was_cut
from core.text import PAGE, named, wrapped
from core.units import money, number, plural
from tui import out
from tui.arguments import season
from tui.cli_session import open_session
from tui.command import show_table
from tui.out import good
from tui.subjects.stems import NOTHING_LOST
from tui.table import CSV, TEXT, Column, Meaning, Table, csv_table, printed_table

NOTHING = "The record says nothing of that yet: sow, count what is up, set out, cut, and write each with its number."


def _span(span: tuple[float, float] | None, unit: str = "") -> str:
    return "none" if span is None else span_text(unit, *span)


LEARNED = (
    Column("", "of", show=called, on=CSV),
    Column("label", "figure"),
    Column("sheet", "sheet", show=_span),
    Column("own", "yours", show=number, on=CSV),
    Column("", "yours", show=lambda r: figure_text(r.unit, r.own), on=TEXT, right=True),
    Column("", "nine in ten", show=lambda r: _span((r.low, r.high), r.unit), on=TEXT),
    Column("low", "low", show=number, on=CSV),
    Column("high", "high", show=number, on=CSV),
    Column("seasons", "seasons"),
    Column("n", "n"),
    Column("take", "to take it", on=CSV),
)


def learn(args: Namespace) -> int:
    """Her own figures of one crop, or those of all crops that are worth changing."""
    session = open_session(args)
    name = " ".join(args.crop)
    farm, day = session.farm, session.today
    rows = good(learned_of(farm, day, name)) if name else learned(farm, day)
    shown = rows if name or args.all or args.json or args.csv else [*worth_changing(rows)]
    if args.json or args.csv:
        return show_table(args, LEARNED, shown)
    in_full = shown if name or args.all else shown[:MOST_IN_FULL]
    out.lines(_table(in_full) or [NOTHING if not rows else _no_change(rows)])
    out.lines([*_page(rows, in_full, bool(name), shown[len(in_full) :])])
    return out.DONE


def _table(shown: Sequence[LearnedRow]) -> list[str]:
    """The figures of each crop, way or variety under its name."""
    head, *lines = printed_table(LEARNED, shown, PAGE - 2) or [""]
    told = [f"  {head}"] if lines else []
    last = ""
    for row, line in zip(shown, lines, strict=True):
        if called(row) != last:
            last = called(row)
            told.append(last)
        told.append(f"  {line}")
    return told


def _no_change(rows: Sequence[LearnedRow]) -> str:
    crops = plural(len({row.crop for row in rows}), "crop")
    return (
        f"Nothing to change: the record speaks to {plural(len(rows), 'figure')} of {crops} ('learn --all')."
    )


KEPT: Mapping[Verdict, str] = {
    "wait": "Wait for another season with these, for one alone may have been the weather",
    "leave": "Leave these, for the record agrees with the sheet or is too little to tell",
    "alone": "Yours alone, for no sheet says what is usual",
}
"""Verdicts that ask for nothing -> how the figures they are of are told together."""


MOST_IN_FULL = 5
"""Figures worth changing that are told with why; of the others their lines."""


def _page(
    rows: Sequence[LearnedRow],
    shown: Sequence[LearnedRow],
    with_all: bool,
    more: Sequence[LearnedRow] = (),
) -> Iterator[str]:
    told = [row for row in shown if row.take]
    for row in told:
        yield from wrapped(["", f"{called(row)}, {row.label}: {row.advice}", f"  {row.take}"])
    if more:
        yield from wrapped(["", "These change less of a plan (why: learn CROP):"])
        yield from (f"  {row.take}" for row in more)
    if told:
        yield from wrapped(["", "A figure is taken by writing its line; 'undo' takes it back."])
    if with_all:
        yield from _in_short(shown)
    elif others := len(rows) - len(shown) - len(more):
        yield ""
        yield f"{plural(others, 'other figure')} need no change: learn --all, or learn CROP."


def _in_short(shown: Sequence[LearnedRow]) -> Iterator[str]:
    """What asks for no line: what to reckon with, figure by figure, and all else in few sentences, of each crop and way
    as a whole; varieties by their number."""
    reckon = [row for row in shown if row.verdict == "reckon"]
    if reckon:
        yield ""
        yield from wrapped(f"{called(row)}, {row.label}: {row.advice}" for row in reckon)
    for verdict, why in KEPT.items():
        whole: dict[str, list[str]] = {}
        sorts = 0
        for row in shown:
            if row.verdict != verdict:
                continue
            if row.variety is None:
                whole.setdefault(called(row), []).append(row.label)
            else:
                sorts += 1
        if not whole and not sorts:
            continue
        yield ""
        yield from wrapped([f"{why}:"])
        yield from wrapped(f"  {of}: {'; '.join(labels)}" for of, labels in whole.items())
        if sorts:
            yield f"  {plural(sorts, 'figure')} of varieties"


def learn_options(learn: ArgumentParser) -> None:
    learn.add_argument(
        "crop", metavar="CROP", nargs="*", help="any unambiguous beginning; none tells what to change"
    )
    learn.add_argument("--all", action="store_true", help="every figure that the record speaks to")


# what cost her


def _worth(cents: int | None) -> str:
    return "" if cents is None else money(cents)


COST = (
    Column("crop", "crop"),
    Column("factor", "by"),
    Column("level", "which"),
    Column("cause", "lost to"),
    Column("lost", "lost"),
    Column("stems", "of"),
    Column("other_lost", "others"),
    Column("other_stems", "of"),
    Column("more_pct", "% more", show=number),
    Column("", "nine in ten", show=lambda r: _span((r.low_pct, r.high_pct)), on=TEXT),
    Column("cost", "cost"),
)
LOSSES = (
    Column("crop", "crop"),
    Column("form", "lost at", show=lambda form: HAND_OVERS.get(form, form)),
    Column("cause", "cause"),
    Column("stems", "stems"),
    Column("of", "of"),
    Column("share_pct", "%", show=number),
    Column("", "nine in ten", show=lambda r: _span((r.low_pct, r.high_pct))),
    Column("cents", "worth", show=_worth, right=True),
)
MOST_LOSSES = 20
"""Losses told on paper, the biggest; all of them with --all."""
MOST_TOLD = 8
"""What went with losses, told on paper: the costliest; JSON and CSV have all."""


def cost(args: Namespace) -> int:
    """Print what was lost and what it was worth, of the cuts of all years or of one."""
    session = open_session(args)
    farm, day = session.farm, session.today
    crop = good(crop_that_was_cut(farm, args.crop)) if args.crop else None
    found = cost_of(farm, args.year, crop)
    planned = planned_rows(farm, day, args.year)
    turns = turn_rows(farm, args.year or year_of(farm, day))
    if crop:
        planned = [row for row in planned if row.crop == crop]
        turns = [row for row in turns if row.crop == crop]
    short = short_rows(farm, args.year)
    if args.json:
        out.rows(
            found.rows,
            comparisons=found.comparisons,
            losses=found.losses,
            so_far=found.so_far,
            planned=planned,
            turns=turns,
            short=short,
        )
    elif args.csv:
        out.text(csv_table(COST, found.rows))
    else:
        out.lines(_cost_page(found, planned, turns, short, every=args.all))
    return out.DONE


def _cost_page(
    found: Cost,
    planned: Sequence[PlannedRow],
    turns: Sequence[TurnRow],
    short: Sequence[ShortRow],
    *,
    every: bool,
) -> Iterator[str]:
    if found.losses:
        priced = any(loss.cents is not None for loss in found.worst)
        yield "The worst losses" + " (money: at your own price of a stem)" * priced
        yield from wrapped(f"  {_worst(loss)}" for loss in found.worst)
    elif not found.so_far:
        yield NOTHING_LOST
    if found.so_far:
        yield from ("",) * bool(found.losses)
        shown_so_far = found.so_far if every else found.so_far[:MOST_LOSSES]
        yield "Beside these, of lots not used up yet" if found.losses else "Of lots not used up yet"
        yield from wrapped(f"  {_so_far(loss)}" for loss in shown_so_far)
        if len(shown_so_far) < len(found.so_far):
            yield f"  and {len(found.so_far) - len(shown_so_far)} smaller ones: cost --all"
    if found.comparisons:
        yield from ("", f"What went with losses ({plural(found.comparisons, 'comparison')} made)")
    if found.comparisons and not found.rows:
        yield "  nothing that the numbers bear"
    for row in found.rows[:MOST_TOLD]:
        more = f"{number(row.low_pct)} to {number(row.high_pct)} more in 100"
        yield from wrapped([f"  {row.says}: {more}, some {plural(row.cost, 'stem')}"])
    if planned:
        yield from ("", "Planned against done")
        yield from wrapped(f"  {row.plan} {named(row.crop, row.variety)}: {row.says}" for row in planned)
    if uneven := [row for row in turns if row.follows != "in turn"]:
        yield from ("", "Successions")
        yield from wrapped(f"  {row.crop}: {row.says}" for row in uneven)
    if short:
        yield from ("", "Told short to buyers")
        yield from wrapped(f"  {row.number} {row.of} ({', '.join(row.orders)})" for row in short)
    if len(found.losses) > len(found.worst):
        by_size = sorted(found.losses, key=lambda loss: -loss.stems)
        shown = by_size if every else by_size[:MOST_LOSSES]
        yield from ("", "All losses by size" if len(shown) == len(by_size) else "Losses by size")
        yield from printed_table(LOSSES, shown)
        if len(shown) < len(by_size):
            yield f"and {len(by_size) - len(shown)} smaller ones: cost --all, or cost --crop CROP"


def _worst(loss: LossShare) -> str:
    return f"{_what_was_lost(loss)} of {loss.of}{_in_money(loss)}"


def _so_far(loss: LossSoFar) -> str:
    return f"{_what_was_lost(loss)} so far{_in_money(loss)}"


def _what_was_lost(loss: LossShare | LossSoFar) -> str:
    form = HAND_OVERS.get(loss.form, loss.form)
    return f"{loss.crop}, {loss.cause} {form}: {plural(loss.stems, 'stem')}"


def _in_money(loss: LossShare | LossSoFar) -> str:
    return "" if loss.cents is None else f", {money(loss.cents)}"


def cost_options(cost: ArgumentParser) -> None:
    cost.add_argument("--crop", metavar="CROP", help="of one crop only: any beginning of its name")
    cost.add_argument("--year", metavar="YYYY", type=season, help="of what was cut in that year")
    cost.add_argument("--all", action="store_true", help="every loss, however small")


LEARNED_TABLE = Table(
    "learned",
    LEARNED,
    lambda session: learned(session.farm, session.today),
    "your own figures by your record",
    heads={"of": Meaning("crop, and variety")},
)
