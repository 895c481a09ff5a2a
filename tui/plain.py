"""The book without a screen, one line after the other, as a screen reader or a slow line likes it: asked, answered.

The same lines are written as on the screen. A list is told row by row, each value after the name of its column.
"""

from __future__ import annotations

import shlex
import sys
from argparse import Namespace
from collections.abc import Iterator

from core.dialect import to_her
from core.finding.finder import finder
from core.mending.rows import book_rows
from core.page import ALL, page
from core.problems import Problem, ShedbookError
from core.session import Session
from core.today import morning
from tui import cli, out
from tui.cli_session import close_session, open_session, say_written
from tui.registry import command, commands
from tui.typed_lines import typed_lines, typed_words

PROMPT = "write: "
NO_END, WIDE = 999, 300
"""Lines that the morning may take, and columns: nothing of it is cut off, for it is not shown on a page."""
FOUND = 20
"""Entries that are told of those that were looked for."""
HOW = (
    "Write a line, such as: 40 strawflower b3 dry. What else may be typed:",
    "  today           the morning; today all tells nothing in short",
    "  show beds       any list or page: show, then what stands after shedbook in the shell",
    "  find florist    what is called so, then the entries with that word, newest first",
    "  help frost      the lines for a word",
    "  meet            this book and the other machine's become the same",
    "  undo            takes back the last line",
    "  quit            leaves",
)
LEAVE = ("quit", "q", "exit")


def plain(args: Namespace) -> int:
    """Tell the morning, then ask for line after line until there is no more, or she leaves."""
    session = open_session(args, to_write=True)
    if read_only := session.read_only():
        out.error(read_only.sentence)
    try:
        _tell_today(session)
        out.lines(["Type ? for what may be typed."])
        for line in _asked():
            if isinstance(line, Problem):
                out.error(line.sentence)
            elif line.lower() in LEAVE:
                break
            else:
                _answer(session, line, args)
    finally:
        close_session(session)
    return out.DONE


def _asked() -> Iterator[str | Problem]:
    """Each line that is typed, or comes from a file."""
    if sys.stdin is None:
        return
    if not sys.stdin.isatty():
        yield from (line.strip() if isinstance(line, str) else line for line in typed_lines(sys.stdin.buffer))
        return
    sys.stdin.reconfigure(errors="surrogateescape")  # type: ignore[union-attr]
    while True:
        out.flush()
        try:
            line = input(PROMPT).strip()
        except EOFError:
            out.lines([""])
            return
        except KeyboardInterrupt:  # thought better of the line
            out.lines([""])
            continue
        if line:
            yield typed_words([line])


def _answer(session: Session, line: str, args: Namespace) -> None:
    first, _, rest = line.partition(" ")
    try:
        session.refresh()
        match first.lower():
            case "?":
                out.lines(HOW)
            case "today":
                _tell_today(session, whole=bool(rest))
            case "find":
                _tell_found(session, rest)
            case "show":
                _show(rest, args)
            case "help" | "meet":
                _run([first.lower(), *_words(rest)], args)
            case _:
                say_written(session.write(line, answer=True), Namespace(json=False))
                if session.backup_due() and (problem := session.back_up()):
                    out.error(problem.sentence)
    except ShedbookError as refused:
        out.error(refused.problem.sentence)


def _tell_today(session: Session, *, whole: bool = False) -> None:
    """The morning, one thing a line: what stands in two columns on the screen comes one after the other."""
    found = morning(session.sight(), session.guard)
    opened = ALL if whole else ()
    for line in page(found, WIDE, NO_END, opened=opened, guard=session.guard, hint="today all"):
        out.lines([line.text] if line.beside is None else [line.text, line.beside.text])


def _show(rest: str, args: Namespace) -> None:
    """A list row by row where the verb has a table, else what it prints."""
    words = _words(rest)
    listed = commands().get(words[0]) if words else None
    if listed is None or listed.name in ("", "demo", "new"):
        names = ", ".join(name for name in commands() if command(commands()[name]).csv)
        out.lines([f"Show what? Such as: show beds. Lists: {names}."])
    elif command(listed).csv and not {"--json", "--csv"} & {*words}:
        with to_her():
            _run([*words, "--csv"], args)
    else:
        _run(words, args)


def _tell_found(session: Session, words: str) -> None:
    """What is called so, the best first, then the entries in which the words stand, the newest first."""
    things = finder(session.look_back).find(words, most=FOUND)
    out.lines(f"{thing.sort} {thing.name}: {thing.says}" for thing in things)
    found = book_rows(session.look_back, words)
    if things:
        out.lines([f"written with these words{':' if found else ': nothing'}"])
    for row in found[:FOUND]:
        out.lines([f"{row.on}, {row.by}: {row.says}{f', {row.mark}' if row.mark else ''}"])
    more = len(found) - FOUND
    out.lines([f"and {more} more; show entries --word tells all."] if more > 0 else [f"{len(found)} in all."])


def _run(words: list[str], args: Namespace) -> None:
    """Do what a verb of the shell does, for the same farm, person and day."""
    day = ["--on", args.on.isoformat()] if args.on else []
    by = ["--by", args.by] if args.by else []
    cli.main(["--farm", str(args.farm), *by, *day, *words])


def _words(text: str) -> list[str]:
    try:
        return shlex.split(text)
    except ValueError:
        return text.split()
