"""Commands of the book itself: the brief, lines written and struck, its entries, and bringing books together."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from core.problems import Problem, ShedbookError
from core.settings.local_time import day_ends
from core.text import clean
from core.units import ID_SHOWN, plural
from core.wanted import Wanted
from tui import out
from tui.arguments import day
from tui.cli_session import close_door, open_session, say_written
from tui.command import Command, tell_done
from tui.out import good
from tui.parsing import add_shared
from tui.typed_lines import typed_lines, typed_words

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.session import Session


# reading


def today(args: Namespace) -> int:
    """The morning page."""
    from core.page import ALL, page  # of these commands this one alone reckons
    from core.telling import Telling
    from core.today import morning

    telling = Telling(args.asked)
    session = open_session(args)
    sight = session.sight()
    found = morning(sight, session.guard, as_told=not args.json)
    if args.json:
        out.as_json(found.as_dict())
        session.close()
        return out.DONE
    opened = ALL if args.all else ()
    told = out.told(
        line.whole for line in page(found, opened=opened, guard=session.guard, hint="today --all")
    )
    out.text(told)
    session.close()
    if sight.clock_problem is None and not session.guard.has_caught:
        ends = None if session.on else day_ends(session.farm, sight.day)
        telling.keep(told, session.folder, ends, by_clock=found.by_clock)
    return out.DONE


def entries(args: Namespace) -> int:
    """The entries, or those that are asked for, oldest first."""
    from core.crops.library import one_crop  # of these commands this one alone asks for a crop

    session = open_session(args)
    crop = good(one_crop(args.crop, session.farm.own_crops)) if args.crop is not None else None
    wanted = Wanted(args.kind, crop, args.bed, args.of, args.word, args.since, args.until)
    _print_entries(args, session, session.entries(wanted))
    return out.DONE


def history(args: Namespace) -> int:
    """The story of one lot, tray, planting or bed."""
    session = open_session(args)
    story = good(session.history(args.code))
    _print_entries(args, session, story)
    return out.DONE


def _print_entries(args: Namespace, session: Session, found: Sequence[Entry]) -> None:
    from core.marks import listed  # only here

    marks = session.marks(found)
    if args.json:
        for entry in found:
            told = {"struck": entry.id in marks.struck, "corrected": entry.id in marks.corrected}
            out.as_json({**entry.as_dict(), **{mark: True for mark, holds in told.items() if holds}})
        return
    for entry in found:
        is_struck, is_corrected = entry.id in marks.struck, entry.id in marks.corrected
        mark = "  (taken back)" if is_struck else "  (corrected)" if is_corrected else ""
        out.lines([f"{entry.on}  {entry.by:3} {entry.id[-ID_SHOWN:]}  {listed(entry, marks)}{mark}"])


def check(args: Namespace) -> int:
    """The audit."""
    session = open_session(args)
    if args.repair:
        mended = session.upkeep.repair()
        back = f"{plural(mended.written_back, 'entry', 'entries')} written back."
        if not args.json:
            out.tell_done(back, lambda: out.lines([back, *map(str, mended.problems)]))
    problems = session.check()
    if args.json:
        told = {"ok": not problems, "entries": session.farm.count, "problems": problems}
        out.as_json({**told, "remarks": session.upkeep.remarks()})
    elif problems:
        out.lines(
            [
                f"{session.farm.count} entries; {len(problems)} to see to:",
                *(f"  {p.sentence}" for p in problems),
            ]
        )
    else:
        out.lines(
            [f"{session.farm.count} entries, all sound: checksums, ids, dates, and every stem accounted for."]
        )
    if not args.json:
        out.lines(f"  {remark}" for remark in session.upkeep.remarks())
    close_door(session)
    return out.REFUSED if problems else out.DONE


# writing


def write(args: Namespace) -> int:
    """Write one line, or each line of standard input."""
    if args.line == ["-"]:
        return _write_each(args)
    line = good(typed_words(args.line))
    session = open_session(args, to_write=True)
    status = say_written(session.write(line, answer=True), args)
    close_door(session)
    return status


def _write_each(args: Namespace) -> int:
    """Each line is answered as soon as it is on the disk; a refused one stops nothing."""
    if sys.stdin is None:
        return out.refuse(Problem("Standard input is closed: give the lines to write, one under the other."))
    session = open_session(args, to_write=True)
    status = out.DONE
    try:
        for line in typed_lines(sys.stdin.buffer):
            try:
                told = line if isinstance(line, Problem) else session.write(line, answer=True)
            except ShedbookError as refused:
                text = f"'{clean(str(line))[:60]}' and the lines after it are not written: {refused.problem.sentence}"
                status = out.refuse(refused.problem._replace(sentence=text))
                break
            status = max(status, say_written(told, args))
    except OSError as trouble:
        status = out.refuse(
            Problem(f"Standard input cannot be read on ({trouble.strerror}); what was said is written.")
        )
    finally:  # also where the disk refuses a line, or she stops it
        close_door(session)
    return status


def strike(args: Namespace) -> int:
    """Strike one entry."""
    session = open_session(args, to_write=True)
    status = say_written(session.strike(args.id), args)
    close_door(session)
    return status


# the book


def merge(args: Namespace) -> int:
    """Bring in another machine's entries."""
    session = open_session(args, to_write=True)
    merged = session.merge(args.other, sure=bool(args.sure))
    brought = f"{merged.added} entries brought in, {merged.already} were here already."
    told = [
        brought,
        *(f"  brought over: {name}" for name in merged.beside),
        *(f"  set aside: {p.sentence}" for p in merged.set_aside),
        *(f"  to settle: {p.sentence}" for p in merged.to_settle),
    ]
    status = tell_done(args, brought, merged, told)
    for problem in merged.stopped:
        out.error(f"Not all of it could be brought in: {problem.sentence} Then merge again.")
    close_door(session)
    return out.REFUSED if merged.stopped else status


def since(args: Namespace) -> int:
    """Log lines to carry to the other machine, on standard output."""
    session = open_session(args)
    with out.printing():
        count = session.upkeep.since(args.start, sys.stdout.buffer)
        sys.stdout.flush()
    out.error(plural(count, "entry", "entries"))
    return out.DONE


def restore(args: Namespace) -> int:
    """List the backups, or bring one back."""
    session = open_session(args)
    if not args.backup:
        names = [path.name for path in session.upkeep.backups()]
        if args.json:
            out.rows(names)
        else:
            out.lines(names or ["No backups yet: one is made each day the book is written in."])
        return out.DONE
    done = good(session.upkeep.restore(args.backup))
    back = f"{plural(done.written_back, 'entry', 'entries')} written back."
    told = [back, *(f"  brought back: {name}" for name in done.beside), *map(str, done.problems)]
    status = tell_done(args, back, done, told)
    close_door(session)
    return status


# options


def _today_options(today: ArgumentParser) -> None:
    today.add_argument(
        "--all", action="store_true", help="all of it, however long, with nothing told in short"
    )


def _write_options(write: ArgumentParser) -> None:
    write.add_argument("line", metavar="LINE", nargs="+", help="such as: 40 strawflower b3 dry")


def _strike_options(strike: ArgumentParser) -> None:
    strike.add_argument("id", metavar="ID", help="the entry's id, or its last characters")


def _entries_options(entries: ArgumentParser) -> None:
    add_shared(entries, by=False)
    for name, what, says in (
        ("kind", "KIND", "only of this kind, such as: cut"),
        ("crop", "CROP", "only of this crop, and of its trays, plantings and lots"),
        ("bed", "BED", "only of this bed, and of what grew there"),
        ("word", "WORD", "only those in which this stands"),
    ):
        entries.add_argument(f"--{name}", metavar=what, default=None, help=says)
    entries.add_argument("--by", metavar="INITIALS", dest="of", default=None, help="only by this person")
    entries.add_argument("--since", type=day, default=None, help="only those dated from then on")
    entries.add_argument("--until", type=day, default=None, help="only those dated up to then")


def _history_options(history: ArgumentParser) -> None:
    history.add_argument("code", metavar="CODE", help="such as L041, S12 or b3")


def _check_options(check: ArgumentParser) -> None:
    check.add_argument(
        "--repair", action="store_true", help="write back what book.json still holds, set damaged lines aside"
    )


def _merge_options(merge: ArgumentParser) -> None:
    merge.add_argument("other", metavar="OTHER", type=Path)
    merge.add_argument(
        "sure",
        metavar="yes",
        nargs="?",
        choices=("yes",),
        help="also where it looks like another farm's book",
    )


def _since_options(since: ArgumentParser) -> None:
    since.add_argument("start", metavar="ID|DATE")


def _restore_options(restore: ArgumentParser) -> None:
    restore.add_argument("backup", metavar="BACKUP", nargs="?")


COMMANDS = {
    "today": Command(today, _today_options),
    "write": Command(write, _write_options),
    "cancel": Command(strike, _strike_options),
    "strike": Command(strike, _strike_options),
    "entries": Command(entries, _entries_options, shared=False),
    "history": Command(history, _history_options),
    "check": Command(check, _check_options),
    "merge": Command(merge, _merge_options),
    "since": Command(since, _since_options, json=False),
    "restore": Command(restore, _restore_options),
}
