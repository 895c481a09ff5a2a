"""Hail over many beds is one line: of each planting its share, which goes back as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.problems import Problem
from core.session import Session
from core.stems.losses import AT_THE_CUT
from tests.farms import farm_in, write
from tui.app import ShedApp

FARM = {
    "2026-05-20": (
        "farm zone UTC",
        "last frost 14 may",
        *(f"bed b{n} 50ft" for n in range(1, 7)),
        "plant strawflower b1 25ft 90 plants",
        "plant zinnia b2 25ft 90 plants",
        "plant statice b3 25ft 90 plants",
        "plant cosmos b3 20ft 90 plants",
        "plant scabiosa b5 20ft 90 plants",
    ),
    "2026-07-20": ("50 strawflower b1 dry", "80 zinnia b2 fresh", "30 statice b3 dry"),
    "2026-07-21": ("60 zinnia b2 fresh",),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    return farm_in(tmp_path / "farm", FARM)


def culls(session: Session) -> dict[tuple[str, str], int]:
    """(bed, crop) -> blooms culled for hail, by the entries that count."""
    gone = session.look_back.amended.gone
    found = [e for e in session.entries() if e.kind == "cut" and e.id not in gone]
    return {
        (e.fields["bed"], e.fields["crop"]): e.fields["culls"]
        for e in found
        if e.fields.get("cull_cause") == "hail"
    }


@pytest.mark.parametrize(
    "line",
    [
        "lost 40 % b1-b6 hail",
        "lost 40% blooms b1 to b6 hail",
        "40 % lost b1-b6 hail",
        "lost 40 % of the blooms in b1 b2 b3 b5 hail",
    ],
)
def test_a_share_of_many_beds_is_of_what_each_gave_at_its_last_cut(farm: Session, line: str) -> None:
    assert (
        farm.complete(line).says == "56 blooms lost to hail: b1 strawflower 20, b2 zinnia 24, b3 statice 12"
    )
    written = write(farm, line)
    assert culls(farm) == {("b1", "strawflower"): 20, ("b2", "zinnia"): 24, ("b3", "statice"): 12}
    assert len({entry.fields["lot"] for entry in written.entries}) == 3
    assert any("b3 cosmos and b5 scabiosa" in remark for remark in written.remarks), "not cut: not guessed"


def test_all_blooms_and_half_of_them_are_shares(farm: Session) -> None:
    write(farm, "hail b1-b6 lost all blooms")
    assert culls(farm) == {("b1", "strawflower"): 50, ("b2", "zinnia"): 60, ("b3", "statice"): 30}
    farm.undo(sure=True)
    write(farm, "lost half the blooms b1 b2 hail")
    assert culls(farm) == {("b1", "strawflower"): 25, ("b2", "zinnia"): 30}


def test_undo_takes_back_the_whole_line_and_an_entry_of_it_by_itself(farm: Session) -> None:
    before = farm.farm.count
    written = write(farm, "lost 40 % b1-b6 hail")
    undone = farm.undo(sure=True)
    assert not isinstance(undone, Problem) and len(undone.entries) == len(written.entries) == 3
    assert culls(farm) == {} and farm.farm.count == before + 6
    again = write(farm, "lost 40 % b1-b6 hail")
    farm.strike(again.entries[0].id)
    assert culls(farm) == {("b2", "zinnia"): 24, ("b3", "statice"): 12}


def test_what_was_lost_counts_as_cut_and_lost_so_that_every_stem_is_accounted_for(farm: Session) -> None:
    written = write(farm, "lost 40 % b1-b2 hail")
    for entry in written.entries:
        lot = farm.farm.lots.get(entry.fields["lot"])
        assert lot is not None and lot.cut == entry.fields["culls"]
        assert sum(loss.stems for loss in lot.losses if loss.form == AT_THE_CUT) == lot.cut
        assert not any(held.stems for held in lot.holdings.values())


def test_so_many_of_one_bed_is_a_count(farm: Session) -> None:
    write(farm, "lost 12 blooms b1 hail")
    assert culls(farm) == {("b1", "strawflower"): 12}
    write(farm, "lost 7 stems b3 statice hail")
    assert culls(farm)["b3", "statice"] == 7


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("lost 40 % b1-b6 frost", "Blooms or plants?"),
        ("lost 40 blooms b1-b3 hail", "So many of which bed?"),
        ("lost 130 % b1-b3 hail", "above 0, and 100 at most"),
        ("lost 40 blooms b3 hail", "Bed b3 has statice and cosmos: name the crop."),
        ("lost 40 % b5 hail", "Nothing was cut lately of bed b5"),
        ("lost 40 % b6 hail", "Nothing was cut lately of bed b6"),
        ("lost 40 % b1-b2", "What was the cause?"),
        ("lost 40 % b1-b9 hail", "There is no bed b9"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence_that_says_what_to_do(
    farm: Session, line: str, says: str
) -> None:
    refused = farm.write(line)
    assert isinstance(refused, Problem) and says in refused.sentence, refused
    if "write how many" in refused.sentence or "Blooms or plants?" in refused.sentence:
        assert ": lost" in refused.sentence


def test_plants_lost_in_a_bed_are_told_as_before(farm: Session) -> None:
    written = write(farm, "lost 5 slugs b1 strawflower")
    assert written.entries[0].kind == "lost" and written.entries[0].fields["planting"] == "P01"


def test_a_cut_of_months_ago_says_nothing_of_the_blooms_that_stand_there_now(tmp_path: Path) -> None:
    fall = farm_in(tmp_path / "farm", {**FARM, "2026-09-20": ("70 zinnia b2 fresh",), "2026-10-02": ()})
    written = write(fall, "lost all blooms b1-b6 frost")
    assert [(e.fields["bed"], e.fields["culls"]) for e in written.entries] == [("b2", 70)]
    assert any("nothing was cut lately of b1 strawflower" in remark for remark in written.remarks)


async def test_the_screen_tells_what_a_line_of_many_beds_comes_to_and_how_it_is_taken_back(
    farm: Session,
) -> None:
    app = ShedApp(farm, None, farm.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w")
        app.entry.fill("lost 40 % b1-b6 hail")
        await pilot.press("enter")
        told = " ".join(app.status.text.split())
        assert "56 blooms lost to hail: b1 strawflower 20, b2 zinnia 24, b3 statice 12" in told
        assert "ctrl+z undoes" in told
        await pilot.press("ctrl+z")
        assert culls(farm) == {}
