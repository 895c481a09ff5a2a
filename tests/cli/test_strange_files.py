"""A pipe, a device, a folder or a giant in the place of a file of the own farm: nothing hangs, nothing is swallowed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.drafts import kept
from core.text import clean
from tests.cli.hostile_sorts import MB, OURS, entry, line, text

PUT: dict[str, Callable[[Path], object]] = {
    "pipe": os.mkfifo,
    "link to a device": lambda path: path.symlink_to("/dev/zero"),
    "link to itself": lambda path: path.symlink_to(path.name),
    "folder": Path.mkdir,
    "giant": lambda path: path.touch() or os.truncate(path, 8 << 30),  # type: ignore[func-returns-value]
}
NEEDED = ("farm.json", "log/shed.log")
"""Without these not all can be read or written; a sentence says so. The book does without any other."""
LOGS = ("log/net.log", "log/shed.merged.log", "log/shed.log")
"""A giant here stops the book, with a sentence: nobody can say what of it is hers."""
PLACES = (
    *NEEDED, *LOGS[:2], "book.json", "fold", "fold/farm.json", "lock", "snapshot.lock",
    "draft", "backup/2026-06-22.log.gz", "log/shed.incoming.set-aside", "log/shed.set-aside",
)  # fmt: skip
VERBS = (
    "today", "entries --json", "check", "write bed b9 50ft", "merge {carried}", "since 2026-01-01", "check --repair",
)  # fmt: skip

CHILD = f"""
import contextlib, io, json, resource, signal, sys
from tui.cli import main
resource.setrlimit(resource.RLIMIT_AS, ({300 * MB}, {300 * MB}))
for farm, *lines in json.loads(sys.stdin.read()):
    signal.alarm(60)
    for line in lines:
        out, err = io.TextIOWrapper(io.BytesIO()), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = main(["--by", "ml", "--on", "2026-06-23", "--farm", farm, *line.split()])
        out.flush()
        print(json.dumps([line.split()[0], status, out.buffer.getvalue().decode(), err.getvalue()]), flush=True)
"""


def a_farm(folder: Path) -> Path:
    """A farm with one entry here and one of the netbook's, and a carried file beside it."""
    farm = folder / "farm"
    for name in ("log", "backup", "fold"):
        (farm / name).mkdir(parents=True)
    (farm / "farm.json").write_text('{"format":1,"device":"shed"}')
    (farm / "log" / "shed.log").write_bytes(line(text(entry(1))))
    (farm / "log" / "net.log").write_bytes(line(text(entry(2))))
    (folder / "carried").write_bytes(line(text(entry(3))) + b"junk\n")
    return farm


def put(farm: Path, place: str, sort: str) -> None:
    path = farm / place
    if path.is_dir():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
    PUT[sort](path)


@pytest.mark.parametrize(
    "sort", [sort if sort == "pipe" else pytest.param(sort, marks=pytest.mark.long) for sort in PUT]
)
def test_every_verb_answers_whatever_stands_in_the_place_of_a_file(tmp_path: Path, sort: str) -> None:
    asked = []
    for number, place in enumerate(PLACES):
        farm = a_farm(tmp_path / str(number))
        put(farm, place, sort)
        asked.append([str(farm), *(verb.format(carried=farm.parent / "carried") for verb in VERBS)])
    done = subprocess.run(
        [sys.executable, "-c", CHILD],
        input=json.dumps(asked),
        capture_output=True,
        text=True,
        check=False,
        env={"SHEDBOOK_DEVICE": "shed", "PYTHONPATH": str(Path(__file__).parents[2]), "HOME": str(tmp_path)},
    )
    answers = [json.loads(one) for one in done.stdout.splitlines()]
    assert len(answers) == len(PLACES) * len(VERBS), (PLACES[len(answers) // len(VERBS)], done.stderr[-500:])
    for number, place in enumerate(PLACES):
        for verb, status, out, err in answers[number * len(VERBS) : (number + 1) * len(VERBS)]:
            what = (place, verb, out[-200:], err)
            assert status in (0, 1) and "Something went wrong" not in err, what
            assert all(clean(said) == said for said in (out + err).split("\n")), what
            assert status == 0 or out or err, what
            if place in LOGS and sort == "giant":
                assert status == 1 or verb == "check", what
            elif verb == "entries" and place not in NEEDED:
                assert OURS in out and status == 0, what
            if verb == "write" and status == 0:
                farm = tmp_path / str(number) / "farm"
                assert not (farm / "log" / "shed.log").is_fifo(), what
                assert "b9" in (farm / "log" / "shed.log").read_text(), what


@pytest.mark.parametrize("sort", PUT)
def test_a_draft_that_is_no_file_is_no_draft(
    tmp_path: Path, sort: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    farm = a_farm(tmp_path)
    put(farm, "draft", sort)
    assert kept(farm) == ""
    assert len(Book.open(farm, device="shed").entries()) == 2
