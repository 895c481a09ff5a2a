"""Everything that has a name is found by any beginning of it, the thing itself before what speaks of it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.book.entry import Draft
from core.finding.finder import Finder, finder
from core.finding.things import FIELD, NOTE, SORTS, Thing, notes, things
from core.session import Session, Written
from tests.cases import cases
from tests.farms import again, cuts, farm_in, guide_farm, sample_farm, shed
from tests.shell import Shell

FARM = {
    "2026-03-01": (
        "farm zone UTC",
        "last frost 14 may",
        "bed b1 50ft",
        "bed b2 50ft",
        "bed north 30ft",
        "sow 72 zinnia lime",
        "packet statice 500 seeds 2026",
        "bought 40 tubers dahlia 'Plum'",
    ),
    "2026-05-20": (
        "plant strawflower apricot b1 20ft 60 plants",
        "plant statice b2 20ft 60 plants",
        "plan 60 cosmos fresh by 08-20",
    ),
    "2026-06-10": (
        "60 strawflower b1 dry",
        "hang 60 L001 line 1",
        "bought 500 wire 22",
        "recipe posy bouquet: 4 dry strawflower",
        "note b1 slugs along the hedge",
        "note the pump leaks",
    ),
    "2026-06-22": (
        "snap L001",
        "box L001 5x10 box 7",
        "30 statice b2 fresh",
        "order Fern Hollow 10 statice fresh by 6-24 at 1",
        "sold 4 L002 to Cobble Stand at 1",
        "lost 3 mold L001 line 1",
        "spray b1 'Quencher' 12 oz reg 9999-1 reentry 12h 6:00 to 6:30 against aphids",
    ),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", FARM)


def first(session: Session, words: str) -> tuple[str, str]:
    found = finder(session.look_back).find(words)
    assert found, words
    return found[0].sort, found[0].of[0]


@pytest.mark.parametrize(
    ("words", "sort", "of"),
    [
        ("L001", "lot", "L001"),
        ("l1", "lot", "L001"),
        ("s1", "tray", "S01"),
        ("zin lime", "tray", "S01"),
        ("lime zin", "tray", "S01"),
        ("b1", "bed", "b1"),
        ("north", "bed", "north"),
        ("straw apri", "lot", "L001"),
        ("box 7", "box", "box 7"),
        ("fern", "order", "O001"),
        ("hollow", "order", "O001"),
        ("cobble", "buyer", "Cobble Stand"),
        ("lost mold", "lost", "mold"),
        ("mold", "lost", "mold"),
        ("posy", "recipe", "posy"),
        ("wire 22", "making", "wire 22"),
        ("cosmos", "plan", "N01"),
        ("plum", "tuber", "dahlia"),
        ("statice seed", "packet", "K001"),
        ("scabiosa", "crop", "scabiosa"),
        ("ammi", "crop", "ammi"),
    ],
)
def test_a_thing_is_found_by_beginnings_in_any_order(farm: Session, words: str, sort: str, of: str) -> None:
    assert first(farm, words) == (sort, of)


def test_a_note_is_found_by_a_word_of_it_and_as_it_was_corrected_or_taken_back(farm: Session) -> None:
    (slugs,) = finder(farm.look_back).find("hedge")
    assert slugs.sort == NOTE and "slugs along the hedge" in slugs.says and "b1" in slugs.says
    written = farm.write(f"{slugs.of[0][-8:]} was text 'snails by the culvert'")
    assert isinstance(written, Written), written
    assert not finder(farm.look_back).find("hedge") and [
        t.of for t in finder(farm.look_back).find("culvert")
    ] == [slugs.of]
    farm.write(f"cancel {slugs.of[0][-8:]}")
    assert not finder(farm.look_back).find("culvert")
    assert len(finder(farm.look_back).find("pump")) == 1


def test_what_is_finished_is_found_by_its_code_and_told_last(farm: Session) -> None:
    farm.write("sold 26 L002 anyway")
    found = finder(farm.look_back).find("statice")
    lots = [thing for thing in found if thing.of == ("L002",)]
    assert lots and not lots[0].is_live
    assert found.index(lots[0]) > next(n for n, thing in enumerate(found) if thing.sort == "planting")
    assert first(farm, "L2") == ("lot", "L002")


def test_a_slip_is_forgiven_where_nothing_else_fits(farm: Session) -> None:
    assert first(farm, "zinia") == ("tray", "S01")
    assert first(farm, "strwflower")[0] == "lot"
    assert (
        not finder(farm.look_back).find("qqqq")
        and not finder(farm.look_back).find("")
        and not finder(farm.look_back).find(" .,")
    )
    assert not finder(farm.look_back).find("L999")


def test_every_thing_of_every_sort_is_found_by_its_whole_name(farm: Session) -> None:
    seen = set()
    for held in (farm.farm, guide_farm(), sample_farm()):
        for thing in things(held):
            found = Finder(held, []).find(thing.name, most=10_000)
            assert thing in found, thing
            seen.add(thing.sort)
    assert seen == set(SORTS) - {NOTE, FIELD}, "these are entries"


@cases(200)
@given(data=st.data())
def test_typed_letter_by_letter_it_finds_what_it_finds_at_once(data: st.DataObject) -> None:
    """What was narrowed down is asked on: the same as asking anew, also where letters were taken back."""
    farm = guide_farm()
    names = [thing.name.lower() for thing in things(farm) if thing.sort != "crop"]
    text = data.draw(st.sampled_from(names)) + data.draw(st.sampled_from(["", " b3", " dry", "x", "1"]))
    typing = Finder(farm, [])
    cuts_at = data.draw(st.lists(st.integers(min_value=0, max_value=len(text)), max_size=6))
    for end in (*range(1, len(text) + 1), *cuts_at):
        assert typing.find(text[:end]) == Finder(farm, []).find(text[:end]), text[:end]


@cases(200)
@given(data=st.data())
def test_every_word_that_was_typed_stands_in_what_is_found(data: st.DataObject) -> None:
    """By a second, slower hand: a thing is found if and only if each word stands in its name or in what is told of it,
    or is its code."""
    farm = sample_farm()
    every = list(things(farm))
    words = data.draw(
        st.lists(st.sampled_from(["st", "b3", "l0", "dry", "wh", "line", "2", "zin"]), min_size=1, max_size=3)
    )
    found = Finder(farm, []).find(" ".join(words), most=10_000)
    plain = [t for t in every if all(word in f"{t.name} {t.says} {t.also}".lower() for word in words)]
    assert set(found) >= set(plain)
    assert all(t in plain or any(word in ("l0", "b3") for word in words) for t in found) or not plain


def test_the_entries_of_a_kind_are_those_that_reading_all_would_give(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(3), by="ml")
    book.append([Draft("note", "2026-06-23", {"text": 'says "kind":"cut" and more'})], by="ml")
    book.append([*cuts(2), Draft("note", "2026-06-23", {"text": "among cuts"})], by="ml")
    for kind in ("note", "cut", "strike", ""):
        assert again(book).of_kind(kind) == [e for e in again(book).entries() if e.kind == kind]
    assert len(again(book).of_kind("note")) == 2 and len(again(book).of_kind("cut")) == 5


def test_it_is_printed_as_a_table_as_json_and_as_csv(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-23").begin(FARM)
    assert shell.text("find", "fern").splitlines()[1].split()[:3] == ["order", "O001", "Fern"]
    rows = shell.json("find", "straw", "dry")["rows"]
    assert rows[0]["sort"] == "lot" and rows[0]["of"] == ["L001"] and rows[0]["is_live"] is True
    status, csv, _ = shell("find", "slugs", "--csv")
    assert status == 0 and csv.splitlines()[0].startswith("what,called,is")
    assert shell("find", "qqqq")[1].startswith("Nothing is called 'qqqq'")
    assert json.dumps(rows)
    assert shell("find", "zinia")[1].startswith("Nothing is called 'zinia', and no note says it; near it:")
    assert "near it" not in shell("find", "zinnia")[1] and shell.json("find", "zinia")["rows"]


def test_notes_of_the_whole_book_are_things() -> None:
    (thing,) = notes([_note("a b", "b3")])
    assert thing == Thing(NOTE, ("id-1",), "23 Jun 2026 by ml", "on b3: a b", "id-1", "2026-06-23")


def _note(text: str, about: str):  # type: ignore[no-untyped-def]
    from core.book.entry import Entry

    return Entry(
        "id-1", "2026-06-23", "2026-06-23T06:00:00.000Z", "ml", "note", {"text": text, "about": about}
    )
