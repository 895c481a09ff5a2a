"""A stranger's log, copied into the farm past every check: each verb still says its sentence and does no harm."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.subject import kind_of
from core.text import clean
from tests.cases import some_of
from tests.farm.every_kind import DAY, season
from tui.cli import main

pytestmark = pytest.mark.usefixtures("reckoned_once")

ESC = "\x1b[2J\x1b]0;owned\x07"
ODD: tuple[Any, ...] = (
    ESC,
    float("nan"),
    float("inf"),
    -1e308,
    "25:99",
    [],
    {"a": [1]},
    True,
    "a" * 10_000,
    "=cmd()",
    0,
)
NEW = ("cut", "hung", "weighed", "moved", "boxed", "air", "air range", "line", "box", "box checked", "box treated",
       "recipe", "part", "made", "used", "spent", "piece sold", "piece lost", "reorder", "strike")  # fmt: skip


def _lines() -> Iterator[bytes]:
    """Whole lines with good checksums: every new kind with every field odd in turn, and with no fields at all."""
    number = 0
    for kind in NEW:
        good = next((e.fields for e in season().entries if e.kind == kind), {"entry": "x"})
        known = kind_of(kind, good)
        assert known is not None
        for name in ("", *known.fields):
            for value in ODD if name else ("",):
                number += 1
                fields = {**good, name: value} if name else {}
                flat = {
                    "id": f"0195ffff-{number % 65536:04x}-7000-8000-{number:012x}",
                    "on": "2026-07-10" if number % 50 else ESC,
                    "at": "2026-07-10T06:00:00.000Z" if number % 30 else "yesterday",
                    "by": ESC if number % 40 == 0 else "zz",
                    "kind": kind,
                    **fields,
                }
                body = json.dumps(flat, ensure_ascii=False, separators=(",", ":")).encode()
                yield b"%08x %b\n" % (crc32(body), body)


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile") / "farm"
    book = Book.create(folder, device="shed")
    book.append([Draft(e.kind, e.on, e.fields) for e in season().entries], by="ml")
    (folder / "log" / "stranger.log").write_bytes(b"".join(_lines()))
    return folder


READING = (
    "today", "trays", "beds", "shelf", "buckets", "shed", "shed --hang 5", "stock", "bench", "bench --make 2_posy",
    "lot L001", "lot L002", "losses", "losses --crop zinnia", "plan", "entries", "entries --since 2026-07-01",
    "history L001", "history M001", "history b1", "check", "tonight", "weather", "restore", "crop strawflower",
)  # fmt: skip
TABLES = ("trays", "beds", "shelf", "buckets", "stock", "losses", "plan")


def _run(farm: Path, words: str, *more: str) -> int:
    verb, *options = (word.replace("_", " ") for word in words.split())
    return main([verb, *options, "--farm", str(farm), "--on", DAY.isoformat(), *more])


@pytest.mark.part
@pytest.mark.parametrize("words", READING)
def test_every_verb_says_its_sentence(farm: Path, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    for told in some_of(((), ("--json",)), READING.index(words), 2):
        status = _run(farm, words, *told)
        said = capsys.readouterr()
        assert status in (0, 1) and "Something went wrong" not in said.err
        for line in (said.out + said.err).split("\n"):
            assert clean(line) == line, "nothing that a terminal would obey"
        for line in said.out.splitlines() if told else ():
            json.loads(line, parse_constant=_no_json)


def _no_json(word: str) -> None:
    raise AssertionError(f"{word} is no JSON")


@pytest.mark.parametrize("verb", TABLES)
def test_a_table_has_no_cell_that_a_spreadsheet_would_run(
    farm: Path, verb: str, capsys: pytest.CaptureFixture[str]
) -> None:
    import csv

    assert _run(farm, verb, "--csv") == 0
    for row in csv.reader(capsys.readouterr().out.splitlines()):
        for cell in row:
            assert not cell.startswith(("=", "@", "+")) and clean(cell) == cell
            if cell.startswith("-"):
                float(cell)


def test_what_makes_no_sense_is_told_by_check(farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert _run(farm, "check") == 1
    told = capsys.readouterr().out
    assert "must be a time such as 06:40" in told and "must be a number" in told


@pytest.mark.parametrize(
    "line", ["30 zinnia b2 fresh", "undo", "make 1 posy", "air", "shed 60F 50%", "strike ffff", "weigh L001 30g",
             "count 3 wire 22"]
)  # fmt: skip
def test_she_can_go_on_writing(farm: Path, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["write", "--farm", str(farm), "--by", "ml", "--on", DAY.isoformat(), *line.split()]) in (
        0,
        1,
    )
    said = capsys.readouterr()
    assert "Something went wrong" not in said.err and (said.out or said.err)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "2026-02-30"])
def test_a_day_no_farm_sees_is_refused_as_a_word(
    farm: Path, day: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["today", "--farm", str(farm), "--on", day]) == 2
    assert "is no day" in capsys.readouterr().err


@pytest.mark.parametrize("day", ["1700-01-01", "2299-12-31"])
def test_the_first_and_the_last_day_can_be_read(
    farm: Path, day: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for verb in ("today", "shelf", "beds", "plan", "stock", "buckets", "shed", "bench", "tonight"):
        assert main([verb, "--farm", str(farm), "--on", day]) == 0
    assert "Something went wrong" not in capsys.readouterr().err
