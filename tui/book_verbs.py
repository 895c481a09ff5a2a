"""Commands of the book itself: lines written and struck, what is damaged, and bringing books together."""

from __future__ import annotations

import sys
from argparse import ArgumentParser, Namespace
from pathlib import Path

from core.problems import Problem, ShedbookError
from core.text import clean
from core.units import plural
from tui import out
from tui.cli_session import close_session, open_session, say_written
from tui.command import Command, tell_done
from tui.out import good
from tui.typed_lines import typed_lines, typed_words


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
    close_session(session)
    return out.REFUSED if problems else out.DONE


# writing


def write(args: Namespace) -> int:
    """Write one line, or each line of standard input."""
    if args.line == ["-"]:
        return _write_each(args)
    line = good(typed_words(args.line))
    session = open_session(args, to_write=True)
    status = say_written(session.write(line, answer=True), args)
    close_session(session)
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
        close_session(session)
    return status


def strike(args: Namespace) -> int:
    """Strike one entry."""
    session = open_session(args, to_write=True)
    status = say_written(session.strike(args.id), args)
    close_session(session)
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
    close_session(session)
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
    close_session(session)
    return status


# options


def _write_options(write: ArgumentParser) -> None:
    write.add_argument("line", metavar="LINE", nargs="+", help="such as: 40 strawflower b3 dry")


def _strike_options(strike: ArgumentParser) -> None:
    strike.add_argument("id", metavar="ID", help="the entry's id, or its last characters")


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
    "write": Command(write, _write_options),
    "cancel": Command(strike, _strike_options),
    "strike": Command(strike, _strike_options),
    "check": Command(check, _check_options),
    "merge": Command(merge, _merge_options),
    "since": Command(since, _since_options, json=False),
    "restore": Command(restore, _restore_options),
}
