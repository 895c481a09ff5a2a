"""What a shell completes, and the page for man: both made of the parsers themselves, so that they know every verb."""

from __future__ import annotations

from argparse import Action, ArgumentParser, Namespace, _SubParsersAction
from collections.abc import Container, Iterator
from pathlib import Path
from typing import Any

from core import __version__
from core.dialect import in_words
from core.libraries import module_with
from core.text import clean
from tui import out
from tui.cli import parser
from tui.command import Command
from tui.parsing import LazyParser

SHELLS = ("bash", "zsh", "fish")
WHERE = {
    "bash": "~/.local/share/bash-completion/completions/shedbook",
    "zsh": "a folder of your fpath, as _shedbook",
    "fish": "~/.config/fish/completions/shedbook.fish",
}
SHARED = ("help", "farm", "on", "by")
"""Options that stand before a verb as well, and are told once."""
FOLDERS = ("farm",)
"""Options that take a folder; all others that take a path take a file."""

_OF_PROGRAM = "\n  _arguments -C -s"
"""How zsh is told of what may stand before a verb."""


def completion(args: Namespace) -> int:
    """Print the file from which a shell completes verbs and options."""
    shtab = module_with("shtab", "completion", "shtab")
    whole = whole_parser()
    for action in _actions(whole):
        if action.type is Path:
            action.complete = shtab.DIRECTORY if action.dest in FOLDERS else shtab.FILE  # type: ignore[attr-defined]
    text = str(shtab.complete(whole, args.shell))
    if args.shell == "zsh":  # after a verb its own options count: '--by' may mean another thing there
        text = text.replace(f"{_OF_PROGRAM} $", f'{_OF_PROGRAM} -A "-*" $')
    out.text(text)
    return out.DONE


def manual(args: Namespace) -> int:
    """Print the page for man."""
    out.text("\n".join(_page(whole_parser())) + "\n")
    return out.DONE


def whole_parser() -> ArgumentParser:
    """The parser of the command line with the options of every verb."""
    whole = parser()
    _fill(whole)
    return whole


def _fill(parser: ArgumentParser) -> None:
    if isinstance(parser, LazyParser) and parser.fill is not None:
        fill, parser.fill = parser.fill, None
        fill()
    for sub in _subs(parser).values():
        _fill(sub)


def _subs(parser: ArgumentParser) -> dict[str, ArgumentParser]:
    """The verbs under a parser by their names."""
    found: dict[str, ArgumentParser] = {}
    for action in parser._actions:
        if isinstance(action, _SubParsersAction):
            found |= action.choices
    return found


def _actions(parser: ArgumentParser) -> Iterator[Action]:
    yield from parser._actions
    for sub in _subs(parser).values():
        yield from _actions(sub)


# the page for man (man-pages(7): the layout of its sections)


def _page(whole: ArgumentParser) -> Iterator[str]:
    yield f'.TH SHEDBOOK 1 "" "shedbook {__version__}"'
    yield from (".SH NAME", "shedbook \\- the working book of a small flower farm")
    yield from (".SH SYNOPSIS", ".B shedbook", "[\\fIoptions\\fR] [\\fIverb\\fR] [\\fIargument\\fR ...]")
    yield from (".SH DESCRIPTION", _roff(whole.description or ""), ".SH OPTIONS")
    yield from _options(whole)
    yield ".SH VERBS"
    for name, verb in _subs(whole).items():
        yield from (f".SS {_roff(name)}", _roff(verb.description or ""))
        yield from _options(verb, SHARED)
        for under, sub in _subs(verb).items():
            yield from (".TP", f".B {_roff(name)} {_roff(under)}", _roff(sub.description or ""))
    yield from (
        ".SH EXIT STATUS",
        ".TP",
        ".B 0",
        "done",
        ".TP",
        ".B 1",
        "refused: nothing was written, and standard",
    )
    yield from ("error says why", ".TP", ".B 2", "not understood", ".SH ENVIRONMENT")
    yield from (".TP", ".B SHEDBOOK_FARM", "the farm's folder, where", ".B \\-\\-farm", "does not say it")
    yield from (".TP", ".B SHEDBOOK_BY", "who is writing, where", ".B \\-\\-by", "does not say it")


def _options(parser: ArgumentParser, without: Container[str] = ()) -> Iterator[str]:
    for action in parser._actions:
        if isinstance(action, _SubParsersAction) or action.dest in without:
            continue
        names = ", ".join(action.option_strings) or str(action.metavar or action.dest)
        takes = f" \\fI{_roff(str(action.metavar))}\\fR" if action.option_strings and action.metavar else ""
        yield from (".TP", f"\\fB{_roff(names)}\\fR{takes}", _roff(_told(action)))


def _told(action: Action) -> str:
    values: dict[str, Any] = {**vars(action), "prog": "shedbook"}
    return (action.help or "") % values if action.help else ", ".join(map(str, action.choices or ()))


def _roff(text: str) -> str:
    """Text in which man finds nothing to obey."""
    plain = in_words(clean(text)).replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{plain}" if plain.startswith((".", "'")) else plain


def _completion_options(parser: ArgumentParser) -> None:
    told = "; ".join(f"{shell}: {where}" for shell, where in WHERE.items())
    parser.add_argument("shell", choices=SHELLS, help=f"where to put it: {told}")


COMMANDS = {
    "completion": Command(completion, _completion_options, json=False),
    "man": Command(manual, json=False),
}
