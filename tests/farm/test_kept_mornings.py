"""What a morning asked is kept, and told again only while nothing has changed on which it hangs.

The other hand is the morning reckoned whole, as JSON has it: it keeps nothing.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from core import results, watched
from core.asks import Sight
from core.farm import Farm
from core.fold import as_of, fold
from core.page import ALL, page
from core.session import Session, Written
from core.today import morning, row_of
from demo_farm.open import DEMO_DAY, copy_to
from tests.cases import cases, some_of
from tests.farm.every_kind import season
from tests.farm.test_every_kind_always import CLOCKS, seasons
from tests.farms import Pencil, write

Pages = list[list[str]]


def _pages(sight: Sight, *, as_told: bool) -> Pages:
    """The page in short and in full."""
    found = morning(sight, as_told=as_told)
    return [[line.whole for line in page(found, opened=opened)] for opened in ((), ALL)]


def _told(folder: Path, sight: Sight) -> Pages:
    """The page as the next start tells it, from what the starts before have kept in the folder."""
    results.keep_in(folder)
    told = _pages(sight, as_told=True)
    results.save()
    return told


def _differs(folder: Path, farm: Farm, day: date, clock: str | None, times: int = 1) -> bool:
    """Whether what is told, each time, is another page than the one that is reckoned whole."""
    whole = _pages(Sight(farm, day, clock=clock), as_told=False)
    return any(_told(folder, Sight(farm, day, clock=clock)) != whole for _ in range(times))


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One folder for all farms: what is kept of one farm must be told of no other either."""
    return tmp_path_factory.mktemp("kept")


@pytest.fixture(scope="module")
def started(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo farm as a start leaves it, which has told its page."""
    folder = tmp_path_factory.mktemp("started") / "farm"
    copy_to(folder)
    session = Session.open(folder, by="ml", on=DEMO_DAY)
    assert not _differs(folder, session.farm, DEMO_DAY, None)
    session.close()
    return folder


@pytest.fixture
def demo(started: Path, tmp_path: Path) -> Session:
    """A copy of it for one test."""
    return Session.open(shutil.copytree(started, tmp_path / "farm"), by="ml", on=DEMO_DAY)


@cases(60, least=6, suppress_health_check=[HealthCheck.too_slow])
@given(pencil=seasons(most=20), data=st.data())
def test_whatever_is_written_and_taken_back_the_page_is_as_if_nothing_were_kept(
    kept: Path, pencil: Pencil, data: st.DataObject
) -> None:
    entries = list(pencil.entries)
    clock, day = data.draw(st.none() | CLOCKS), pencil.today
    for _ in range(4):
        assert not _differs(kept, fold(entries), day, clock, times=2)
        entries.pop(data.draw(st.integers(0, len(entries) - 1)))  # as a strike leaves it
        clock = data.draw(st.sampled_from((clock, clock, "18:00")))
        day += timedelta(days=data.draw(st.sampled_from((0, 0, 0, 1))))


def test_every_kind_of_entry_as_it_comes_in(kept: Path) -> None:
    pencil = season()
    entries = pencil.entries
    for count in range(len(entries) // 3, len(entries), 7):
        farm = fold(entries[:count])
        assert not _differs(kept, farm, date.fromisoformat(entries[count].on), "09:30")
        assert not _differs(kept, fold(as_of(entries, entries[count].on)), pencil.today, None)


def test_some_weeks_of_the_demo_farm(tmp_path: Path) -> None:
    copy_to(tmp_path / "farm")
    for days in range(21, -1, -7):
        session = Session.open(tmp_path / "farm", by="ml", on=DEMO_DAY - timedelta(days=days))
        assert not _differs(session.folder, session.farm, session.today, None)
        session.close()


def _a_morning_of_work(session: Session) -> Iterator[object]:
    """After each step the page may be another one."""
    yield write(session, "low 38 tonight 33")
    yield write(session, "30 snapdragon b11 fresh")
    yield write(session, "hang")
    yield write(session, "order Lane 20 bu statice dry by 10-15 at 9")
    yield write(session, "step S71")
    yield session.undo(sure=True)
    yield write(session, "spray b11 'Quencher' 12 oz reg 9999-1 reentry 12h harvest 1 day 06:00 to 06:30")
    cut = next(entry for entry in session.recent(40) if entry.kind == "cut")
    yield session.write(f"{cut.id[-8:]} was 28")
    yield session.strike(cut.id)
    yield write(session, "sheet snapdragon vase days 9")
    yield write(session, "farm zone Europe/Dublin")


@pytest.mark.part
def test_a_morning_of_work_on_the_demo_farm_line_by_line_and_what_another_machine_brings(
    tmp_path: Path,
) -> None:
    folder, other = tmp_path / "farm", tmp_path / "netbook"
    copy_to(folder)
    copy_to(other)
    session = Session.open(folder, by="ml", on=DEMO_DAY)
    for number, done in enumerate(_a_morning_of_work(session)):
        assert isinstance(done, Written), done
        if number in some_of(range(20), 0, 2):
            assert not _differs(folder, session.farm, DEMO_DAY, "07:10")
    assert not _differs(folder, session.farm, DEMO_DAY, "18:00")
    apart = Session.open(other, by="jo", on=DEMO_DAY)
    for _ in _a_morning_of_work(apart):
        pass
    apart.close()
    session.merge(other)
    assert not _differs(folder, session.farm, DEMO_DAY, "07:10")
    session.close()


@pytest.mark.parametrize(
    ("unnoticed", "line"), [("plantings", "30 snapdragon b11 fresh"), ("weather", "low 38 tonight 30")]
)
def test_a_farm_of_which_something_was_read_unnoticed_would_be_found_out(
    demo: Session, monkeypatch: pytest.MonkeyPatch, unnoticed: str, line: str
) -> None:
    """The test of the test: with one thing left out of what a page hangs on, it is told of another farm."""
    digest = watched.Watch._digest
    monkeypatch.setattr(
        watched.Watch,
        "_digest",
        lambda watch, name: "same" if name.startswith(unnoticed) else digest(watch, name),
    )
    assert not _differs(demo.folder, demo.farm, DEMO_DAY, None)
    write(demo, line)
    assert _differs(demo.folder, demo.farm, DEMO_DAY, None)


@pytest.mark.parametrize(
    "harm", [b"", b"[1,2", b'00000000 00000000\n{"a":3}'], ids=["empty", "cut off", "of other code"]
)
def test_a_damaged_file_or_one_of_other_code_is_reckoned_anew(demo: Session, harm: bytes) -> None:
    kept = demo.folder / "fold" / "morning.kept"
    assert kept.is_file()
    kept.write_bytes(harm)
    assert not _differs(demo.folder, demo.farm, DEMO_DAY, None)


def test_rows_that_no_shedbook_wrote_are_reckoned_anew(demo: Session) -> None:
    """Its checksum right and its rows not: as a later shedbook with the same stamp might leave it."""
    results.keep_in(demo.folder)
    file = results.KeptFile("morning", Path(watched.__file__).parent)
    assert file.read()
    for harm in (3, ["", {}], ["", [], {}]):
        file.write(dict.fromkeys(file.read(), harm))
        assert not _differs(demo.folder, demo.farm, DEMO_DAY, None)


def test_what_is_told_again_is_not_reckoned_and_its_subjects_are_not_asked(
    demo: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    _told(demo.folder, demo.sight())
    write(demo, "low 44 tonight 49")  # a mild night asks for nothing, and changes no bed
    asked: list[str] = []
    once = watched.Watch.once

    def count(watch: watched.Watch, reckon: object) -> object:
        asked.append(getattr(reckon, "__module__", ""))
        return once(watch, reckon)  # type: ignore[arg-type]

    monkeypatch.setattr(watched.Watch, "once", count)
    _told(demo.folder, demo.sight())
    assert asked
    assert not any(name.startswith("core.promising") for name in asked)


@pytest.mark.parametrize("days", [-52, 0, 89])
def test_of_each_line_that_is_told_its_row_is_found_again_when_a_key_asks_for_it(
    demo: Session, days: int
) -> None:
    farm, day = demo.farm, DEMO_DAY + timedelta(days=days)
    results.keep_in(demo.folder)
    told = morning(Sight(farm, day), as_told=True).asked
    whole = morning(Sight(farm, day)).asked
    assert len(told) > 5 and {one.row for one in told} == {None}
    sight = Sight(farm, day)
    assert [row_of(one, sight) for one in told if one.about] == [one.row for one in whole if one.about]


class _Lazy:
    """What two parts of a morning share, and of which more is reckoned when more is asked."""

    made = 0

    def __init__(self, farm: Farm, crop: str) -> None:
        _Lazy.made += 1
        self.farm, self.beds = farm, len(farm.beds)

    def lots(self) -> int:
        return len(list(self.farm.lots.live()))


def _first(sight: Sight) -> int:
    return sight.farm.kept(_Lazy, "zinnia").beds


def _second(sight: Sight) -> int:
    return sight.farm.kept(_Lazy, "zinnia").lots()


def test_what_two_parts_share_is_reckoned_once_and_each_hangs_on_all_that_was_read_for_it(
    demo: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(_Lazy, "made", 0)
    watch = watched.Watch(demo.sight(), {})
    watch.once(_first)
    watch.once(_second)
    read = {name.rpartition(":")[2]: {*row[1]} for name, row in watch.before.items()}
    assert read == {"_first": {"beds"}, "_second": {"beds", "lots live"}}
    assert _Lazy.made == 1
