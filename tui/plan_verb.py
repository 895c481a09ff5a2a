"""`shedbook plan`: the kept plans and the room there is; a wish previewed, moved, or kept."""

from __future__ import annotations

import argparse
import re
from argparse import Namespace
from collections.abc import Iterable, Iterator
from datetime import date
from typing import TYPE_CHECKING

from core.problems import Problem
from core.units import day_from_iso, number, short_day
from tui import out
from tui.doorway import close_door, open_door, say_written
from tui.tables import table
from tui.wrapping import wrapped

if TYPE_CHECKING:
    from core.door import Door
    from core.plans.preview import Preview
    from core.plans.room_weeks import RoomWeeks
    from core.plans.rows import PlanRow

_CODE = re.compile(r"[Nn]\d+[A-Za-z]*")
"""The code of a kept plan, such as N01."""
NOTHING = "No plan is kept: try one, such as 'shedbook plan 120 strawflower dry by 09-19', then add --keep."
HEADS = ("plan", "crop", "variety", "for", "stems", "by", "next", "on", "as it stands")
CSV_HEADS = (*HEADS, "way", "bed", "seeds", "plants", "feet", "sow", "set out", "cut", "stems cut")


def plan(args: Namespace) -> int:
    """List the plans, or see what a wish comes to."""
    door = open_door(args)
    line = " ".join(args.line)
    if not line:
        if args.keep or args.what_if:
            return out.refuse(Problem("Write the wish as well, such as: 120 strawflower dry by 09-19."))
        return _list(args, door)
    if _CODE.fullmatch(line) and not (args.keep or args.what_if):
        return _one(args, door, line.upper())
    if args.what_if:
        if args.keep:
            return out.refuse(Problem("--what-if only looks: leave out one of --keep and --what-if."))
        return _moved(args, door, line)
    view = door.preview(line)
    if isinstance(view, Problem):
        return out.refuse(view)
    if args.keep:
        written = door.write(line if line.split()[0].lower() == "plan" else f"plan {line}")
        status = say_written(written, args, more=wrapped(_clashes(view)))
        close_door(door)
        return status
    return _seen(args, view)


# the list


def _list(args: Namespace, door: Door) -> int:
    rows, room = door.plans(), door.room(args.weeks)
    if args.json:
        out.rows(rows, room=room)
        return out.DONE
    if args.csv:
        out.csv(CSV_HEADS, [_all_cells(row) for row in rows])
        return out.DONE
    out.lines(table(HEADS, [_cells(row) for row in rows]) or [NOTHING])
    out.lines(wrapped(f"! {row.plan}: {row.too_late}" for row in rows if row.too_late))
    out.lines(["", *_room_lines(room)])
    return out.DONE


def _cells(r: PlanRow) -> tuple[object, ...]:
    return (r.plan, r.crop, r.variety, r.use, r.stems, r.by, r.next, r.next_on, r.says)


def _all_cells(r: PlanRow) -> tuple[object, ...]:
    days = (part.due_on if part else None for part in (r.sow, r.set_out, r.cut))
    return (*_cells(r), r.way, r.bed, r.seeds, r.plants, r.feet, *days, r.stems_cut)


def _room_lines(room: RoomWeeks) -> Iterator[str]:
    """A line a week: taken of what there is, "!" where that is too little."""
    heads = ("week of", *(row.unit for row in room.rows))
    yield from table(
        heads,
        [
            (short_day(monday), *(_taken(row.taken[i], row.total, row.free(i)) for row in room.rows))
            for i, monday in enumerate(room.mondays)
        ],
    )
    for short in room.shortages:
        yield from wrapped([f"! {short.sentence}", f"  would solve it: {short.change}"])
    yield from wrapped(room.assumed)
    if any(row.total is None for row in room.rows):
        yield "Where no total stands, say how much there is: room lights 24, room hardening 12, room line 120ft"


def _taken(taken: float, total: float | None, free: float | None) -> str:
    if total is None:
        return number(taken)
    return f"{number(taken)} of {number(total)}{' !' if free is not None and free < 0 else ''}"


# one kept plan


def _one(args: Namespace, door: Door, code: str) -> int:
    rows = {row.plan.upper(): row for row in door.plans()}
    row = rows.get(code)
    if row is None:
        have = f"there are {', '.join(sorted(rows))}" if rows else "none is kept"
        return out.refuse(
            Problem(f"There is no plan {code} to come; {have}.", "unknown", tuple(sorted(rows)))
        )
    if args.json:
        out.as_json(row)
        return out.DONE
    parts = [part.says for part in (row.sow, row.set_out, row.cut) if part]
    told = [f"  {says}" for says in parts]
    if row.because:
        told.append(f"  because {row.because}")
    if row.too_late:
        told.append(f"! {row.too_late}")
    if row.line.strip():
        told.append(f"  write: {row.line.strip()}")
    out.lines([*table(HEADS, [_cells(row)]), *wrapped(told)])
    return out.DONE


# one wish


def _seen(args: Namespace, view: Preview) -> int:
    from core.plans.preview import preview_json
    from tui.reckon_plan import plan_lines, weekly_lines

    if args.json:
        out.as_json({**preview_json(view), "written": False})
        return out.DONE
    if view.weeks:
        out.lines(weekly_lines(view.plans, view.weeks))
        out.lines(wrapped([f"spaced by {view.spaced}"]))
    else:
        out.lines(wrapped(plan_lines(view.plans[0])))
    out.lines(wrapped(_clashes(view)))
    if args.why:
        out.lines(["because"])
        out.lines(wrapped(f"  {s.name}: {s.says}; {s.because} ({s.source})" for s in view.steps))
    out.lines(["nothing is written: --keep writes it"])
    return out.DONE


def _clashes(view: Preview) -> Iterable[str]:
    for clash in view.clashes:
        yield f"! {clash.sentence}"
        yield f"  would solve it: {clash.change}"


def _moved(args: Namespace, door: Door, line: str) -> int:
    written, _, text = args.what_if.partition("=")
    name = written.strip().lower().replace("-", "_").replace(" ", "_")
    value = _value(name, text.strip())
    if value is None:
        return out.refuse(
            Problem("Write what moves as NAME=VALUE, such as germination=0.6 or by=2027-10-01.")
        )
    compared = door.what_if(line, name, value)
    if isinstance(compared, Problem):
        return out.refuse(compared)
    if args.json:
        out.as_json({"differences": list(compared.differences), "written": False})
        return out.DONE
    cells = [(d.name, d.old, d.new) for d in compared.differences]
    out.lines(table(("", "as it is", args.what_if), cells) or ["Nothing else moves."])
    return out.DONE


def _value(name: str, text: str) -> float | date | None:
    """A day, a number, or a share written in percent; a risk is a number of percent itself."""
    if (day := day_from_iso(text)) is not None:
        return day
    from tui.arguments import number as plain_number

    try:
        value = plain_number(text.removesuffix("%"))
    except argparse.ArgumentTypeError:
        return None
    return value / 100 if text.endswith("%") and name != "risk" else value
