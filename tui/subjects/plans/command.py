"""`shedbook plan`: the kept plans and the room there is; a wish previewed, moved, or kept."""

from __future__ import annotations

import argparse
from argparse import ArgumentParser, Namespace
from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from core.marked import typed_feet
from core.patterns import pattern
from core.plans.capacity import how_much
from core.plans.preview import Preview, preview_json
from core.plans.room_weeks import RoomRow, RoomWeeks, room_weeks
from core.plans.rows import Part, PlanRow, plan_rows
from core.plans.typed_wish import moved_by, preview_of
from core.problems import Problem
from core.text import named, wrapped
from core.units import day_from_iso, day_text, short_day
from tui import out
from tui.arguments import count_of
from tui.arguments import number as plain_number
from tui.cli_session import close_session, open_session, say_written
from tui.command import Command, show_table, tell
from tui.out import good
from tui.plan_lines import piece_lines, plan_lines, weekly_lines
from tui.table import CSV, DAY, Column, Meaning, Table, columns_of, printed_table

if TYPE_CHECKING:
    from core.session import Session

_CODE = pattern(r"[Nn]\d+[A-Za-z]*(-\d+|'*)")
"""The code of a kept plan, such as N01."""
_ORDER = pattern(r"[Oo]\d+[A-Za-z]*(-\d+|'*)")
"""The code of an order, such as O014."""
NOTHING = "No plan is kept: try one, such as 'shedbook plan 120 strawflower dry by 09-19', then add --keep."


def _due_on(part: Part | None) -> str | None:
    return part.due_on if part else None


COLUMNS = (
    Column("plan", "plan"),
    Column("crop", "crop"),
    Column("variety", "variety"),
    Column("use", "for"),
    Column("stems", "stems"),
    Column("by", "by"),
    Column("next", "next"),
    Column("next_on", "on"),
    Column("says", "as it stands"),
    Column("way", "way", on=CSV),
    Column("bed", "bed", on=CSV),
    Column("seeds", "seeds", on=CSV),
    Column("plants", "plants", on=CSV),
    Column("feet", "feet", on=CSV),
    Column("sow", "sow", show=_due_on, on=CSV),
    Column("set_out", "set out", show=_due_on, on=CSV),
    Column("cut", "cut", show=_due_on, on=CSV),
    Column("stems_cut", "stems cut", on=CSV),
    Column("serves", "for order", on=CSV),
)


def plan(args: Namespace) -> int:
    """List the plans, or see what a wish comes to."""
    session = open_session(args)
    line = " ".join(args.line)
    if not line:
        if args.keep or args.what_if:
            return out.refuse(Problem("Write what is wanted as well, such as: 120 strawflower dry by 09-19."))
        return _list(args, session)
    if _CODE.fullmatch(line) and not (args.keep or args.what_if):
        return _one(args, session, line.upper())
    if args.what_if:
        if args.keep:
            return out.refuse(Problem("--what-if only looks: leave out one of --keep and --what-if."))
        return _moved(args, session, line)
    if _ORDER.fullmatch(line.removeprefix("plan ").split(" ")[0]):
        return _of_order(args, session, line.removeprefix("plan "))
    view = good(preview_in(session, line))
    if args.keep:
        written = session.write(line if line.split()[0].lower() == "plan" else f"plan {line}")
        status = say_written(written, args, more=wrapped(_clash_lines(view)))
        close_session(session)
        return status
    return _seen(args, view)


def _of_order(args: Namespace, session: Session, line: str) -> int:
    """What an order asks for: as it would be written, or kept."""
    if args.what_if:
        return out.refuse(
            Problem("--what-if moves a number of one wish: plan an item of the order by itself.")
        )
    if args.keep:
        status = say_written(session.write(f"plan {line}"), args)
        close_session(session)
        return status
    reading = good(session.understood(f"plan {line}"))
    entries = [{"kind": draft.kind, "on": draft.on, **draft.fields} for draft in reading.drafts]
    lines = [
        reading.says,
        *(f"  {remark}" for remark in reading.remarks),
        "nothing is written: --keep writes it",
    ]
    return tell(
        args,
        {"says": reading.says, "remarks": reading.remarks, "entries": entries, "written": False},
        wrapped(lines),
    )


def _options(plan: ArgumentParser) -> None:
    plan.add_argument(
        "line", metavar="LINE", nargs="*", help="what is wanted, such as: 120 strawflower dry by 09-19"
    )
    plan.add_argument("--keep", action="store_true", help="write it into the book; without, it is only shown")
    plan.add_argument("--what-if", metavar="NAME=VALUE", help="what else moves, such as germination=0.6")
    plan.add_argument("--why", action="store_true", help="every step with its reason and its source")
    plan.add_argument(
        "--weeks", metavar="N", type=count_of("weeks", 104), default=26, help="weeks of room; 26 unless said"
    )


def preview_in(session: Session, line: str) -> Preview | Problem:
    """What the wish comes to; a fault in reckoning it is a sentence."""
    return session.guard(
        "What the plan comes to",
        lambda: preview_of(
            line, session.farm, session.today, mark=session.mark, warmth=session.records.warmth
        ),
        lambda why: why,
    )


TABLES = (
    Table(
        "plans",
        COLUMNS,
        lambda session: plan_rows(session.farm, session.today),
        "the plans that are kept",
        heads={
            "by": Meaning("day it is promised for", DAY),
            "feet": Meaning("length of bed it takes", "ft"),
            "plants": Meaning("plants to set out", "plants"),
            "stems": Meaning("promised", "stems, or pieces where it is for those"),
        },
    ),
)
COMMANDS = {"plan": Command(plan, _options, csv=True)}


# the list


def _list(args: Namespace, session: Session) -> int:
    farm, day = session.farm, session.today
    rows, room = plan_rows(farm, day), room_weeks(farm, day, args.weeks)

    def more() -> list[str]:
        late = wrapped(f"! {row.plan}: {row.too_late}" for row in rows if row.too_late)
        for_orders = wrapped(_for_orders(rows))
        return [*late, *for_orders, "", *_room_lines(room)]

    return show_table(args, COLUMNS, rows, page=more, nothing=NOTHING, room=room)


def _for_orders(rows: Iterable[PlanRow]) -> Iterator[str]:
    """Which order each plan is for and by how much, and what of it is otherwise now."""
    for row in rows:
        if row.order_changed:
            yield f"! {row.order_changed}"
        elif row.serves_says:
            yield f"{row.plan} {row.serves_says}: {row.stems} {named(row.crop, row.variety)} by {day_text(row.by)}"


def _room_lines(room: RoomWeeks) -> Iterator[str]:
    """A line a week: taken of what there is, "!" where that is too little."""
    columns = columns_of(("week of", *(row.unit for row in room.rows)))
    weeks = [
        (short_day(monday), *(_taken(row, i) for row in room.rows)) for i, monday in enumerate(room.mondays)
    ]
    yield from printed_table(columns, weeks)
    for short in room.shortages:
        yield from wrapped([f"! {short.sentence}", f"  would solve it: {short.change}"])
    yield from wrapped(room.assumed)
    if any(row.total is None for row in room.rows):
        yield (
            "Where no total stands, say how much there is: room lights 24, room hardening 12, room line "
            f"{typed_feet(120)}"
        )


def _taken(row: RoomRow, week: int) -> str:
    taken, free = how_much(row.what, row.taken[week]), row.free(week)
    if row.total is None:
        return taken
    return f"{taken} of {how_much(row.what, row.total)}{' !' if free is not None and free < 0 else ''}"


# one kept plan


def _one(args: Namespace, session: Session, code: str) -> int:
    rows = {row.plan.upper(): row for row in plan_rows(session.farm, session.today)}
    row = rows.get(code)
    if row is None:
        have = f"there are {', '.join(sorted(rows))}" if rows else "none is kept"
        return out.refuse(
            Problem(f"There is no plan {code} to come; {have}.", "unknown", tuple(sorted(rows)))
        )
    parts = [part.says for part in (row.sow, row.set_out, row.cut) if part] if row.use != "pieces" else []
    told = [f"  {says}" for says in parts]
    if row.serves_says:
        told.append(f"  {row.serves_says}, {row.stems} of it")
    if row.because:
        told.append(f"  because {row.because}")
    if row.order_changed:
        told.append(f"! {row.order_changed}")
    if row.too_late:
        told.append(f"! {row.too_late}")
    if row.line:
        told.append(f"  write: {row.line}")
    return tell(args, row, [*printed_table(COLUMNS, [row]), *wrapped(told)])


# one wish


def _seen(args: Namespace, view: Preview) -> int:
    return tell(args, {**preview_json(view), "written": False}, _seen_lines(view, why=args.why))


def _seen_lines(view: Preview, *, why: bool) -> Iterator[str]:
    if view.weeks:
        yield from weekly_lines(view.plans, view.weeks)
        yield from wrapped([f"spaced by {view.spaced}"])
    elif view.pieces is not None:
        yield from wrapped(piece_lines(view.pieces, view.plans))
    else:
        yield from wrapped(plan_lines(view.plans[0]))
    yield from wrapped(_clash_lines(view))
    if why:
        yield "because"
        yield from wrapped(f"  {s.name}: {s.says}; {s.because} ({s.source})" for s in view.steps)
    yield "nothing is written: --keep writes it"


def _clash_lines(view: Preview) -> Iterable[str]:
    for clash in view.clashes:
        yield f"! {clash.sentence}"
        yield f"  would solve it: {clash.change}"


def _moved(args: Namespace, session: Session, line: str) -> int:
    written, _, text = args.what_if.partition("=")
    name = written.strip().lower().replace("-", "_").replace(" ", "_")
    value = _value(name, text.strip())
    if value is None:
        return out.refuse(
            Problem("Write what moves as NAME=VALUE, such as germination=0.6 or by=2027-10-01.")
        )
    compared = good(moved_by(line, session.farm, session.today, name, value, warmth=session.records.warmth))
    columns = (Column("name", ""), Column("old", "as it is"), Column("new", args.what_if))
    table = printed_table(columns, compared.differences)
    return tell(
        args,
        {"differences": compared.differences, "written": False},
        table or ["Nothing else moves."],
    )


def _value(name: str, text: str) -> float | date | None:
    """A day, a number, or a share written in percent; a risk is a number of percent itself."""
    if (day := day_from_iso(text)) is not None:
        return day
    try:
        value = plain_number(text.removesuffix("%"))
    except argparse.ArgumentTypeError:
        return None
    return value / 100 if text.endswith("%") and name != "risk" else value
