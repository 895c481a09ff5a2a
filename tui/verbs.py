"""What each verb does: ask the door for a value, print it. No verb reckons anything itself."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from core.problems import Problem
from core.units import number, plural
from tui import out
from tui.doorway import close_door, folder_of, open_door, say_written
from tui.tables import table
from tui.typed_lines import typed_lines, typed_words

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.door import Door


# the screen


def screen(args: Namespace) -> int:
    """Open the screen on the farm, or on the first questions where there is none yet."""
    from core.book.layout import is_farm
    from core.door import Door

    if problem := no_terminal():
        return out.refuse(problem)
    folder = folder_of(args)
    door = open_door(args) if is_farm(folder) else None

    def create(by: str) -> Door:
        return Door.create(folder, by=by or args.by, on=args.on)

    from tui.app import run

    trouble = door.backup_trouble() if door else None
    return run(door, create, folder, said=trouble.sentence if trouble else "")


def no_terminal() -> Problem | None:
    """Why the screen cannot open here, or None."""
    import os

    if sys.stdin is None or not sys.stdin.isatty() or not sys.stdout.isatty():
        return Problem(
            "The screen needs a terminal (over ssh: ssh -t HOST shedbook); 'shedbook today' needs none."
        )
    if not sys.stderr.isatty():
        return Problem(
            "The screen is drawn on standard error, which is sent elsewhere: leave it on the terminal."
        )
    if os.environ.get("TERM", "") in ("", "dumb"):
        return Problem(
            "TERM says that this terminal cannot move its cursor; 'shedbook today' prints without that."
        )
    return None


def demo(args: Namespace) -> int:
    """Open the invented farm on its own day, or write it to a folder."""
    from demo_farm.open import DEMO_DAY, copy_to

    if args.__dict__.get("path"):
        copy_to(args.path)
        status = out.tell_done(f"The demo farm lies in {args.path}.", lambda: out.lines([str(args.path)]))
        out.error(f"Its day is {DEMO_DAY}: shedbook --farm {args.path} --on {DEMO_DAY}")
        return status
    if problem := no_terminal():
        return out.refuse(problem)
    import tempfile

    from core.door import Door

    with tempfile.TemporaryDirectory(prefix="shedbook-demo-") as folder:
        farm = Path(folder) / "farm"
        copy_to(farm)
        from tui.app import run

        return run(Door.open(farm, by=args.by, on=args.on or DEMO_DAY), None, farm)


def new(args: Namespace) -> int:
    """Make an empty farm."""
    from core.door import Door

    door = Door.create(args.folder, by=args.by, on=args.on)
    door.close()
    told = [
        f"A new book lies in {args.folder}. To begin, write your last frost and a bed:",
        f"  shedbook --farm {args.folder} write last frost 14 may",
        f"  shedbook --farm {args.folder} write bed b1 50ft",
        "or open the screen, which asks:",
        f"  shedbook --farm {args.folder}",
    ]
    return _tell_done(args, f"A new book lies in {args.folder}.", {"farm": str(args.folder)}, told)


def _tell_done(args: Namespace, done: str, value: object, told: Sequence[str]) -> int:
    """Tell what was done, as JSON or in lines; `done` says it in short."""
    return out.tell_done(done, lambda: out.as_json(value) if args.json else out.lines(told))


# reading


def today(args: Namespace) -> int:
    """The morning page."""
    door = open_door(args)
    if args.json:
        out.as_json(door.morning().as_dict())
    else:
        out.lines(line.text for line in door.page())
    door.close()
    return out.DONE


def _show(
    args: Namespace,
    values: Sequence[object],
    heads: Sequence[str],
    cells: Sequence[Sequence[object]],
    empty: str,
) -> int:
    """Print a list as JSON, as CSV or as a table; `empty` is said where there is nothing in it."""
    if args.json:
        out.rows(values)
    elif args.csv:
        out.csv(heads, cells)
    else:
        out.lines(table(heads, cells) or [empty])
    return out.DONE


def trays(args: Namespace) -> int:
    """Trays with their countdown."""
    rows = open_door(args).trays()
    heads = (
        "tray",
        "crop",
        "variety",
        "state",
        "age d",
        "plants",
        "up %",
        "steps",
        "set out",
        "in d",
        "note",
    )
    cells = [
        (r.tray, r.crop, r.variety, r.state, r.age_days, r.plants, r.germination_pct, f"{r.step}/{r.steps}",
         r.set_out_on, r.set_out_in_days, r.warning)
        for r in rows
    ]  # fmt: skip
    return _show(
        args,
        rows,
        heads,
        cells,
        "No tray has living plants: write what you sow, such as 'sow 72 strawflower'.",
    )


def beds(args: Namespace) -> int:
    """Beds and their plantings."""
    rows = open_door(args).beds()
    heads = ("bed", "feet", "free", "crop", "variety", "plants", "age d", "next", "on", "at stage")
    cells: list[tuple[object, ...]] = []
    for bed in rows:
        where = (bed.bed, number(bed.feet), number(bed.free_feet))
        if not bed.plantings:
            cells.append((*where, "(empty)", *[""] * 6))
        for p in bed.plantings:
            cells.append(
                (*where, p.crop, p.variety, p.plants, p.age_days, p.job, p.job_on, "/".join(p.at_stage))
            )
    return _show(args, rows, heads, cells, "No beds yet: write one, such as 'bed b1 50ft'.")


def crop(args: Namespace) -> int:
    """One crop sheet, from the farm's book where there is one."""
    from core.book.layout import is_farm
    from core.crops.library import sheet
    from core.crops.stages import USES, stage_card
    from tui.sheet_page import sheet_json, sheet_lines

    name = " ".join(args.name)
    found = (
        open_door(args).crop(name, args.way)
        if args.farm is not None and is_farm(args.farm)
        else sheet(name, args.way)
    )
    if isinstance(found, Problem):
        return out.refuse(found)
    cards = [stage_card(found, use) for use in USES]
    if args.json:
        out.as_json(sheet_json(found, cards))
    else:
        out.lines(sheet_lines(found, cards))
    return out.DONE


def entries(args: Namespace) -> int:
    """The entries, oldest first."""
    door = open_door(args)
    _print_entries(args, door, door.entries(args.__dict__.get("since")))
    return out.DONE


def history(args: Namespace) -> int:
    """The story of one lot, tray, planting or bed."""
    door = open_door(args)
    story = door.history(args.code)
    if isinstance(story, Problem):
        return out.refuse(story)
    _print_entries(args, door, story)
    return out.DONE


def _print_entries(args: Namespace, door: Door, found: Sequence[Entry]) -> None:
    from core.kinds import sentence

    if args.json:
        for entry in found:
            out.as_json(entry.as_dict())
        return
    gone = door.struck_ids(found)
    by_id = {entry.id: entry for entry in found}
    for entry in found:
        mark = "  (struck)" if entry.id in gone else ""
        named = by_id.get(str(entry.fields.get("entry")))
        said = f"struck: {sentence(named)}" if named else sentence(entry)
        out.lines([f"{entry.on}  {entry.by:3} {entry.id[-8:]}  {said}{mark}"])


def check(args: Namespace) -> int:
    """The audit."""
    door = open_door(args)
    if args.repair:
        mended = door.repair()
        back = f"{plural(mended.written_back, 'entry', 'entries')} written back."
        if not args.json:
            out.tell_done(back, lambda: out.lines([back, *map(str, mended.problems)]))
    problems = door.check()
    if args.json:
        told = {"ok": not problems, "entries": door.farm.count, "problems": problems}
        out.as_json({**told, "remarks": door.remarks()})
    elif problems:
        out.lines(
            [f"{door.farm.count} entries; {len(problems)} to see to:", *(f"  {p.sentence}" for p in problems)]
        )
    else:
        out.lines(
            [f"{door.farm.count} entries, all sound: checksums, ids, dates, and every stem accounted for."]
        )
    if not args.json:
        out.lines(f"  {remark}" for remark in door.remarks())
    close_door(door)
    return out.REFUSED if problems else out.DONE


# writing


def write(args: Namespace) -> int:
    """Write one line, or each line of standard input."""
    if args.line == ["-"]:
        return _write_each(args)
    line = typed_words(args.line)
    if isinstance(line, Problem):
        return out.refuse(line)
    door = open_door(args)
    status = say_written(door.write(line), args)
    close_door(door)
    return status


def _write_each(args: Namespace) -> int:
    """Each line is answered as soon as it is on the disk; a refused one stops nothing."""
    if sys.stdin is None:
        return out.refuse(Problem("Standard input is closed: give the lines to write, one under the other."))
    door = open_door(args)
    status = out.DONE
    try:
        for line in typed_lines(sys.stdin.buffer):
            told = line if isinstance(line, Problem) else door.write(line)
            status = max(status, say_written(told, args))
    except OSError as trouble:
        status = out.refuse(
            Problem(f"Standard input cannot be read on ({trouble.strerror}); what was said is written.")
        )
    finally:  # also where the disk refuses a line, or she stops it
        close_door(door)
    return status


def strike(args: Namespace) -> int:
    """Strike one entry."""
    door = open_door(args)
    status = say_written(door.strike(args.id), args)
    close_door(door)
    return status


# the book


def merge(args: Namespace) -> int:
    """Bring in another machine's entries."""
    door = open_door(args)
    merged = door.merge(args.other)
    brought = f"{merged.added} entries brought in, {merged.already} were here already."
    told = [
        brought,
        *(f"  brought over: {name}" for name in merged.beside),
        *(f"  set aside: {p.sentence}" for p in merged.set_aside),
        *(f"  to settle: {p.sentence}" for p in merged.to_settle),
    ]
    status = _tell_done(args, brought, merged, told)
    close_door(door)
    return status


def since(args: Namespace) -> int:
    """Log lines to carry to the other machine, on standard output."""
    door = open_door(args)
    with out.printing():
        count = door.since(args.start, sys.stdout.buffer)
        sys.stdout.flush()
    out.error(plural(count, "entry", "entries"))
    return out.DONE


def restore(args: Namespace) -> int:
    """List the backups, or bring one back."""
    door = open_door(args)
    if not args.backup:
        names = [path.name for path in door.backups()]
        if args.json:
            out.rows(names)
        else:
            out.lines(names or ["No backups yet: one is made each day the book is written in."])
        return out.DONE
    done = door.restore(args.backup)
    if isinstance(done, Problem):
        return out.refuse(done)
    back = f"{plural(done.written_back, 'entry', 'entries')} written back."
    told = [back, *(f"  brought back: {name}" for name in done.beside), *map(str, done.problems)]
    status = _tell_done(args, back, done, told)
    close_door(door)
    return status
