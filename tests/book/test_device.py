"""A machine's name is safe in a file name; its mark keeps lot codes of two machines apart and stays."""

from __future__ import annotations

import itertools
from pathlib import Path

import pytest
from core.book.book import Book
from core.book.device import NAME, device_mark, safe_name, this_device
from hypothesis import given
from hypothesis import strategies as st

from tests.farms import FIRST_MS, cut, shed


def test_the_name_is_this_machines_and_can_be_set(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SHEDBOOK_DEVICE", raising=False)
    assert NAME.fullmatch(this_device())
    assert this_device() == this_device()
    monkeypatch.setenv("SHEDBOOK_DEVICE", "Field Netbook/2")
    assert this_device() == "field-netbook-2"
    monkeypatch.setenv("SHEDBOOK_DEVICE", "...")
    assert NAME.fullmatch(this_device())


@given(st.text(max_size=80))
def test_any_text_becomes_a_safe_name_or_none(text: str) -> None:
    name = safe_name(text)
    assert name == "" or NAME.fullmatch(name)


def test_it_is_not_stored_in_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHEDBOOK_DEVICE", "shed")
    book = Book.create(tmp_path / "farm")
    book.append([cut()], by="ml")
    monkeypatch.setenv("SHEDBOOK_DEVICE", "net")
    Book.open(book.folder).append([cut()], by="kk")
    assert sorted(p.name for p in (book.folder / "log").iterdir()) == ["net.log", "shed.log"]


def test_the_maker_has_no_mark_and_others_have_a_letter(tmp_path: Path) -> None:
    book = shed(tmp_path)
    assert device_mark(book.folder, "shed") == ""
    mark = device_mark(book.folder, "net")
    assert len(mark) == 1 and mark.isalpha() and mark.islower()
    Book.open(book.folder, device="net").append([cut()], by="kk")
    assert device_mark(book.folder, "net") == mark
    assert device_mark(book.folder, "shed") == ""


def test_marks_differ_and_stay_as_machines_join(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append([cut()], by="ml")
    marks: dict[str, str] = {}
    times = itertools.count(FIRST_MS, 1000)
    for n in range(30):  # more than there are letters
        name = f"net{n}"
        marks[name] = device_mark(book.folder, name)
        Book.open(book.folder, device=name, clock=lambda: next(times)).append([cut()], by="kk")
        for known, mark in marks.items():
            assert device_mark(book.folder, known) == mark
    assert all(1 <= len(mark) <= 2 for mark in marks.values())
    first = [mark for mark in marks.values() if len(mark) == 1]
    assert len(first) == len(set(first))


def test_without_the_farm_file_the_first_writer_made_it(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append([cut()], by="ml")
    Book.open(book.folder, device="a-net", clock=lambda: 4_000_000_000_000).append([cut()], by="kk")
    (book.folder / "farm.json").unlink()
    assert device_mark(book.folder, "shed") == ""
    assert device_mark(book.folder, "a-net") != ""
