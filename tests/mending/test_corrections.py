"""A mistake is put right where it was made: the entry reads as corrected in its place, and what rests on it stays."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft, Entry
from core.book.fit import read_all_fit, read_fit
from core.problems import Problem
from core.session import Session, Written
from tests.farms import farm_in, stock_of, write

DAY = date(2026, 6, 23)


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    """Strawflower in b1 and b3, zinnia in b2; one cut of each of b1 and b2, some of it sold and hung."""
    session = Session.create(tmp_path / "farm", by="ml", on=DAY)
    write(
        session,
        "farm zone UTC",
        *(f"bed b{n} 50ft" for n in (1, 2, 3)),
        "sow 72 strawflower apricot on 2026-03-20",
        "up 60 S01 on 2026-04-02",
        "set out S01 50 b1 25ft on 2026-05-15",
        "plant zinnia b2 20ft on 2026-05-20",
        "plant strawflower b3 20ft on 2026-05-20",
        "40 strawflower b1 dry on 2026-06-18",
        "hang 30 L001 line 1 on 2026-06-18",
        "30 zinnia b2 fresh on 2026-06-19",
        "sold 10 L002 to corner stand on 2026-06-20",
    )
    return session


def _refused(session: Session, line: str) -> str:
    found = session.write(line)
    assert isinstance(found, Problem), found
    return found.sentence


def _sold(session: Session) -> Entry:
    return next(e for e in session.entries() if e.kind == "sold")


def _hung(session: Session) -> str:
    return next(e for e in session.entries() if e.kind == "hung").id[-8:]


def _stems(session: Session) -> dict[str, int]:
    found: dict[str, int] = {}
    for row in stock_of(session):
        found[row.lot] = found.get(row.lot, 0) + row.stems
    return found


# what is said


def test_a_count_is_put_right_and_the_sale_stays(farm: Session) -> None:
    write(farm, "L002 was 35")
    assert _stems(farm) == {"L001": 40, "L002": 25}
    assert farm.check() == []


def test_bunches_of_a_correction_are_so_many_stems_and_told_before_enter(farm: Session) -> None:
    told = farm.complete("L002 was 4b").says
    assert told.endswith("(40 stems = 4 bunches of 10)"), told
    write(farm, "L002 was 4b")
    assert _stems(farm) == {"L001": 40, "L002": 30}
    write(farm, f"{_sold(farm).id[-8:]} was 2 bunches")
    assert _stems(farm) == {"L001": 40, "L002": 20}
    write(farm, "L001 was 5 bu")
    assert _stems(farm)["L001"] == 50
    assert _refused(farm, "S01 was 3 bunches").startswith("What is 3 here?")


def test_stems_found_to_be_more_are_told_where_they_go(farm: Session) -> None:
    """All that was written has left the bucket: what is corrected upward stands there, and is not there unsaid."""
    write(farm, "hang 10 L001 line 1")
    told = farm.complete("L001 was 46").says
    assert told.endswith("(6 more in the bucket)"), told
    done = farm.write("L001 was 46")
    assert isinstance(done, Written)
    assert any("6 more in the bucket" in remark and "correct that line" in remark for remark in done.remarks)
    assert "more in the bucket" not in farm.complete("L002 was 40").says, "some of it stands there anyhow"


def test_a_cut_from_the_wrong_bed_is_of_what_stood_in_the_right_one(farm: Session) -> None:
    write(farm, "L001 was b3")
    lot = farm.farm.lots.get("L001")
    assert lot is not None
    assert (lot.bed, lot.planting, lot.variety) == ("b3", "P03", None)
    stems = {p.code: p.stems_cut for p in farm.farm.plantings.all()}
    assert stems == {"P01": 0, "P02": 30, "P03": 40}


@pytest.mark.parametrize(
    ("line", "entry", "field", "now"),
    [
        ("L002 was dry", "cut", "use", "dry"),
        ("L002 was yesterday", "cut", "on", "2026-06-22"),
        ("L002 was lime", "cut", "variety", "lime"),
        ("L002 was culls 3 brown", "cut", "culls", 3),
        ("L002 was at 6:40", "cut", "clock", "06:40"),
        ("L002 was by jo", "cut", "by", "jo"),
        ("correct L002 to 31", "cut", "stems", 31),
        ("S01 was 80 seeds", "sown", "seeds", 80),
        ("P03 was 22ft", "set out", "feet", 22),
        ("{sold} was to florist", "sold", "who", "florist"),
        ("{sold} was 12", "sold", "stems", 12),
        ("{hung} was line 2", "hung", "line", "line 2"),
        ("{up} was 58", "up", "count", 58),
    ],
)
def test_one_line_changes_one_thing(farm: Session, line: str, entry: str, field: str, now: object) -> None:
    ids = {e.kind: e.id[-8:] for e in farm.entries()}
    if line == "L002 was yesterday":
        write(farm, f"{ids['sold']} was today")
    write(farm, line.format_map(ids))
    changed = [e for e in farm.entries() if e.kind == entry][-1].as_dict()
    assert changed[field] == now
    assert farm.check() == []


def test_another_lot_for_a_sale(farm: Session) -> None:
    write(farm, f"{_sold(farm).id[-8:]} was L001")
    assert _stems(farm) == {"L001": 30, "L002": 30}


def test_a_sowing_of_another_crop_takes_with_it_what_came_of_it(farm: Session) -> None:
    done = write(farm, "S01 was zinnia lime")
    assert [e.fields["about"] for e in done.entries] == ["S01", "P01", "L001"]
    tray, planting, lot = (
        farm.farm.trays.get("S01"),
        farm.farm.plantings.get("P01"),
        farm.farm.lots.get("L001"),
    )
    assert tray and planting and lot
    assert {(it.crop, it.variety) for it in (tray, planting, lot)} == {("zinnia", "lime")}
    assert farm.check() == []
    assert isinstance(farm.undo(), Written)
    lot = farm.farm.lots.get("L001")
    assert lot and (lot.crop, lot.variety) == ("strawflower", "apricot")


def test_the_preview_says_what_would_be_corrected(farm: Session) -> None:
    assert farm.complete("L002 was 35").says == "corrected cut L002: stems 35 (was stems 30)"


# what is refused


def test_what_no_longer_fits_is_named(farm: Session) -> None:
    sold = _sold(farm)
    said = _refused(farm, "L002 was 5")
    assert "sold 10 stems of L002 from the bucket to corner stand" in said and sold.id[-8:] in said
    assert _refused(farm, "L001 was 20").endswith(f"{_hung(farm)} was 20.")
    assert "sold 10" in _refused(farm, "L002 was 2026-06-22")
    assert _stems(farm) == {"L001": 40, "L002": 20}


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("L002 was", "after 'was'"),
        ("L002 was 30", "already"),
        ("L002 was b9", "b9"),
        ("L002 was b1", "No zinnia stood in bed b1"),
        ("L002 was 2026-06-24", "to come"),
        ("L009 was 3", "L009"),
        ("L002 was line 2", "line"),
        ("L002 was frobbed", "frobbed"),
        ("L002 was no bed", "cannot be left out"),
        ("deadbeef was 3", "deadbeef"),
        ("{sold} was 31", "more than there is"),
        ("{sold} was L007", "L007"),
    ],
)
def test_a_correction_that_cannot_be_is_refused_in_one_sentence(farm: Session, line: str, word: str) -> None:
    count = farm.farm.count
    assert word in _refused(farm, line.format(sold=_sold(farm).id[-8:]))
    assert farm.farm.count == count


def test_what_the_refusal_says_to_correct_first_makes_room(farm: Session) -> None:
    refused = farm.write("L001 was 20")
    assert isinstance(refused, Problem)
    write(farm, *refused.nearest, "L001 was 20")
    assert _stems(farm)["L001"] == 20 and farm.check() == []


def test_a_struck_entry_is_restored_before_it_is_corrected(farm: Session) -> None:
    sold = _sold(farm)
    struck = farm.strike(sold.id)
    assert isinstance(struck, Written)
    assert "restore" in _refused(farm, f"{sold.id[-8:]} was 12")
    farm.strike(struck.entries[0].id)
    write(farm, f"{sold.id[-8:]} was 12")
    assert _stems(farm)["L002"] == 18


# again, struck, restored


def test_corrected_again_struck_and_restored(farm: Session) -> None:
    first = write(farm, "L002 was 35").entries[0]
    second = write(farm, "L002 was 36").entries[0]
    assert _stems(farm)["L002"] == 26
    struck = farm.strike(second.id)
    assert isinstance(struck, Written)
    assert _stems(farm)["L002"] == 25
    assert isinstance(farm.strike(first.id), Written)
    assert _stems(farm)["L002"] == 20
    assert isinstance(farm.strike(struck.entries[0].id), Written)
    assert _stems(farm)["L002"] == 26


def test_undo_takes_the_correction_back_and_not_what_it_corrected(farm: Session) -> None:
    write(farm, "L002 was 35")
    assert isinstance(farm.undo(), Written)
    assert _stems(farm)["L002"] == 20


def test_a_correction_on_which_a_later_sale_rests_is_not_struck(farm: Session) -> None:
    corrected = write(farm, "L002 was 35").entries[0]
    write(farm, "sold 24 L002")
    refused = farm.strike(corrected.id)
    assert isinstance(refused, Problem) and "L002" in refused.sentence


def test_history_tells_what_it_is_and_what_it_was(farm: Session) -> None:
    write(farm, "L002 was 35")
    story = farm.look_back.history("L002")
    assert not isinstance(story, Problem)
    cut = next(e for e in story if e.kind == "cut")
    assert cut.fields["stems"] == 35 and farm.look_back.marks(story).corrected == {cut.id}
    correction = next(e for e in story if e.kind == "correct")
    assert (correction.fields["now"], correction.fields["was"]) == ({"stems": 35}, {"stems": 30})


# machines apart


def test_two_machines_correct_one_field_and_the_later_holds_whichever_comes_first(tmp_path: Path) -> None:
    farm_in(tmp_path / "shed", {"2026-06-22": ("bed b2 50ft", "plant zinnia b2 20ft", "30 zinnia b2 fresh")})
    shutil.copytree(tmp_path / "shed", tmp_path / "net")
    cut = next(e for e in Book.open(tmp_path / "shed").entries() if e.kind == "cut")
    for name, stems, hour in (("shed", 35, 2), ("net", 36, 1)):
        book = Book.open(
            tmp_path / name, device=name, clock=lambda hour=hour: (1782200000 + hour * 3600) * 1000
        )
        book.append(
            [Draft("correct", "2026-06-23", {"entry": cut.id, "of": "cut", "now": {"stems": stems}})], by="ml"
        )
    shed, net = (Session.open(tmp_path / name, by="ml", on=DAY) for name in ("shed", "net"))
    shed.merge(tmp_path / "net")
    net.merge(tmp_path / "shed")
    assert [_stems(shed), _stems(net)] == [{"L001": 35}, {"L001": 35}]


def test_a_correction_that_no_entry_can_have_changes_nothing_and_is_told(farm: Session) -> None:
    """Whoever wrote it: a stranger's log came over by a file copier."""
    cut = next(e for e in farm.entries() if e.fields.get("lot") == "L002" and e.kind == "cut")
    for now in (
        {"stems": "many"}, {"stems": None}, {"lot": "L700"}, {"on": "soon"}, {"id": "x"}, {"stems": 10**12}, {}, 7,
        {"use": ["dry"]}, {"at": "2026"},
    ):  # fmt: skip
        Book.open(farm.folder, device="stranger").append(
            [Draft("correct", "2026-06-23", {"entry": cut.id, "of": "cut", "now": now})], by="zz"
        )
    farm.refresh()
    assert _stems(farm) == {"L001": 40, "L002": 20}
    assert len([m for m in farm.check() if m.code == "settle"]) == 10


# codes


def test_the_code_of_a_struck_cut_is_never_given_again(farm: Session) -> None:
    write(farm, "12 zinnia b2 fresh", "undo")
    done = write(farm, "7 strawflower b3 dry")
    assert done.lot == "L004"
    farm.close()
    shutil.rmtree(farm.folder / "fold")
    again = Session.open(farm.folder, by="ml", on=DAY)
    again.undo()
    assert write(again, "9 zinnia b2 fresh").lot == "L005"


# in the log


@pytest.mark.parametrize(
    "now", ['{"stems":3,"stems":4}', '{"a":{"b":{"c":{"d":{"e":{"f":{"g":{"h":{}}}}}}}}}', '{"a":1e999}']
)
def test_fields_named_twice_or_too_deep_are_no_entry_among_many_as_alone(now: str) -> None:
    good = b'{"id":"x","kind":"correct","now":{"bed":"b4","variety":null}}'
    assert read_all_fit([good, good]) == [read_fit(good)] * 2
    bad = f'{{"id":"x","kind":"correct","now":{now}}}'.encode()
    for read in (lambda: read_fit(bad), lambda: read_all_fit([good, bad])):
        with pytest.raises(ValueError):
            read()
