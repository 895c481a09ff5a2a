"""Commands of the book itself: the brief, lines written and struck, its entries, and bringing books together."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from core.kinds import sentence
from core.problems import Problem
from core.units import plural
from tui import out
from tui.arguments import day
from tui.cli_session import close_door, open_door, say_written
from tui.command import Command

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.door import Door


# reading


def today(args: Namespace) -> int:
    """The brief."""
    from core.brief import brief  # of these commands this one alone reckons
    from core.text_brief import page

    session = open_door(args)
    found = brief(session.farm, session.today, session.by_warmth(), session.clock, session.clock_problem)
    if args.json:
        out.as_json(found)
    else:
        out.lines(line.text for line in page(found))
    session.close()
    return out.DONE


def entries(args: Namespace) -> int:
    """The entries, oldest first."""
    session = open_door(args)
    _print_entries(args, session, session.entries(args.since))
    return out.DONE


def history(args: Namespace) -> int:
    """The story of one lot, tray, planting or bed."""
    session = open_door(args)
    story = session.history(args.code)
    if isinstance(story, Problem):
        return out.refuse(story)
    _print_entries(args, session, story)
    return out.DONE


def _print_entries(args: Namespace, session: Door, found: Sequence[Entry]) -> None:
    if args.json:
        for entry in found:
            out.as_json(entry.as_dict())
        return
    gone = session.struck_ids(found)
    by_id = {entry.id: entry for entry in found}
    for entry in found:
        mark = "  (struck)" if entry.id in gone else ""
        named = by_id.get(str(entry.fields.get("entry")))
        said = f"struck: {sentence(named)}" if named else sentence(entry)
        out.lines([f"{entry.on}  {entry.by:3} {entry.id[-8:]}  {said}{mark}"])


def check(args: Namespace) -> int:
    """The audit."""
    session = open_door(args)
    if args.repair:
        mended = session.repair()
        if not args.json:
            out.lines(
                [
                    f"{plural(mended.written_back, 'entry', 'entries')} written back.",
                    *map(str, mended.problems),
                ]
            )
    problems = session.check()
    if args.json:
        out.as_json({"ok": not problems, "entries": session.farm.count, "problems": problems})
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
    session.close()
    return out.REFUSED if problems else out.DONE


# writing


def write(args: Namespace) -> int:
    """Write one line, or each line of standard input."""
    session = open_door(args)
    if args.line == ["-"]:
        return _write_each(session, args)
    status = say_written(session.write(" ".join(args.line)), args)
    close_door(session)
    return status


def _write_each(session: Door, args: Namespace) -> int:
    """Each line is answered as soon as it is on the disk; a refused one stops nothing."""
    status = out.DONE
    for line in sys.stdin:
        if line.strip():
            status = max(status, say_written(session.write(line.rstrip("\n")), args))
            sys.stdout.flush()
    close_door(session)
    return status


def strike(args: Namespace) -> int:
    """Strike one entry."""
    session = open_door(args)
    status = say_written(session.strike(args.id), args)
    session.close()
    return status


# the book


def merge(args: Namespace) -> int:
    """Bring in another machine's entries."""
    session = open_door(args)
    merged = session.merge(args.other)
    if args.json:
        out.as_json(merged)
    else:
        out.lines([f"{merged.added} entries brought in, {merged.already} were here already."])
        out.lines(f"  brought over: {name}" for name in merged.beside)
        out.lines(f"  set aside: {p.sentence}" for p in merged.set_aside)
        out.lines(f"  to settle: {p.sentence}" for p in merged.to_settle)
    session.close()
    return out.DONE


def since(args: Namespace) -> int:
    """Log lines to carry to the other machine, on standard output."""
    count = open_door(args).since(args.start, sys.stdout.buffer)
    sys.stdout.flush()
    print(plural(count, "entry", "entries"), file=sys.stderr)
    return out.DONE


def restore(args: Namespace) -> int:
    """List the backups, or bring one back."""
    session = open_door(args)
    if not args.backup:
        names = [path.name for path in session.backups()]
        if args.json:
            out.rows(names)
        else:
            out.lines(names or ["No backups yet: one is made each day the book is written in."])
        return out.DONE
    done = session.restore(args.backup)
    if isinstance(done, Problem):
        return out.refuse(done)
    if args.json:
        out.as_json(done)
    else:
        out.lines(
            [
                f"{plural(done.written_back, 'entry', 'entries')} written back.",
                *(f"  brought back: {name}" for name in done.beside),
                *map(str, done.problems),
            ]
        )
    session.close()
    return out.DONE


# options


def _write_options(write: ArgumentParser) -> None:
    write.add_argument("line", metavar="LINE", nargs="+", help="such as: 40 strawflower b3 dry")


def _strike_options(strike: ArgumentParser) -> None:
    strike.add_argument("id", metavar="ID", help="the entry's id, or its last characters")


def _entries_options(entries: ArgumentParser) -> None:
    entries.add_argument(
        "--since", metavar="YYYY-MM-DD", type=day, default=None, help="only those dated from then on"
    )


def _history_options(history: ArgumentParser) -> None:
    history.add_argument("code", metavar="CODE", help="such as L041, S12 or b3")


def _check_options(check: ArgumentParser) -> None:
    check.add_argument(
        "--repair", action="store_true", help="write back what book.json still holds, set damaged lines aside"
    )


def _merge_options(merge: ArgumentParser) -> None:
    merge.add_argument("other", metavar="OTHER", type=Path)


def _since_options(since: ArgumentParser) -> None:
    since.add_argument("start", metavar="ID|DATE")


def _restore_options(restore: ArgumentParser) -> None:
    restore.add_argument("backup", metavar="BACKUP", nargs="?")


COMMANDS = {
    "today": Command(today),
    "write": Command(write, _write_options),
    "strike": Command(strike, _strike_options),
    "entries": Command(entries, _entries_options),
    "history": Command(history, _history_options),
    "check": Command(check, _check_options),
    "merge": Command(merge, _merge_options),
    "since": Command(since, _since_options, json=False),
    "restore": Command(restore, _restore_options),
}
