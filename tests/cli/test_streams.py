"""Whatever becomes of what it reads and prints: a sentence or the right thing, and what is written is written."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import NamedTuple

import pytest
from _pytest.mark import ParameterSet

from core.session import Session
from core.wanted import Wanted
from demo_farm.open import DEMO_DAY, copy_to
from tests.shell import Shell
from tui.cli import main

ON = str(DEMO_DAY)


class Ended(NamedTuple):
    """How a command ended."""

    status: int
    out: str
    err: str


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo farm, opened once."""
    farm = tmp_path_factory.mktemp("streams") / "farm"
    copy_to(farm)
    Session.open(farm, by="ml", on=DEMO_DAY).close()
    return farm


def _run(farm: Path, verb: str, streams: str = "", env: Mapping[str, str | None] | None = None) -> Ended:
    """A command in a shell with its streams sent where `streams` says, and some of the environment changed."""
    kept = {**os.environ, "SHEDBOOK_BY": "ml", **{k: v for k, v in (env or {}).items() if v is not None}}
    for name in (name for name, value in (env or {}).items() if value is None):
        kept.pop(name, None)
    command = [sys.executable, "-m", "tui", "--farm", str(farm), "--on", ON, *verb.split()]
    done = subprocess.run(
        ["sh", "-c", f'exec "$@" {streams}', "sh", *command],
        capture_output=True, text=True, timeout=120, check=False, env=kept, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    return Ended(done.returncode, done.stdout, done.stderr)


READING = (
    "today", "trays", "beds", "buckets", "shelf", "shed", "bench", "stock", "losses", "plan", "crop strawflower",
    "entries", "tonight", "weather", "restore", "check", "since 2026-06-20", "history b3", "--help", "write --help",
    "--version", "reckon dates strawflower --last-frost 2027-05-14", "reckon wreath 14in",
)  # fmt: skip
JSON = ("today", "beds", "stock", "entries", "losses", "plan", "crop strawflower", "check")
LOST = {
    "full": ">/dev/full",
    "closed": ">&-",
    "closed, and no input": ">&- <&-",
    "closed, and errors too": ">&- 2>&-",
    "full, and errors too": ">/dev/full 2>/dev/full",
}
"""Where nothing that is printed comes to anybody."""
ODD: dict[str, tuple[str, dict[str, str | None]]] = {
    "no input": ("<&-", {}),
    "no errors": ("2>&-", {}),
    "errors full": ("2>/dev/full", {}),
    "no home": ("", {"HOME": None}),
    "an empty home": ("", {"HOME": ""}),
    "a home that is not there": ("", {"HOME": "/nowhere"}),
    "a terminal of no kind": ("", {"TERM": None}),
    "a dumb terminal": ("", {"TERM": "dumb"}),
    "hardly an environment": ("", dict.fromkeys(set(os.environ) - {"PATH", "PYTHONPATH", "LD_LIBRARY_PATH"})),
}
"""What is odd and no hindrance."""


def _some(how: Iterable[str], *always: str) -> list[ParameterSet]:
    """All of them in the long run, these always."""
    return [pytest.param(each, marks=() if each in always else pytest.mark.long) for each in how]


def _lost(farm: Path, verb: str, streams: str) -> None:
    done = _run(farm, verb, streams)
    assert (done.status, done.out) == (1, "")
    assert "Traceback" not in done.err and "Exception" not in done.err
    assert ("could not be printed" in done.err and done.err.count("\n") == 1) or "2>" in streams


def _odd(farm: Path, verb: str, how: str) -> None:
    streams, env = ODD[how]
    done = _run(farm, verb, streams, env)
    assert done.status == 0 and done.out
    assert "Traceback" not in done.err and "Exception" not in done.err


@pytest.mark.parametrize("how", _some(LOST, "full", "closed"))
def test_an_answer_that_cannot_be_printed_is_told_and_is_not_done(demo: Path, how: str) -> None:
    _lost(demo, "today --json" if how == "full" else "today", LOST[how])


@pytest.mark.parametrize("how", _some(ODD, "no errors", "a home that is not there", "hardly an environment"))
def test_what_is_odd_around_it_does_not_keep_it_from_printing(demo: Path, how: str) -> None:
    _odd(demo, "today", how)


@pytest.mark.long
@pytest.mark.parametrize("verb", [*READING, *(f"{verb} --json" for verb in JSON)])
def test_every_verb_that_prints_stands_all_of_this(demo: Path, verb: str) -> None:
    for streams in LOST.values():
        _lost(demo, verb, streams)
    for how in ODD:
        _odd(demo, verb, how)
    head = _run(demo, verb, "| head -c 1")
    assert "rror" not in head.err and "Traceback" not in head.err


def test_a_reader_who_has_enough_is_no_trouble(demo: Path) -> None:
    farm = str(demo)
    command = [sys.executable, "-m", "tui", "--farm", farm, "--on", ON, "entries"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as running:
        assert running.stdout is not None and running.stderr is not None
        assert running.stdout.read(10)
        running.stdout.close()
        assert running.stderr.read() == b""
        assert running.wait(20) == 0


@pytest.fixture
def farm(demo: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(demo, tmp_path / "farm"))


STREAMS = {**LOST, **{how: streams for how, (streams, _) in ODD.items() if streams}}


@pytest.mark.parametrize("how", _some(STREAMS, "full", "closed", "closed, and errors too", "no errors"))
def test_what_is_on_the_disk_is_never_called_refused(farm: Path, how: str) -> None:
    streams = STREAMS[how]
    done = _run(farm, "write wind 9" + (" --json" if how == "closed" else ""), streams)
    assert done.status == 0
    assert "Traceback" not in done.err and "Exception" not in done.err
    last = Session.open(farm, by="ml", on=DEMO_DAY).last_line()
    assert getattr(last, "says", None) == ("wind 9 mph",)
    if how in LOST and "2>" not in streams:
        assert (
            done.err.startswith("Written: wind 9 mph. It could not be printed:") and done.err.count("\n") == 1
        )


@pytest.mark.parametrize("how", _some(STREAMS, "full", "closed, and errors too"))
def test_what_is_refused_is_never_called_done(farm: Path, how: str) -> None:
    before = len(Session.open(farm, by="ml", on=DEMO_DAY).entries())
    assert _run(farm, "write 40 strawflower b999 dry", STREAMS[how]).status == 1
    assert len(Session.open(farm, by="ml", on=DEMO_DAY).entries()) == before


@pytest.mark.parametrize("how", _some(LOST, "full"))
def test_a_new_farm_is_made_though_nobody_hears_of_it(tmp_path: Path, how: str) -> None:
    assert _run(tmp_path, f"new {tmp_path / 'new'}", LOST[how]).status == 0
    assert (tmp_path / "new" / "log").is_dir()


def test_lines_that_nobody_hears_the_answer_of_are_all_written(farm: Path) -> None:
    lines = "".join(f"wind {n} {n} may\n" for n in range(2, 9))
    command = [sys.executable, "-m", "tui", "--farm", str(farm), "--on", ON, "--by", "ml", "write", "-"]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            command, input=lines, stdout=full, stderr=subprocess.PIPE, text=True, timeout=120, check=False
        )
    assert done.returncode == 0 and done.stderr.count("Written: wind") == 7
    winds = [
        e.fields["mph"]
        for e in Session.open(farm, by="ml", on=DEMO_DAY).entries(Wanted(since=date(2026, 5, 1)))
        if e.by == "ml"
    ]
    assert winds == [*range(2, 9)]


def test_lines_from_a_closed_input_are_not_called_written(farm: Path) -> None:
    done = _run(farm, "write -", "<&-")
    assert done.status == 1 and "Standard input is closed" in done.err and done.err.count("\n") == 1


@pytest.mark.parametrize("how", ["no input", "a dumb terminal"])
def test_the_screen_says_what_it_lacks(demo: Path, how: str) -> None:
    streams, env = ODD[how]
    done = _run(demo, "", streams, env)
    assert done.status == 1 and done.err.count("\n") == 1 and "terminal" in done.err


def test_without_a_home_it_asks_which_farm(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    import pwd

    def nobody(_uid: int) -> None:
        raise KeyError

    for name in ("HOME", "SHEDBOOK_FARM", "SHEDBOOK_BY", "USER", "LOGNAME", "LNAME", "USERNAME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setattr(pwd, "getpwuid", nobody)
    for verb in (["today"], ["write", "wind", "9"], ["entries", "--json"]):
        assert main(verb) == 1
        shown = capsys.readouterr()
        assert "--farm" in shown.err and (shown.out, shown.err.count("\n")) == ("", 1)
    assert main(["reckon", "wreath", "14in"]) == 0


# what is read


@pytest.fixture
def fed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Ended]:
    """Writes bytes as lines from standard input into a new farm; `notes` of it are what came into the book."""
    shell = Shell(tmp_path / "farm", capsys, "2026-06-20").begin({"2026-06-20": ["farm zone UTC"]})

    def feed(raw: bytes) -> Ended:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(raw)))
        return Ended(*shell("write", "-"))

    return feed


def _notes(tmp_path: Path) -> list[str]:
    return [e.fields["text"] for e in Session.open(tmp_path / "farm", by="ml").entries() if e.kind == "note"]


def test_a_line_in_another_encoding_is_told_and_not_written_with_letters_missing(
    fed: Callable[..., Ended], tmp_path: Path
) -> None:
    done = fed("note one\nnote Crème brûlée here\nnote three\n".encode("latin-1"))
    assert done.status == 1 and done.err.count("\n") == 1
    assert "Line 2" in done.err and "UTF-8" in done.err and "note Cr" in done.err
    assert _notes(tmp_path) == ["one", "three"]


def test_lines_from_any_editor_are_read(fed: Callable[..., Ended], tmp_path: Path) -> None:
    """A mark of UTF-8 before the first line, carriage returns, an old single one, and no newline at the end."""
    assert fed("\ufeffnote one\r\n\r\nnote Crème\tbrûlée\r\nnote three\rnote four".encode()).status == 0
    assert _notes(tmp_path) == ["one", "Crème brûlée", "three", "four"]


@pytest.mark.parametrize("byte", [b"\0", b"\x08", b"\x1b", b"\x7f"])
def test_a_line_with_what_is_no_letter_is_told(
    fed: Callable[..., Ended], tmp_path: Path, byte: bytes
) -> None:
    done = fed(b"note one\nnote a" + byte + b"b\nnote three\n")
    assert done.status == 1 and "Line 2" in done.err and done.err.count("\n") == 1
    assert _notes(tmp_path) == ["one", "three"]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-16-le"])
def test_a_file_in_utf_16_is_refused(fed: Callable[..., Ended], tmp_path: Path, encoding: str) -> None:
    done = fed("note one\nnote Crème\n".encode(encoding))
    assert done.status == 1 and done.out == "" and done.err
    assert _notes(tmp_path) == []


def test_words_in_another_encoding_are_refused(farm: Path) -> None:
    command = [os.fsencode(sys.executable), b"-m", b"tui", b"--farm", bytes(farm), b"--on", ON.encode()]
    done = subprocess.run(
        [*command, b"write", b"note", "Crème".encode("latin-1")],
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 1 and b"UTF-8" in done.stderr and done.stdout == b""
