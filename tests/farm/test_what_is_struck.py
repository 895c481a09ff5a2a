"""What is struck is gone and what is corrected reads so, whatever the dates and the order of arrival, in every view.

Three machines with clocks apart write, write late, strike, strike strikes, correct, merge, close and reopen their
books; the cached fold is kept, thrown away, or put back as it was some time ago. The farm is compared with a reading
of its own: by definition, from all the entries, with nothing cached.
"""

from __future__ import annotations

import math
import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test

from core import folded
from core.at_odds import APART, GONE
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.cache import read_cache
from core.farm import Farm
from core.fold import apply, describes
from core.problems import Problem, raised
from core.session import Session, Written
from tests.cases import some_of
from tests.farms import frozen, stock_of, write

MORNING = datetime(2026, 6, 23, 6, tzinfo=UTC)
NAMES = ("shed", "net", "barn")
HOURS_AHEAD = {"shed": 0, "net": -50, "barn": 31}
"""How far each machine's clock is from the sun: the netbook's is two days behind, the barn's is ahead."""
MACHINES = st.sampled_from(NAMES)
FAR = date(2200, 1, 1)
PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"""Without making a failing case smaller, which takes minutes where every step writes to a disk."""


# the plain reading: by definition, nothing cached


def is_struck(entry_id: str, strikes: Sequence[Entry]) -> bool:
    """An entry is struck when a strike that is not itself struck names it."""
    return any(s.fields["entry"] == entry_id and not is_struck(s.id, strikes) for s in strikes)


def as_it_counts(entry: Entry, entries: Sequence[Entry]) -> Entry:
    """The entry by the corrections that are not struck, one after the other."""
    strikes = [e for e in entries if e.kind == "strike"]
    flat = entry.as_dict()
    for c in sorted((e for e in entries if e.kind == "correct"), key=lambda e: (e.at, e.id)):
        of = c.fields
        if of["entry"] == entry.id and of["of"] == entry.kind and not is_struck(c.id, strikes):
            flat |= of["now"]
    return Entry.from_dict({name: value for name, value in flat.items() if value is not None})


MADE_CODE = {"cut": "lot", "sown": "tray", "planted": "planting", "made": "piece"}


def plain_farm(entries: Sequence[Entry], day: date = FAR) -> Farm:
    """All that counts and happened by that day, or says how the farm is, in its order; codes of what is struck, and of
    what was made on later days, stay given."""
    strikes = [e for e in entries if e.kind == "strike"]
    told = [as_it_counts(e, entries) for e in entries if e.kind not in ("strike", "correct")]
    farm = Farm()
    for entry in sorted(told, key=lambda e: (e.on, e.at, e.id)):
        if entry.on > day.isoformat() and not describes(entry.kind):
            continue
        if not is_struck(entry.id, strikes):
            apply(farm, entry)
            farm.last_on = max(farm.last_on, entry.on)
    for entry in told:
        code = entry.fields.get(MADE_CODE.get(entry.kind, ""))
        if code is not None:
            number = int(code[1:].rstrip("abcdefghijklmnopqrstuvwxyz"))
            farm.codes[code[0]] = max(number, farm.codes.get(code[0], 0))
    return farm


def all_but_the_count(farm: Farm) -> tuple[str, str]:
    """And but what is only told beside it: which of two corrections counts (tests/mending/test_at_odds.py)."""
    told = [matter for matter in farm.matters if matter.key[0] not in (APART, GONE)]
    return frozen(replace(farm, count=0, matters=told))


def stems_by_the_list(entries: Sequence[Entry], struck: set[str]) -> dict[str, int]:
    """What is left under every lot's code, by the list of entries as it is shown."""
    left: dict[str, int] = {}
    cut_as: dict[str, str] = {}
    for e in sorted((as_it_counts(e, entries) for e in entries), key=lambda e: e.key):
        if e.id in struck or e.kind not in ("cut", "sold", "lost"):
            continue
        if e.kind == "cut":
            code = e.fields["lot"]
            while code in cut_as:
                code += "'"  # given twice
            cut_as[code], left[e.id] = e.id, e.fields["stems"]
        elif (of := e.fields.get("ref") or cut_as.get(e.fields["lot"])) in left:
            left[of] -= e.fields["stems" if e.kind == "sold" else "count"]
    found: dict[str, int] = {}
    for code, made_by in cut_as.items():
        if left[made_by]:
            found[code] = left[made_by]
    return found


def agrees(session: Session) -> None:
    """The list of entries and the stock tell of the same stems."""
    shown = session.entries()
    struck = session.look_back.marks(shown).struck
    assert {row.lot: row.stems for row in stock_of(session)} == stems_by_the_list(shown, struck)
    in_order = sorted((as_it_counts(e, shown) for e in shown), key=lambda e: e.key)
    counting = [e.id for e in in_order if e.kind not in ("strike", "correct") and e.id not in struck]
    recent = [e.id for e in session.recent(5)]
    assert recent == [] or recent == counting[: -len(recent) - 1 : -1]


# the fault as it was seen


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    session = Session.create(tmp_path / "farm", by="ml", on=date(2026, 4, 1))
    write(session, "farm zone UTC", "bed b4 50ft", "plant larkspur b4 25ft")
    session.close()
    return session.folder


def _on(folder: Path, day: date) -> Session:
    return Session.open(folder, by="ml", on=day)


@pytest.mark.parametrize(("before", "more"), [(0, 0), (0, 12), (12, 0), (12, 12)])
def test_a_strike_dated_before_what_it_strikes_strikes_it(
    folder: Path, before: int, more: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A netbook with its clock behind strikes a cut of a later day; however much was written since."""
    monkeypatch.setattr(folded, "TAIL_MOST", 6)
    monkeypatch.setattr(folded, "TAIL_KEPT", 2)
    monkeypatch.setattr(folded, "KEEP_EVERY", 1)
    late, early = date(2026, 6, 23), date(2026, 5, 10)
    with_clock = _on(folder, late)
    for f in range(before):
        write(with_clock, f"low {40 + f} on 2026-06-01")
    with_clock.close()
    cut = write(with_clock, "30 larkspur b4 fresh")
    for f in range(more):
        write(with_clock, f"low {40 + f}")
    with_clock.close()
    behind = _on(folder, early)
    assert isinstance(behind.strike(cut.entries[0].id), Written)
    behind.close()
    for day in (late, early):
        session = _on(folder, day)
        assert stock_of(session) == []
        assert cut.entries[0].id in session.look_back.marks(session.entries()).struck or day == early
        assert not any(e.kind == "cut" for e in session.recent())
    refused = _on(folder, late).write(f"sold 5 {cut.lot}")
    assert isinstance(refused, Problem)
    shutil.rmtree(folder / "fold")
    assert stock_of(_on(folder, late)) == []


def test_read_as_of_a_past_day_what_was_struck_later_was_never_there(folder: Path) -> None:
    day = date(2026, 6, 23)
    cut = write(_on(folder, day), "30 larkspur b4 fresh")
    later = _on(folder, day + timedelta(days=20))
    struck = later.strike(cut.entries[0].id)
    assert isinstance(struck, Written)
    assert stock_of(_on(folder, day)) == []
    restored = later.strike(struck.entries[0].id)
    assert isinstance(restored, Written)
    assert [row.stems for row in stock_of(_on(folder, day))] == [30]


def test_a_strike_that_came_before_what_it_strikes_waits_for_it(folder: Path, tmp_path: Path) -> None:
    """Two machines' logs need not be carried over in the order they were written."""
    shutil.copytree(folder, tmp_path / "net")
    day = date(2026, 6, 23)
    net = Session(Book.open(tmp_path / "net", device="net"), by="jt", on=day)
    cut = write(net, "30 larkspur b4 fresh")
    barn_book = Book.open(folder, device="barn")
    barn_book.append([Draft("strike", "2026-05-01", {"entry": cut.entries[0].id})], by="ml")
    here = _on(folder, day)
    write(here, "low 49")
    here.close()
    here = _on(folder, day)
    here.merge(tmp_path / "net")
    assert stock_of(here) == []
    agrees(here)


# the points of the past


def test_points_of_the_past_lie_closer_the_newer_they_are_and_nothing_is_lost_between_them(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folded, "TAIL_MOST", 8)
    monkeypatch.setattr(folded, "TAIL_KEPT", 4)
    monkeypatch.setattr(folded, "KEEP_EVERY", 1)
    day = date(2026, 6, 23)
    for n in range(40):
        session = _on(folder, day)
        for stems in (20 + n, 21 + n):
            cut = write(session, f"{stems} larkspur b4 fresh")
            write(session, f"sold {stems} {cut.lot}")
        session.close()
        again = _on(folder, day)
        assert all_but_the_count(again.farm) == all_but_the_count(plain_farm(again.entries()))
    kept = read_cache(folder)
    assert kept is not None
    places = [point.place for point in kept.points]
    count = len(again.entries())
    assert 4 <= len(places) <= 2 * math.log2(count), "few"
    for before, after in pairwise([0, *places]):
        assert after - before <= max(2 * folded.TAIL_MOST, count - before), "what is struck lies near one"


def test_what_was_finished_lately_is_at_hand_at_the_next_start_as_at_this_one(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was cut and sold this morning is looked for by the cut list, which reads nothing long put away."""
    monkeypatch.setattr(folded, "KEEP_EVERY", 1)
    day = date(2026, 6, 23)
    session = _on(folder, day)
    cut = write(session, "30 larkspur b4 fresh")
    write(session, f"sold 30 {cut.lot}")
    session.close()
    again = _on(folder, day)
    assert cut.lot in again.farm.lots.at_hand()
    (folder / "fold" / "farm.json").unlink()
    assert [*again.farm.lots.at_hand()] == [*_on(folder, day).farm.lots.at_hand()]


# the promise as a whole


class ThreeMachines(RuleBasedStateMachine):
    """Whatever three machines do, each book's farm is the plain reading of its entries."""

    def __init__(self) -> None:
        super().__init__()
        self.place = Path(tempfile.mkdtemp())
        self.settings = patch.multiple(folded, TAIL_MOST=9, TAIL_KEPT=4, KEEP_EVERY=1, STEP=24)
        self.settings.start()
        self.hours = 0.0
        self.doors: dict[str, Session] = {}
        self.touched: set[str] = set()
        self.old_folds: dict[str, list[Path]] = {name: [] for name in NAMES}

    def teardown(self) -> None:
        self.settings.stop()
        shutil.rmtree(self.place)

    def now(self, name: str) -> datetime:
        """What the machine's clock says."""
        return MORNING + timedelta(hours=self.hours + HOURS_AHEAD[name])

    def book(self, name: str) -> Book:
        return Book.open(self.place / name, device=name, clock=lambda: int(self.now(name).timestamp() * 1000))

    def day(self, name: str) -> date:
        return self.now(name).date()

    def session(self, name: str) -> Session:
        """The book as that machine has it open; its day moves on with its clock."""
        self.touched.add(name)
        if name in self.doors and self.doors[name].on != self.day(name):
            self.doors.pop(name).close()
        if name not in self.doors:
            self.doors[name] = Session(self.book(name), by=name[:2], on=self.day(name))
        self.doors[name].refresh()
        return self.doors[name]

    @initialize()
    def begin(self) -> None:
        clock = int((MORNING - timedelta(days=14)).timestamp() * 1000)
        book = Book.create(self.place / "shed", device="shed", clock=lambda: clock)
        first = Session(book, by="sh", on=date(2026, 6, 9))
        write(first, "farm zone UTC", "bed b4 50ft", "bed b5 50ft")
        write(first, "plant larkspur b4 25ft on 2026-04-01", "plant zinnia b5 25ft on 2026-04-01")
        for day in range(20):
            on = date(2026, 5, 20) + timedelta(days=day)
            write(first, f"{30 + day} larkspur b4 fresh on {on}")
            if day % 2:
                write(first, f"sold {30 + day} L{day + 1:03d} on {on}")
        first.close()
        for name in NAMES[1:]:
            shutil.copytree(self.place / "shed", self.place / name)

    @rule(name=MACHINES, backs=st.lists(st.sampled_from([0, 0, 0, 1, 4, 30]), min_size=1, max_size=5))
    def cut(self, name: str, backs: list[int]) -> None:
        """A morning's cuts, some of them written late."""
        for back in backs:
            day = (self.day(name) - timedelta(days=back)).isoformat()
            crop = ("larkspur b4", "zinnia b5")[back % 3 % 2]
            self.session(name).write(f"{20 + back} {crop} fresh on {day}")

    @rule(name=MACHINES, which=st.integers(0, 20), stems=st.integers(1, 20), back=st.sampled_from([0, 0, 2]))
    def sell_or_lose(self, name: str, which: int, stems: int, back: int) -> None:
        session = self.session(name)
        lots = [lot.code for lot in session.farm.lots.live()]
        if lots:
            verb = ("sold {} {}", "lost {} broken {}")[which % 2]
            day = (self.day(name) - timedelta(days=back)).isoformat()
            session.write(verb.format(stems, lots[which % len(lots)]) + f" on {day}")

    @rule(name=MACHINES, which=st.integers(0, 20))
    def sell_all(self, name: str, which: int) -> None:
        """What is finished leaves the live part of the cached fold."""
        session = self.session(name)
        rows = stock_of(session)
        if rows:
            session.write(f"sold {rows[which % len(rows)].stems} {rows[which % len(rows)].lot}")

    @rule(name=MACHINES, feet=st.integers(30, 60))
    def measure_a_bed(self, name: str, feet: int) -> None:
        self.session(name).write(f"bed b4 {feet}ft")

    @rule(name=MACHINES, which=st.integers(0, 40))
    def strike(self, name: str, which: int) -> None:
        """An entry of late, a strike among them; refused where something rests on it."""
        session = self.session(name)
        entries = self.book(name).entries()[5:]
        if entries:
            session.strike(entries[-1 - which % len(entries)].id)

    @rule(name=MACHINES, which=st.integers(0, 40), back=st.sampled_from([0, 3, 60]))
    def strike_elsewhere(self, name: str, which: int, back: int) -> None:
        """Another program run writes a strike that nobody checks, dated as it pleases."""
        book = self.book(name)
        entries = book.entries()[5:]
        if entries:
            named = entries[-1 - which % len(entries)].id
            day = self.day(name) - timedelta(days=back)
            book.append([Draft("strike", day.isoformat(), {"entry": named})], by="zz")
        self.touched.add(name)

    @rule(name=MACHINES, which=st.integers(0, 20), stems=st.integers(1, 60), back=st.integers(0, 4))
    def correct(self, name: str, which: int, stems: int, back: int) -> None:
        """As she does it, by a lot's code; refused where something would no longer fit."""
        session = self.session(name)
        lots = [lot.code for lot in session.farm.lots.live()]
        if lots:
            day = self.day(name) - timedelta(days=back)
            what = (str(stems), f"on {day}", f"{stems} on {day}", "dry")[which % 4]
            before = session.farm.matters
            written = session.write(f"{lots[which % len(lots)]} was {what}")
            assert isinstance(written, Problem) or not raised(before, session.farm.matters)

    @rule(name=MACHINES, which=st.integers(0, 40), stems=st.integers(0, 60), back=st.sampled_from([0, 2, 40]))
    def correct_elsewhere(self, name: str, which: int, stems: int, back: int) -> None:
        """Another program run corrects what it likes, unchecked: a number, a day, a use, the person."""
        book = self.book(name)
        entries = [e for e in book.entries()[5:] if e.kind not in ("strike", "correct")]
        if entries:
            named = entries[-1 - which % len(entries)]
            day = (self.day(name) - timedelta(days=back)).isoformat()
            number = {"cut": "stems", "sold": "stems", "lost": "count", "bed": "feet"}.get(named.kind)
            some: dict[str, object] = {"by": "jo"} if number is None else {number: stems + 1}
            changes: list[dict[str, object]] = [some, {"on": day}, {"on": day, **some}, {"by": "jo"}]
            fields = {"entry": named.id, "of": named.kind, "now": changes[which % 4]}
            book.append([Draft("correct", self.day(name).isoformat(), fields)], by="zz")
        self.touched.add(name)

    @rule(name=MACHINES, which=st.integers(0, 40))
    def two_hands_at_once(self, name: str, which: int) -> None:
        """While the book is open here, another program run writes; it is looked at, and then written in."""
        session = self.session(name)
        self.strike_elsewhere(name, which, back=0)
        self.book(name).append([Draft("note", self.day(name).isoformat(), {"text": "hot"})], by="zz")
        agrees(session)
        write(session, "note cool in the shed")

    @rule(here=MACHINES, there=MACHINES)
    def merge(self, here: str, there: str) -> None:
        if here != there:
            self.session(here).merge(self.place / there)

    @rule(here=MACHINES, there=MACHINES)
    def carry_a_log_over(self, here: str, there: str) -> None:
        """A file copier brings one log, and not the others."""
        log = self.place / there / "log" / f"{there}.log"
        if here != there and log.exists():
            copied = self.place / here / "log" / log.name
            if not copied.exists() or copied.stat().st_size <= log.stat().st_size:
                shutil.copy(log, copied)
        self.touched.add(here)

    @rule(name=MACHINES, keeps=st.booleans())
    def close(self, name: str, keeps: bool) -> None:
        if keeps:
            self.session(name).close()
        self.doors.pop(name, None)
        self.touched.add(name)

    @rule(name=MACHINES)
    def throw_the_cached_fold_away(self, name: str) -> None:
        shutil.rmtree(self.place / name / "fold", ignore_errors=True)
        self.doors.pop(name, None)
        self.touched.add(name)

    @rule(name=MACHINES)
    def copy_the_cached_fold(self, name: str) -> None:
        if (self.place / name / "fold").exists():
            copy = self.place / f"{name}-fold-{len(self.old_folds[name])}"
            shutil.copytree(self.place / name / "fold", copy)
            self.old_folds[name].append(copy)

    @rule(name=MACHINES, which=st.integers(0, 9), whole=st.booleans())
    def put_an_older_cached_fold_back(self, name: str, which: int, whole: bool) -> None:
        """Of an older state, whole or over the files of a newer one."""
        if old := self.old_folds[name]:
            if whole:
                shutil.rmtree(self.place / name / "fold", ignore_errors=True)
            shutil.copytree(old[which % len(old)], self.place / name / "fold", dirs_exist_ok=True)
            self.doors.pop(name, None)
        self.touched.add(name)

    @rule(hours=st.sampled_from([0.2, 5, 26, 300]))
    def time_goes_by(self, hours: float) -> None:
        self.hours += hours

    @rule(name=MACHINES, back=st.integers(0, 70))
    def read_as_of_a_day(self, name: str, back: int) -> None:
        day = self.day(name) - timedelta(days=back)
        session = Session(self.book(name), by="zz", on=day)
        assert all_but_the_count(session.farm) == all_but_the_count(
            plain_farm(self.book(name).entries(), day)
        )
        agrees(session)

    @invariant()
    def the_farm_is_the_plain_reading_of_its_entries(self) -> None:
        touched, self.touched = self.touched, set()
        for name in touched:
            session = self.session(name)
            entries = self.book(name).entries()
            assert all_but_the_count(session.farm) == all_but_the_count(plain_farm(entries, self.day(name)))
            assert session.farm.count == len(entries)
            agrees(session)
            assert {problem.code for problem in session.check()} <= {"settle"}, "nothing is damaged"


def _run(examples: int, steps: int) -> None:
    run_state_machine_as_test(
        ThreeMachines,
        settings=settings(max_examples=examples, stateful_step_count=steps, deadline=None, phases=PHASES),
    )


@pytest.mark.part
def test_whatever_three_machines_do_the_farm_is_what_its_entries_say() -> None:
    _run(examples=len(some_of(range(12), 0)), steps=25)


@pytest.mark.long
def test_whatever_three_machines_do_for_long_the_farm_is_what_its_entries_say() -> None:
    _run(examples=200, steps=50)
