"""Every table of the book in one folder: read back whole by three readers, harmless, told in a dictionary, and nothing
of hers overwritten."""

from __future__ import annotations

import csv
import io
import json
import os
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from core.book import disk
from core.book.book import Book
from core.book.entry import Draft
from core.exports.csv import csv_text
from core.exports.folder import NOTE, Put, put
from core.formulas import plain_text
from core.problems import Problem, ShedbookError
from core.subject import all_kinds
from core.text import clean
from tests.cases import cases
from tests.shell import Shell
from tui.heads import MEANINGS, meaning
from tui.subjects.exports import tables
from tui.table import csv_columns, head_in_csv

DAYS = {
    "2026-05-20": (
        "farm name 'Low Barn'",
        "bed b1 50ft",
        "bed b2 50ft",
        "plant strawflower 'café au lait, pale' b1 25ft",
        "plant zinnia '=1+1' b2 25ft",
    ),
    "2026-06-20": (
        "40 strawflower b1 fresh 25 min",
        "60 zinnia b2 fresh 20 min",
        "sold 12 L001 to '-Dash, & Söhne' at 1.25",
        "sold 20 L002 to market for 33.40",
        "order '@Corner florist' 20 zinnia by 6-24 at 0.75",
        "lost 3 broken L001",
        "note =cmd, said Jo 5 times; left",
    ),
    "2026-06-21": ("sold 5 L002 to market for 9.99", "undo", "bought 500 wire 22", "low 41"),
}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-06-21").begin(DAYS)


def rfc_4180(text: str) -> list[list[str]]:
    """A second reader, made of the grammar of RFC 4180, section 2, and no more lenient."""
    records, fields, i = [], [], 0
    while i < len(text):
        if text[i] == '"':
            field, i = "", i + 1
            while True:
                end = text.index('"', i)
                field, i = field + text[i:end], end + 1
                if text[i : i + 1] != '"':
                    break
                field, i = field + '"', i + 1
        else:
            end = i
            while text[end] not in ",\r":
                assert text[end] not in '"\n'
                end += 1
            field, i = text[i:end], end
        fields.append(field)
        if text[i] == ",":
            i += 1
        else:
            assert text[i : i + 2] == "\r\n"
            i += 2
            records.append(fields)
            fields = []
    assert not fields
    return records


def read(folder: Path) -> dict[str, list[dict[str, str]]]:
    """The tables of a folder by their names, read by Python's strict reader and by the grammar alike."""
    found = {}
    for path in sorted(folder.glob("*.csv")):
        text = path.read_bytes().decode("utf-8")
        head, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
        assert [head, *rows] == rfc_4180(text), path.name
        assert len(set(head)) == len(head) and all(head) and all(len(row) == len(head) for row in rows)
        found[path.stem] = [dict(zip(head, map(plain_text, row), strict=True)) for row in rows]
    return found


def test_all_that_was_written_comes_back_with_its_money_and_minutes(shell: Shell, tmp_path: Path) -> None:
    out = tmp_path / "out"
    shell.text("out", str(out), most=400)
    found = read(out)
    sales = {row["who"]: Decimal(row["money"]) for row in found["written-sold"]}
    assert sales == {"-Dash, & Söhne": Decimal("15.00"), "market": Decimal("33.40")}, (
        "the one undone is left out"
    )
    assert {row["crop"]: row["minutes"] for row in found["written-cut"]} == {
        "strawflower": "25",
        "zinnia": "20",
    }
    assert found["written-set-out"][0]["variety"] == "café au lait, pale"
    assert found["written-set-out"][1]["variety"] == "=1+1"
    assert found["written-note"][0]["text"] == "=cmd, said Jo 5 times; left"
    assert {row["crop"]: Decimal(row["taken"]) for row in found["takings-by-crop"]} == {
        "zinnia": Decimal("33.40"),
        "strawflower": Decimal("15.00"),
    }
    (ordered,) = found["ordered"]
    assert (ordered["buyer"], ordered["price"], ordered["comes to"]) == ("@Corner florist", "0.75", "15.00")
    assert {row["lot"]: int(row["on hand"]) for row in found["stock"]} == {"L001": 25, "L002": 40}
    counted = sum(len(rows) for name, rows in found.items() if name.startswith("written-"))
    entries = [json.loads(line) for line in shell("entries", "--json")[1].splitlines()]
    assert counted == sum(1 for e in entries if not e.get("struck") and e["kind"] != "strike")


def test_a_spreadsheet_finds_no_formula_in_it_and_every_text_whole(shell: Shell, tmp_path: Path) -> None:
    shell("out", str(tmp_path / "out"))
    book = Workbook()
    sheet = book.active
    cells = [
        cell
        for path in (tmp_path / "out").glob("*.csv")
        for row in csv.reader(io.StringIO(path.read_bytes().decode(), newline=""))
        for cell in row
    ]
    for cell in cells:
        sheet.append([cell])
    book.save(tmp_path / "book.xlsx")
    again = [row[0] for row in load_workbook(tmp_path / "book.xlsx").active.iter_rows()]
    assert "f" not in {cell.data_type for cell in again}
    assert [cell.value or "" for cell in again] == cells
    assert {"'=1+1", "'-Dash, & Söhne", "'@Corner florist"} <= set(cells)


def test_every_column_stands_in_the_dictionary_with_what_it_means(shell: Shell, tmp_path: Path) -> None:
    shell("out", str(tmp_path / "out"))
    found = read(tmp_path / "out")
    told = {(row["file"], row["column"]): row["meaning"] for row in found.pop("columns") if row["file"]}
    heads = {(f"{name}.csv", head) for name, rows in found.items() for row in rows for head in row}
    assert heads <= set(told) and all(told.values())


def test_every_head_of_every_table_has_a_meaning_and_none_is_left_over() -> None:
    every = [(table, head_in_csv(c)) for table in tables() for c in csv_columns(table.columns)]
    assert [(table.name, head) for table, head in every if meaning(table, head) is None] == []
    assert set(MEANINGS) <= {head for table, head in every if head not in table.heads}
    assert all(set(table.heads) <= {head for of, head in every if of is table} for table in tables())
    names = [table.name for table in tables()]
    assert len(set(names)) == len(names)


def test_any_kind_of_entry_has_a_table_of_its_own_file() -> None:
    names = {kind.name for kind in all_kinds()}
    files = {"".join(c if c.isalnum() else "-" for c in name) for name in names}
    assert len(files) == len(names)


@cases(100)
@given(st.lists(st.text(st.characters(codec="utf-8"), min_size=1).map(clean), min_size=1))
def test_any_clean_text_comes_back_as_it_was(texts: list[str]) -> None:
    read_back = list(csv.reader(io.StringIO(csv_text(["a", "b"], [[text, 1] for text in texts]), newline="")))
    assert [plain_text(row[0]) for row in read_back[1:]] == texts


def test_what_a_newer_shedbook_wrote_goes_out_too_whatever_it_is_called(shell: Shell, tmp_path: Path) -> None:
    odd = ("a b", "a/b", "../up", "x" * 3000, "Ł", "=kind")
    book = Book.open(shell.farm)
    book.append(
        [
            Draft(kind, "2026-06-21", {"odd": ["=1", {"b": None}], "n": 1.5, "cents": 250, "t": True})
            for kind in odd
        ],
        by="jo",
    )
    answer = shell.json("out", str(tmp_path / "out"))
    found = read(tmp_path / "out")
    mine = {row["kind"]: row for rows in found.values() for row in rows if row.get("by") == "jo"}
    assert set(mine) == set(odd) and not (tmp_path / "up.csv").exists()
    assert {row["money"] for row in mine.values()} == {"2.50"} and {row["t"] for row in mine.values()} == {
        "yes"
    }
    assert len({file["file"] for file in answer["rows"]}) == len(answer["rows"]) == len(found) - 1


# what lies in the folder


def test_a_second_time_nothing_is_written_and_what_is_no_more_is_taken_away(
    shell: Shell, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    first = shell.json("out", str(out))
    again = shell.json("out", str(out))
    assert again["written"] == [] and len(again["same"]) == len(first["written"])
    shell.write("undo yes")
    later = shell.json("out", str(out))
    assert later["removed"] == ["written-low.csv"] and not (out / "written-low.csv").exists()


def test_what_she_changed_or_put_there_is_not_overwritten(shell: Shell, tmp_path: Path) -> None:
    out = tmp_path / "out"
    shell("out", str(out))
    (out / "my sums.csv").write_text("mine")
    (out / ".draft.2024.new").write_text("hers too")
    (out / "stock.csv").write_text("hers now")
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    shell.write("12 zinnia b2 fresh")
    status, _, err = shell("out", str(out))
    assert status == 1 and "stock.csv is not as shedbook left it" in err and "Nothing was written" in err
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before
    (out / "stock.csv").unlink()
    assert "stock.csv" in shell.json("out", str(out))["written"]
    assert (out / "my sums.csv").read_text() == "mine" and (out / ".draft.2024.new").read_text() == "hers too"


def test_a_folder_of_her_own_tables_a_link_and_a_farm_are_left_alone(shell: Shell, tmp_path: Path) -> None:
    hers = tmp_path / "hers"
    hers.mkdir()
    (hers / "orders.csv").write_text("hers")
    assert shell("out", str(hers))[0] == 1
    assert [path.name for path in hers.iterdir()] == ["orders.csv"]
    linked = tmp_path / "linked"
    linked.mkdir()
    (linked / "orders.csv").symlink_to(hers / "orders.csv")
    assert shell("out", str(linked))[0] == 1
    assert (hers / "orders.csv").read_text() == "hers"
    status, _, err = shell("out", str(shell.farm))
    assert status == 1 and "a farm's own folder" in err
    assert not [*shell.farm.glob("*.csv")]


def test_stopped_at_any_write_it_goes_on_the_next_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = {"a.csv": b"1", "b.csv": b"1", "c.csv": b"1"}
    new = {"a.csv": b"2", "b.csv": b"2", "d.csv": b"2"}
    whole = disk.replace_file
    for stop in range(6):
        out = tmp_path / str(stop)
        assert isinstance(put(out, old), Put)
        done = 0

        def until(*args: object, stop: int = stop, ours: bool) -> None:
            nonlocal done
            if done == stop:
                raise OSError(28, "no room")
            done += 1
            whole(*args, ours=ours)  # type: ignore[arg-type]

        monkeypatch.setattr(disk, "replace_file", until)
        try:
            put(out, new)
        except ShedbookError as full:
            assert "no room" in full.problem.sentence
        monkeypatch.setattr(disk, "replace_file", whole)
        assert isinstance(put(out, new), Put), "what was half done is known as ours"
        assert {p.name: p.read_bytes() for p in out.iterdir() if p.name != NOTE} == new


def test_others_may_read_what_goes_out_as_they_may_her_other_files(shell: Shell, tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        shell("out", str(tmp_path / "out"))
        shell("calendar", str(tmp_path / "farm.ics"))
        assert (tmp_path / "out" / "stock.csv").stat().st_mode & 0o777 == 0o644
        assert (tmp_path / "farm.ics").stat().st_mode & 0o777 == 0o644
        (tmp_path / "farm.ics").chmod(0o600)
        shell.write("order Lane 5 zinnia by 7-1")
        shell("calendar", str(tmp_path / "farm.ics"))
        assert (tmp_path / "farm.ics").stat().st_mode & 0o777 == 0o600
    finally:
        os.umask(before)


def test_a_note_that_cannot_be_read_makes_nothing_ours(tmp_path: Path) -> None:
    put(tmp_path, {"a.csv": b"1"})
    (tmp_path / NOTE).write_text('{"files": {"../x": ["1"], "a.csv": 3}}')
    assert isinstance(put(tmp_path, {"a.csv": b"2"}), Problem)


@pytest.mark.parametrize("verb", ("out", "calendar", "sheet day", "labels --lots L001 --", "bring"))
def test_a_place_that_cannot_be_is_told_in_a_sentence_of_its_own(
    shell: Shell, tmp_path: Path, verb: str
) -> None:
    (tmp_path / "file").write_text("hers")
    (tmp_path / "ring").symlink_to(tmp_path / "ring")
    places = [tmp_path / "file" / "x", tmp_path / "ring", Path("/dev/null")]
    if verb != "out":
        places += [tmp_path, tmp_path / "none" / "x"]
    for place in places:
        status, text, err = shell(*verb.split(), str(place))
        assert (status, text) == (1, "") and err.count("\n") == 1 and "went wrong" not in err, place
    assert (tmp_path / "file").read_text() == "hers"
