"""A correction after which more is lost than there was, or more is up than was sown, is refused; two machines that make
it so together raise a matter."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.book.book import Book
from core.problems import Problem
from core.session import Session
from tests.farms import farm_in, write

DAY = date(2026, 6, 23)
LINES = {
    "2026-04-01": ("farm zone UTC", "bed b1 50ft", "bed b2 50ft", "sow 100 strawflower", "sow 72 zinnia"),
    "2026-04-20": ("up 80 S01", "up 62 S02"),
    "2026-05-01": ("pricked out 76 S01", "lost 4 S02 damping off"),
    "2026-05-20": ("set out S01 b1 20ft 60 plants", "set out S02 b2 20ft 40 plants"),
    "2026-06-01": ("lost 50 strawflower b1 hail",),
}


@pytest.fixture
def farm(tmp_path: Path) -> Session:
    session = farm_in(tmp_path / "farm", LINES)
    return Session.open(session.folder, by="ml", on=DAY)


@pytest.mark.parametrize(
    ("line", "rests"),
    [
        ("P01 was 30", "lost 50"),
        ("S01 was 20 seeds", "80 up"),
        ("S02 was 5 seeds", "62 up"),
        ("S02 was 61 seeds", "62 up"),
    ],
)
def test_what_can_no_longer_be_is_refused_by_the_name_of_what_rests_on_it(
    farm: Session, line: str, rests: str
) -> None:
    found = farm.write(line)
    assert isinstance(found, Problem), found
    assert found.sentence.startswith("Not corrected") and rests in found.sentence, found.sentence
    assert farm.check() == []


def test_what_still_fits_is_corrected(farm: Session) -> None:
    write(farm, "P01 was 50", "S02 was 62 seeds")
    (lost,) = (p for p in farm.farm.plantings.all() if p.code == "P01")
    assert (lost.plants, sum(lost.lost.values())) == (50, 50)


@pytest.mark.parametrize(
    ("here", "there", "says"),
    [
        ("lost 10 strawflower b1 deer", "P01 was 52", "P01"),
        ("up 20 S02", "S02 was 63 seeds", ""),
        ("lost 10 strawflower b1 deer", "lost 8 strawflower b1 deer", "P01"),
    ],
)
def test_what_two_machines_make_so_together_is_a_matter(
    farm: Session, tmp_path: Path, here: str, there: str, says: str
) -> None:
    away = Path(shutil.copytree(farm.folder, tmp_path / "netbook"))
    netbook = Session(Book.open(away, device="netbook"), by="jo", on=DAY)
    write(farm, here)
    write(netbook, there)
    farm.merge(netbook.folder)
    found = [matter.sentence for matter in farm.farm.matters]
    assert any(says in sentence for sentence in found) if says else not found, found


CORRECTIONS = st.tuples(
    st.sampled_from(
        ("P01 was {} plants", "P02 was {} plants", "S01 was {} seeds", "S02 was {} seeds", "{id} was {}")
    ),
    st.integers(0, 130),
    st.integers(0, 6),
)


@given(st.lists(CORRECTIONS, min_size=1, max_size=4))
def test_after_any_correction_no_count_is_below_nothing(said: list[tuple[str, int, int]]) -> None:
    with TemporaryDirectory() as folder:
        farm_in(Path(folder) / "farm", LINES)
        session = Session.open(Path(folder) / "farm", by="ml", on=DAY)
        counted = [entry for entry in session.entries() if "count" in entry.fields]
        for line, number, which in said:
            session.write(line.format(number, id=counted[which % len(counted)].id))
            farm = session.farm
            for tray in farm.trays.all():
                assert min(tray.alive, tray.set_out, *tray.lost.values(), 0) >= 0, (said, tray)
                assert max(tray.up or 0, tray.most_up) <= tray.seeds, (said, tray)
            for planting in farm.plantings.all():
                assert (planting.plants or 0) >= sum(planting.lost.values()), (said, planting)
            assert not farm.matters, said
