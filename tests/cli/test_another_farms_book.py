"""The book of another farm is not mixed into this one unasked: no merge can be taken apart again."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.session import Session
from tests.farms import write
from tests.shell import Shell

DAY = date(2026, 6, 23)


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    """The command line on a farm that is named."""
    return Shell(tmp_path / "farm", capsys, DAY.isoformat()).begin(
        {DAY.isoformat(): ("farm name Larch End", "bed b1 50ft")}
    )


def _named(folder: Path, name: str, *lines: str) -> Path:
    """Another farm's folder."""
    session = Session.create(folder, by="jo", on=DAY)
    write(session, f"farm name {name}", "bed b1 50ft", *lines)
    session.close()
    return folder


def _long_kept(folder: Path, device: str, entries: int) -> Path:
    """A farm without a name, with two beds and many notes."""
    book = Book.create(folder, device=device)
    beds = [Draft("bed", "2026-04-01", {"bed": f"b{n}", "feet": 50, "width_in": 36}) for n in (1, 2)]
    notes = [Draft("note", "2026-06-01", {"text": f"seen {n}"}) for n in range(entries - 2)]
    book.append(beds + notes, by="jo")
    return folder


def test_a_farm_of_another_name_is_asked_about_and_comes_in_when_she_says_so(
    shell: Shell, tmp_path: Path
) -> None:
    other = _named(tmp_path / "other", "Stony Ford", "note their own")
    before = shell("entries")
    status, out, err = shell("merge", str(other))
    assert (status, out) == (1, "")
    assert "'Stony Ford'" in err and "'Larch End'" in err and f"shedbook merge {other} yes" in err
    assert shell("entries") == before
    (log,) = (other / "log").glob("*.log")
    assert shell("merge", str(log))[0] == 1
    assert shell("merge", str(other), "yes")[0] == 0
    assert "their own" in shell("entries")[1]
    assert shell("merge", str(other))[0] == 0  # from now on they have entries in common


def test_a_renamed_copy_of_this_farm_is_no_other_farm(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    away = Path(shutil.copytree(shell.farm, tmp_path / "away"))
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    write(Session.open(away, by="ml", on=DAY), "farm name Larch End Flowers")
    monkeypatch.delenv("SHEDBOOK_DEVICE")
    assert shell("merge", str(away))[0] == 0
    carried = tmp_path / "carried"
    carried.write_bytes((away / "log" / "netbook.log").read_bytes())
    assert shell("merge", str(carried))[0] == 0


@pytest.mark.parametrize("name", ["Larch End", "larch end"])
def test_a_netbook_set_up_by_itself_under_the_same_name_comes_in_unasked(
    shell: Shell, tmp_path: Path, name: str
) -> None:
    assert shell("merge", str(_named(tmp_path / "netbook", name)))[0] == 0


def test_two_long_kept_books_without_an_entry_in_common_are_asked_about_whatever_their_names(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    here, there = _long_kept(tmp_path / "here", "shed", 300), _long_kept(tmp_path / "there", "hut", 300)
    shell = Shell(here, capsys, DAY.isoformat())
    assert "seems another farm's" in shell("merge", str(there))[2]
    assert shell("merge", str(there), "yes")[0] == 0
    young = _long_kept(tmp_path / "young", "netbook", 20)
    assert shell("merge", str(young))[0] == 0
    new = Session.create(tmp_path / "new", by="jo", on=DAY)
    assert new.merge(here).added == 620


def test_a_file_carried_from_a_netbook_after_weeks_afield_is_of_this_farm(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It holds only what is new, so no entry of it is known here: by what its entries speak of it is."""
    here = _long_kept(tmp_path / "here", "shed", 300)
    bed = next(e for e in Book.open(here).entries() if e.kind == "bed")
    away = Book.open(Path(shutil.copytree(here, tmp_path / "away")), device="netbook")
    away.append(
        [
            Draft("bed", "2026-06-20", {"bed": "b9", "feet": 30, "width_in": 36}),
            Draft("correct", "2026-06-20", {"entry": bed.id, "of": "bed", "now": {"feet": 40}}),
            *(Draft("note", "2026-06-20", {"text": f"afield {n}"}) for n in range(300)),
        ],
        by="jo",
    )
    shell = Shell(here, capsys, DAY.isoformat())
    assert shell("merge", str(tmp_path / "away" / "log" / "netbook.log"))[0] == 0
