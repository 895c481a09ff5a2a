"""Whatever is merged: one clear answer, little memory, little time, and no harm to the own book."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from core.text import clean
from tests.cli.hostile_sorts import MB, OURS, SORTS, Sort, entry, line, text

MEMORY = 300 * MB
"""Bytes that a merge may take in all, the program itself included."""
SECONDS = 10
"""Of the processor's time that a merge and the same merge again may take: what hangs or grows is stopped there."""

CHILD = f"""
import contextlib, io, json, resource, signal, sys
from tui.cli import main
def run(*words):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        return [main(["--by", "ml", "--on", "2026-06-23", *words]), out.getvalue(), err.getvalue()]
resource.setrlimit(resource.RLIMIT_AS, ({MEMORY}, {MEMORY}))
for farm, other in zip(sys.argv[1::2], sys.argv[2::2]):
    used = sum(resource.getrusage(resource.RUSAGE_SELF)[:2])
    resource.setrlimit(resource.RLIMIT_CPU, (int(used) + 1 + {SECONDS}, resource.RLIM_INFINITY))
    signal.alarm(60)
    answer = run("--farm", farm, "merge", other)
    again = run("--farm", farm, "merge", other)
    print(json.dumps([answer, again, run("--farm", farm, "entries", "--json")[1]]), flush=True)
"""


def a_farm(folder: Path) -> Path:
    """A farm with one bed in it, as a machine called shed left it."""
    farm = folder / "own"
    for name in ("log", "backup"):
        (farm / name).mkdir(parents=True)
    (farm / "farm.json").write_text('{"format":1,"device":"shed"}')
    (farm / "log" / "shed.log").write_bytes(line(text(entry(1))))
    return farm


Answer = tuple[int, str, str]
"""Exit status, output, errors."""


def merged(pairs: list[tuple[Path, Path]]) -> list[tuple[Answer, Answer, list[str]]]:
    """For each (farm, other): what merging it says, what doing it again says, the ids that the book then lists.

    In one child process, which little memory, little time and nothing to wait for is given to.
    """
    root = str(Path(__file__).parents[2])
    done = subprocess.run(
        [sys.executable, "-c", CHILD, *(str(path) for pair in pairs for path in pair)],
        capture_output=True,
        env={"SHEDBOOK_DEVICE": "shed", "PYTHONPATH": root, "HOME": str(pairs[0][0].parent)},
        check=False,
    )
    told = [json.loads(said) for said in done.stdout.splitlines()]
    assert len(told) == len(pairs), f"stopped at {pairs[len(told)][1]}: {done.stderr.decode()[-400:]}"
    return [
        (tuple(first), tuple(again), [json.loads(one)["id"] for one in listed.splitlines()])
        for first, again, listed in told
    ]


def judge(sort: Sort, farm: Path, first: Answer, again: Answer, found: list[str]) -> None:
    """What must hold of every sort."""
    for status, out, err in (first, again):
        assert "Something went wrong" not in err and "Traceback" not in err, err
        for said in (out + err).split("\n"):
            assert clean(said) == said, "nothing that a terminal would obey"
        if status:
            assert status == 1 and err.count("\n") == 1 and len(err) < 400, "one clear sentence"
            assert out == "" or "Not all of it could be brought in" in err
    status, out, err = first
    assert sort.says in out + err
    assert status or (err == "" and out.startswith(f"{sort.added} ")), out[:200]
    assert status == again[0] and (status or again[1].startswith("0 entries brought in")), again[1][:200]
    assert OURS in found and len(found) == 1 + sort.added
    assert (farm / "log" / "shed.log").read_bytes() == line(text(entry(1)))


def test_no_quick_sort_does_harm(tmp_path: Path) -> None:
    """All of them one after another in one process, each into a farm of its own."""
    quick = [sort for sort in SORTS if not sort.big]
    pairs = []
    for number, sort in enumerate(quick):
        theirs = tmp_path / str(number) / "theirs"
        theirs.mkdir(parents=True)
        pairs.append((a_farm(theirs.parent), sort.make(theirs)))
    failed = []
    for sort, (farm, _), answers in zip(quick, pairs, merged(pairs), strict=True):
        try:
            judge(sort, farm, *answers)
        except AssertionError as error:
            failed.append(f"{sort.name}: {str(error)[:300]}")
    assert not failed, "\n".join(failed)


@pytest.mark.long
@pytest.mark.parametrize("sort", SORTS, ids=lambda sort: sort.name)
def test_no_sort_does_harm(sort: Sort, tmp_path: Path) -> None:
    (tmp_path / "theirs").mkdir()
    farm = a_farm(tmp_path)
    ((first, again, found),) = merged([(farm, sort.make(tmp_path / "theirs"))])
    judge(sort, farm, first, again, found)
