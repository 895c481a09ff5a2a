"""A crop's sheet as text and as JSON: every figure beside the source it rests on."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

from core.book.layout import is_farm
from core.crops.library import crop_names
from core.crops.library import sheet as library_sheet
from core.crops.sheet import FIGURES, Figure, Sheet
from core.crops.sources import cited
from core.crops.stages import StageCard, stage_card
from core.happened import OwnFigure
from core.kinds import sentence
from core.learning.rows import LearnedRow, beside, learned
from core.marked import value_told
from core.places import USES
from core.problems import Problem
from core.settings.sheet_pack import packed, read_pack, unpacked, write_pack
from core.settings.sheets import of_varieties, sheet_called
from core.text import clean, wrap
from core.units import plural
from tui.cli_session import close_session, open_session
from tui.command import Command, tell, tell_done
from tui.out import good

if TYPE_CHECKING:
    from core.session import Session


def crop(args: Namespace) -> int:
    """One crop sheet, from the farm's book where there is one."""
    name = " ".join(args.name)
    session = open_session(args) if is_farm(args.farm) else None
    farm = session.farm if session else None
    own = farm.own_crops if farm else ()
    if not name:
        return tell(args, {"own": own, "library": crop_names()}, crop_lines(own))
    found = good(sheet_called(farm, name, args.way) if farm else library_sheet(name, args.way))
    cards = [stage_card(found, use) for use in USES]
    sorts = of_varieties(farm, found.crop) if farm else {}
    mine = _mine(session, found) if session else []
    told = {**sheet_json(found, cards), "varieties": sorts, "learned": mine}
    return tell(args, told, chain(sheet_lines(found, cards, mine), variety_lines(sorts)))


def crop_page(session: Session, name: str) -> list[str] | Problem:
    """The same page for the screen."""
    found = sheet_called(session.farm, name)
    if isinstance(found, Problem):
        return found
    cards = [stage_card(found, use) for use in USES]
    varieties = variety_lines(of_varieties(session.farm, found.crop))
    return [*sheet_lines(found, cards, _mine(session, found)), *varieties]


def _mine(session: Session, sheet: Sheet) -> list[LearnedRow]:
    """What the record says of the crop as it is grown so, whatever its variety."""
    rows = learned(session.farm, session.today, sheet.crop)
    return [row for row in rows if (row.way, row.variety) == (sheet.way, None)]


def _options(crop: ArgumentParser) -> None:
    crop.add_argument(
        "name", metavar="NAME", nargs="*", help="any unambiguous beginning; none lists every crop"
    )
    crop.add_argument("--way", metavar="WAY", help="another way of growing it, where the sheet has one")


def crop_lines(own: Sequence[str]) -> Iterator[str]:
    """Every crop there is by name, the farm's own first."""
    if own:
        yield from wrap(f"Your own: {'; '.join(own)}", hang=2)
    yield from wrap(f"In the library: {'; '.join(crop_names())}", hang=2)
    yield "One that is not here is made yours so: shedbook write crop didiscus like ammi"


def _pack_options(parser: ArgumentParser) -> None:
    parser.add_argument("way", metavar="out|in", choices=("out", "in"), help="write the file, or read it")
    parser.add_argument("file", metavar="FILE", type=Path, help="the pack of sheets")
    parser.add_argument(
        "--over", action="store_true", help="the pack's figure in place of yours where they differ"
    )
    parser.add_argument("--look", action="store_true", help="only say what would come in")


def sheets(args: Namespace) -> int:
    """Your own crops and figures, carried out as a file, or in from one."""
    session = open_session(args, to_write=args.way == "in")
    if args.way == "out":
        held = packed(session.farm)
        good(write_pack(args.file, session.farm))
        told = (
            f"{plural(len(held['crops']), 'crop')} of your own and {plural(len(held['figures']), 'figure')}"
        )
        return tell_done(
            args, f"{args.file} is written.", held, [f"Written: {told} in {clean(str(args.file))}"]
        )
    pack = unpacked(good(read_pack(args.file)), session.farm, session.today.isoformat(), over=args.over)
    lines = [sentence(draft) for draft in pack.drafts]
    left = [f"left as it is: {said}" for said in pack.differs] + [
        f"not taken: {said}" for said in pack.refused
    ]
    if pack.same:
        left.append(f"there already: {pack.same}")
    value = pack._asdict() | {"drafts": [{"kind": d.kind, **d.fields} for d in pack.drafts], "written": False}
    if args.look or not pack.drafts:
        return tell(args, value, [*(f"would come in: {said}" for said in lines), *left])
    crops = [draft for draft in pack.drafts if draft.kind == "crop"]
    for draft in crops:  # each is there before one that is like it
        good(session.record((draft,)))
    if figures := pack.drafts[len(crops) :]:
        good(session.record(figures))
    close_session(session)
    done = f"{plural(len(lines), 'line')} of the pack came in"
    return tell_done(
        args, f"{done}.", value | {"written": True}, [*(f"came in: {said}" for said in lines), *left]
    )


COMMANDS = {"crop": Command(crop, _options), "sheets": Command(sheets, _pack_options)}


def sheet_lines(
    sheet: Sheet, cards: Sequence[StageCard], by_record: Sequence[LearnedRow] = ()
) -> Iterator[str]:
    """The sheet with what the record says beside it, its clashes, the stage cards and the sources; no line is wider
    than 78 columns."""
    mine = {row.figure: row for row in by_record}
    way = f", {sheet.way} way" if sheet.way else ""
    yield f"{sheet.title}{way} ({_whose(sheet)})"
    for name, figure in sheet.figures().items():
        yield from wrap(
            f"{FIGURES[name].told + ':':34} {value_told(FIGURES[name].label, figure.text)}  [{figure.source}]",
            hang=35,
        )
        if figure.instead_of is not None:
            yield from wrap(
                f"{'':34} instead of {value_told(FIGURES[name].label, figure.instead_of.text)}  "
                f"[{figure.instead_of.source}]",
                hang=35,
            )
        if name in mine:
            yield from wrap(f"{'':34} {beside(mine.pop(name))}", hang=35)
    for row in mine.values():
        yield from wrap(f"{row.label + ':':34} {beside(row)}", hang=35)
    if sheet.heat_units_to_first_cut is None:
        label = FIGURES["heat_units_to_first_cut"].told
        yield from wrap(
            f"{label + ':':34} no published figure was found; your own may stand here",
            hang=35,
        )
    for clash in sheet.clashes:
        yield from wrap(f"Sources clash on {_called(clash.figure)}:", hang=2)
        for reading in clash.readings:
            yield from wrap(f"  {reading.text}  [{reading.source}]", hang=4)
    for card in cards:
        yield ""
        yield f"To cut {card.use}"
        yield from (f"  {line}" for line in card.look)
        yield from (f"! {line}" for line in card.warn)
    if sheet.caution is not None:
        yield ""
        yield from wrap(f"! {sheet.caution.text}", hang=2)
    if sheet.notes:
        yield ""
        yield from wrap(sheet.notes, hang=0)
    if sheet.sources:
        yield ""
        yield "Sources"
    for source in cited(" ".join(sheet.sources)):
        yield from wrap(
            f"  {source.id:5} {source.title}. {source.publisher}, {source.year} ({source.grade})", hang=8
        )


def _whose(sheet: Sheet) -> str:
    """The plant's botanical name, or that it is a crop of the farm's own, and like which."""
    if sheet.own_like is None:
        return sheet.botanical
    return f"a crop of your own, like {sheet.own_like}" if sheet.own_like else "a crop of your own"


def variety_lines(sorts: Mapping[str, Mapping[str, OwnFigure]]) -> Iterator[str]:
    """The figures of the farm's own for varieties of the crop."""
    if sorts:
        yield ""
        yield "Varieties, whose figures go before these"
    for variety, figures in sorts.items():
        for figure, own in figures.items():
            label = f"  {variety}, {FIGURES[figure].told}:"
            yield from wrap(
                f"{label:34} {value_told(FIGURES[figure].label, own.value)}  [{own.source}]", hang=35
            )


def sheet_json(sheet: Sheet, cards: Sequence[StageCard]) -> dict[str, Any]:
    """{"crop", "way", "botanical", "figures": {name: {"value", "source"}}, "clashes", "cards", "caution"}."""
    return {
        "crop": sheet.crop,
        "way": sheet.way,
        "botanical": sheet.botanical,
        "like": sheet.own_like,
        "figures": {name: _figure(figure) for name, figure in sheet.figures().items()},
        "clashes": sheet.clashes,
        "cards": cards,
        "caution": sheet.caution.text if sheet.caution is not None else None,
        "notes": sheet.notes,
        "sources": [source.id for source in cited(" ".join(sheet.sources))],
    }


def _called(name: str) -> str:
    """What a figure is called before what sources say of it, each with its own unit."""
    return FIGURES[name].label.removesuffix(", F").removesuffix(", in") if name in FIGURES else name


def _figure(figure: Figure[Any]) -> dict[str, Any]:
    found = {"value": figure.value, "source": figure.source}
    if figure.instead_of is not None:
        found["instead_of"] = _figure(figure.instead_of)
    return found
