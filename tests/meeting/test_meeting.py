"""Two books in one process, and the line between them: what comes, what goes, and what goes wrong on the way."""

from __future__ import annotations

import errno
import os
import random
import shutil
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.book import ids as ids_module
from core.book import journal, reader
from core.book.audit import audit
from core.book.book import Book
from core.book.copied import Part
from core.book.entry import Draft
from core.book.lines import body_of, line_of
from core.book.lock import Lock
from core.meeting import holdings
from core.meeting.exchange import Outcome, begin
from core.meeting.line import Channel
from core.problems import ShedbookError
from core.session import Session
from tests.cases import cases, some_of
from tests.farms import FIRST_MS, ids_of

from .lines import NEVER, Cable, meet

ON = date(2026, 6, 23)


def farm(folder: Path, device: str, notes: int = 0, *, name: str = "") -> Session:
    """A new book of one machine with so many entries in it, a bed among them."""
    book = Book.create(folder / device, device=device)
    if name:
        book.append([Draft("farm", "2026-06-01", {"name": name})], by="ml")
    if notes:
        book.append([Draft("bed", "2026-06-01", {"bed": "b1", "feet": 50, "width_in": 36})], by="ml")
        noted(book, notes - 1)
    return Session(book, by="ml", on=ON)


def noted(book: Book, count: int, together: int = 50) -> None:
    """So many notes, written `together`."""
    for first in range(0, count, together):
        drafts = [
            Draft("note", "2026-06-23", {"text": f"seen {n}"}) for n in range(min(together, count - first))
        ]
        book.append(drafts, by="ml")


def copied(session: Session, device: str) -> Session:
    """The same farm on another machine."""
    folder = session.folder.with_name(device)
    shutil.copytree(session.folder, folder)
    return Session(Book.open(folder, device=device), by="jo", on=ON)


def ids(session: Session) -> set[str]:
    return ids_of(Book.open(session.folder, device="who").entries())


@pytest.fixture
def two(tmp_path: Path) -> tuple[Session, Session]:
    """The shed and the netbook, each with something that the other lacks."""
    shed = farm(tmp_path, "shed", 30)
    net = copied(shed, "net")
    noted(shed._book, 8)
    noted(net._book, 5)
    return shed, net


Two = tuple[Session, Session]


def test_each_gets_what_it_lacks_and_the_logs_are_the_same_byte_for_byte(two: Two) -> None:
    shed, net = two
    outcome = meet(net, shed)
    assert (outcome.came, outcome.went, outcome.is_whole) == (8, 5, True)
    assert ids(shed) == ids(net) and len(ids(net)) == 43
    for log in ("shed.log", "net.log"):
        assert (shed.folder / "log" / log).read_bytes() == (net.folder / "log" / log).read_bytes()
    assert not [*shed.folder.glob("log/*merged*")]
    again = meet(shed, net)
    assert (again.lacked_here, again.lacked_there, again.is_whole) == (0, 0, True)


def test_a_meeting_with_little_new_says_little(tmp_path: Path) -> None:
    """Of two seasons, fifteen lines a day."""
    days = iter(range(1_000_000))
    book = Book.create(tmp_path / "shed", device="shed", clock=lambda: FIRST_MS + next(days) * 86_400_000)
    noted(book, 6000, 15)
    shed = Session(Book.open(book.folder, device="shed"), by="ml")
    net = copied(shed, "net")
    noted(net._book, 3)
    cable = Cable(shed)
    assert net.upkeep.meet(cable).went == 3  # type: ignore[arg-type]
    assert cable.went[0] + cable.came[0] < 5_000


def test_a_book_in_which_nothing_is_written_yet_becomes_a_copy_with_codes_of_its_own(tmp_path: Path) -> None:
    shed, new = farm(tmp_path, "shed", 10), farm(tmp_path, "net")
    meet(new, shed)
    assert Session(Book.open(new.folder, device="net"), by="jo").mark
    assert not Session(Book.open(shed.folder, device="shed"), by="jo").mark
    barn = farm(tmp_path, "barn")
    meet(shed, barn)
    assert Session(Book.open(barn.folder, device="barn"), by="jo").mark


def test_what_one_log_has_lost_comes_back_from_the_other_machine(two: Two) -> None:
    shed, net = two
    meet(net, shed)
    every = ids(net)
    log = net.folder / "log" / "shed.log"
    data = bytearray(log.read_bytes())
    data[data.index(b"seen 3")] ^= 1
    log.write_bytes(data)
    (net.folder / "book.json").unlink(missing_ok=True)
    damaged = Session(Book.open(net.folder, device="net"), by="jo", on=ON)
    assert len(ids(damaged)) < len(every)
    meet(damaged, shed)
    assert ids(damaged) == every


def test_what_came_by_a_carried_file_before_is_not_brought_again(two: Two, tmp_path: Path) -> None:
    shed, net = two
    with (tmp_path / "carried").open("wb") as file:
        net.upkeep.since("2026-06-01", file)
    assert shed.merge(tmp_path / "carried").added == 5
    outcome = meet(net, shed)
    assert (outcome.came, outcome.went) == (8, 0)
    noted(net._book, 2)
    assert meet(shed, net).came == 2
    assert ids(shed) == ids(net)


def test_an_entry_that_another_program_wrote_with_white_space_comes_over_as_it_is(two: Two) -> None:
    shed, net = two
    spaced = body_of(flat_note()).replace(b'","on":', b'",\r"on":\r')
    with (shed.folder / "log" / "odd.log").open("wb") as log:
        log.write(line_of(spaced))
    assert meet(net, shed).is_whole
    assert ids(net) == ids(shed) and flat_note()["id"] in ids(net)
    assert (net.folder / "log" / "odd.log").read_bytes() == line_of(spaced)


# the line is cut

LAST_WORDS = 150
"""Bytes at the end of a meeting without which it is whole for the one that said them, or nearly the same number."""


@pytest.fixture
def in_small_lots(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that even a small meeting is one of many lots."""
    monkeypatch.setattr(reader, "BLOCK", 700)
    monkeypatch.setattr(holdings, "FIRST_ROOM", 1)
    monkeypatch.setattr(holdings, "MOST_ROOM", 4000)


@pytest.mark.part
@pytest.mark.usefixtures("in_small_lots")
@pytest.mark.parametrize("way", [0, 1], ids=["there", "back"])
def test_cut_at_any_byte_nothing_is_lost_or_doubled_and_what_is_told_is_so(tmp_path: Path, way: int) -> None:
    shed = farm(tmp_path, "shed", 20)
    net = copied(shed, "net")
    noted(shed._book, 25, 3)
    noted(net._book, 25, 3)
    every = ids(shed) | ids(net)
    cable = Cable(copied(shed, "s0"))
    assert copied(net, "n0").upkeep.meet(cable).is_whole  # type: ignore[arg-type]
    whole = (cable.went, cable.came)[way][0] - LAST_WORDS
    partly = 0
    for most in some_of(range(0, whole, 97), 1, 8):
        here, there = copied(net, f"net-{most}"), copied(shed, f"shed-{most}")
        before, before_there = ids(here), ids(there)
        outcome = meet(here, there, (most, NEVER) if way == 0 else (NEVER, most))
        assert not outcome.is_whole and len(outcome.stopped) == 1, most
        assert len(ids(here)) == len(before) + outcome.came
        assert len(ids(there)) >= len(before_there) + outcome.went
        partly += 0 < outcome.came + outcome.went < 50
        assert audit(Book.open(here.folder)) == audit(Book.open(there.folder)) == []
        assert meet(here, there).is_whole
        assert ids(here) == ids(there) == every
        for book in (here, there):
            lines = [line for log in book.folder.glob("log/*.log") for line in log.read_bytes().splitlines()]
            assert len({line[16:52] for line in lines}) == len(lines)
    assert partly


@pytest.mark.usefixtures("in_small_lots")
def test_two_pairs_meet_at_once_and_nothing_stands_twice(tmp_path: Path) -> None:
    shed = farm(tmp_path, "shed", 20)
    net = copied(shed, "net")
    noted(shed._book, 40, 3)
    noted(net._book, 40, 3)

    def opened(session: Session) -> Session:
        return Session(Book.open(session.folder, device=session._book.device), by="ml", on=ON)

    outcomes: list[Outcome] = []
    pairs = [(opened(net), opened(shed)), (opened(shed), opened(net)), (opened(net), opened(shed))]
    threads = [threading.Thread(target=lambda p=pair: outcomes.append(meet(*p))) for pair in pairs]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [outcome.is_whole for outcome in outcomes] == [True] * 3, outcomes
    assert ids(shed) == ids(net) and len(ids(net)) == 100
    assert audit(opened(net)._book) == audit(opened(shed)._book) == []


@pytest.mark.long
def test_a_slow_line_is_not_taken_for_a_dead_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each side has put all that it says into the line long before it has come through."""
    monkeypatch.setattr("core.meeting.line.AT_WORK", 0.1)
    shed, net = farm(tmp_path, "shed", 240), farm(tmp_path, "net", 240)
    cable = Cable(shed)
    cable.pause, cable.silence = 0.1, 4.0
    outcome = net.upkeep.meet(cable, sure=True)  # type: ignore[arg-type]
    assert outcome.is_whole, outcome.stopped
    assert min(cable.went[0], cable.came[0]) > 500 / cable.pause * cable.silence, (
        "it took longer than it may be silent"
    )


# what is refused


def test_another_farm_is_asked_about_before_anything_moves(tmp_path: Path) -> None:
    ours, theirs = farm(tmp_path, "shed", 20, name="Larch End"), farm(tmp_path, "net", 20, name="Stony Ford")
    before = ids(ours), ids(theirs)
    for here, other in ((ours, theirs), (theirs, ours)):
        outcome = meet(here, other)
        (problem,) = outcome.stopped
        assert "'Stony Ford'" in problem.sentence and "shedbook meet other:farm yes" in problem.sentence
        assert (ids(ours), ids(theirs)) == before
    assert meet(ours, theirs, sure=True).is_whole
    assert ids(ours) == ids(theirs) == before[0] | before[1]
    assert meet(theirs, ours).is_whole


def test_the_answering_side_too_does_not_take_another_farm_unasked(tmp_path: Path) -> None:
    ours, theirs = farm(tmp_path, "shed", 20, name="Larch End"), farm(tmp_path, "net", 20, name="Stony Ford")
    before = ids(theirs)
    arriving = ours.upkeep._arriving()
    side = ours.upkeep._side(arriving, "there", "")
    careless = replace(side, another=lambda _about: None)
    with Cable(theirs).opened() as line, pytest.raises(ShedbookError, match=r"other says: .*'Larch End'"):
        begin(line, careless, Outcome(), sure=False, moved=lambda _share: None, first=5)
    assert ids(theirs) == before


def _no_room(at: Path) -> Callable[..., int]:
    real = os.write

    def write(fd: int, data: bytes) -> int:
        if str(Path(f"/proc/self/fd/{fd}").readlink()).startswith(str(at)):
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(fd, data)

    return write


@pytest.mark.parametrize("full", ["here", "there"])
def test_where_one_disk_is_full_the_other_gets_what_it_lacks(
    two: Two, monkeypatch: pytest.MonkeyPatch, full: str
) -> None:
    shed, net = two
    sick, well = (net, shed) if full == "here" else (shed, net)
    every = ids(shed) | ids(net)
    before = ids(sick)
    with monkeypatch.context() as patch:
        patch.setattr("core.book.disk.os.write", _no_room(sick.folder / "log"))
        outcome = meet(net, shed)
    (problem,) = outcome.stopped
    assert "disk is full" in problem.sentence and ("other says" in problem.sentence) == (full == "there")
    assert ids(well) == every and ids(sick) == before
    assert meet(net, shed).is_whole and ids(sick) == every


@pytest.mark.parametrize("held", ["here", "there"])
def test_where_one_book_is_held_that_is_told_and_the_other_gets_what_it_lacks(two: Two, held: str) -> None:
    shed, net = two
    one, other = (net, shed) if held == "here" else (shed, net)
    one.be_patient(0.05)
    with Lock(one.folder / "lock", patience=0):
        outcome = meet(net, shed)
    (problem,) = outcome.stopped
    assert "is held by" in problem.sentence
    assert len(ids(other)) == 43 and meet(net, shed).is_whole and len(ids(one)) == 43


def test_lines_set_aside_and_codes_given_twice_are_told_on_the_side_that_began(tmp_path: Path) -> None:
    shed = farm(tmp_path, "shed", 5)
    net = copied(shed, "net")
    book = Book.open(shed.folder, device="odd")  # a machine whose clock and program are odd
    (entry,) = book.append([Draft("note", "2026-06-23", {"text": "odd"})], by="ml")
    log = shed.folder / "log" / "odd.log"
    log.write_bytes(line_of(body_of({**entry.as_dict(), "at": "yesterday"})))
    for session in (shed, net):
        session.on = ON
        session.mark = ""
        session.write("20 zinnia b1 fresh anyway")
    outcome = meet(net, shed)
    assert any("instant" in p.sentence for p in outcome.set_aside), outcome.set_aside
    assert any("L001" in p.sentence for p in outcome.to_settle), outcome.to_settle
    assert outcome.is_whole


# what the other side may be


@contextmanager
def spoken(data: bytes, silence: float = 60, *, hangs_up: bool = False) -> Iterator[Channel]:
    """A line on which the other side says just that, and hears nothing; or `hangs_up` when it has said it."""
    incoming, their_out = os.pipe()
    their_in, outgoing = os.pipe()
    if hangs_up:
        os.close(their_in)

    def speak() -> None:
        with suppress(OSError):
            os.write(their_out, data)
        os.close(their_out)

    speaking = threading.Thread(target=speak)
    speaking.start()
    try:
        yield Channel(incoming, outgoing, "shed", silence)
    finally:
        for fd in (incoming, outgoing) if hangs_up else (incoming, their_in, outgoing):
            os.close(fd)
        speaking.join()


def test_why_the_other_side_hung_up_is_told_though_nothing_more_can_be_sent() -> None:
    last = HELLO + said("refused", says="the disk is gone.")
    with (
        spoken(last, hangs_up=True) as line,
        pytest.raises(ShedbookError, match="shed says: the disk is gone"),
    ):
        line.say("book")
    with spoken(HELLO, hangs_up=True) as line, pytest.raises(ShedbookError, match="was cut"):
        line.say("book")


def test_what_the_other_machine_calls_itself_leads_nowhere(two: Two) -> None:
    shed, net = two
    shed._book.device = "../../../shed"
    outcome = meet(net, shed)
    assert outcome.other == "shed" and outcome.is_whole and ids(net) == ids(shed)
    (met,) = net.met.all()
    assert met.machine == "shed"


def test_a_part_said_to_be_of_another_file_is_put_into_no_file_of_that_name(two: Two) -> None:
    """A log's name from the other side is a name of a log of another machine, or the lines go into the merged log."""
    _, net = two
    entry = line_of(body_of(flat_note()))
    for log in (
        "../lock",
        "net.log",
        "farm.json",
        "shed",
        "a/b.log",
        "shed.merged.log",
        ".log",
        "x" * 300 + ".log",
    ):
        part = Part(log, 0, 0, 0)
        carried = net.folder / "carried"
        carried.write_bytes(entry)
        before = sorted(p for p in net.folder.rglob("*"))
        own = (net.folder / "log" / "net.log").read_bytes()
        net.upkeep._arriving().bring(carried, part=part)
        new = set(net.folder.rglob("*")) - set(before)
        assert {p.name for p in new} <= {"net.merged.log", "lock"}, log
        assert (net.folder / "log" / "net.log").read_bytes() == own


def flat_note() -> dict[str, object]:
    entry = ids_module.uuid7(FIRST_MS, 7)
    at = ids_module.at_text(FIRST_MS)
    return {"id": entry, "on": "2026-06-23", "at": at, "by": "kk", "kind": "note", "text": "x"}


def said(what: str, **told: object) -> bytes:
    return line_of(body_of({"say": what, **told}))


HELLO = said("hello", way=1, machine="shed", program="1")
BOOK = said("book", farm="", entries=0, beds=0, maker="")
NOTHING = b"".join(
    [*(said("differ", of=[]) for _ in "ab"), said("want", of=[]), said("lacking", there=0), said("bye")]
)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "line to shed was cut"),
        (b"Welcome\nto the shed\n", "line to shed was cut"),
        (b"x" * 100_000, "garbled"),
        (b"x\n" * 100_000, "garbled"),
        (said("hello", way=2, machine="shed"), "update this one"),
        (said("hello", way="1", machine="shed"), "garbled"),
        (said("refused", says="\x1b[31mno\x07"), "line to shed was cut"),
        (HELLO, "line to shed was cut"),
        (HELLO + said("refused", says="the \x1b[31mdisk is full."), "shed says: the [31mdisk is full."),
        (HELLO + said("book", farm=1, entries=0, beds=0, maker=""), "garbled"),
        (HELLO + said("book"), "garbled"),
        (HELLO + BOOK + said("differ", of="0197"), "garbled"),
        (HELLO + BOOK + said("differ", of=[["0197", 3]]), "garbled"),
        (HELLO + BOOK + NOTHING.replace(b'"there":0', b'"there":1e9'), "garbled"),
        (HELLO + BOOK + b'00000000 {"say":"differ","of":[]}\n', "garbled"),
    ],
)
def test_whatever_the_other_side_says_is_answered_by_one_sentence(
    tmp_path: Path, data: bytes, says: str
) -> None:
    net = farm(tmp_path, "net", 3)

    class Said(Cable):
        @contextmanager
        def opened(self) -> Iterator[Channel]:
            with spoken(data) as line:
                yield line

    before = ids(net)
    outcome = net.upkeep.meet(Said(net))  # type: ignore[arg-type]
    assert len(outcome.stopped) == 1 and says in outcome.stopped[0].sentence, outcome.stopped
    assert outcome.stopped[0].sentence.isprintable()
    assert ids(net) == before and not outcome.is_whole


def test_who_says_nothing_is_given_up_in_words(tmp_path: Path) -> None:
    net = farm(tmp_path, "net", 3)
    pipes = [os.pipe(), os.pipe()]

    class Quiet(Cable):
        patience = 0.05

        @contextmanager
        def opened(self) -> Iterator[Channel]:
            yield Channel(pipes[0][0], pipes[1][1], "shed")

    outcome = net.upkeep.meet(Quiet(net))  # type: ignore[arg-type]
    assert "shed has said nothing for" in outcome.stopped[0].sentence
    for fd in (*pipes[0], *pipes[1]):
        os.close(fd)


@pytest.mark.part
@cases(60, 8)
@given(seed=st.integers(0, 2**32), way=st.booleans())
def test_a_byte_that_is_changed_on_the_way_never_comes_into_a_book(
    tmp_path_factory: pytest.TempPathFactory, seed: int, way: bool
) -> None:
    chance = random.Random(seed)
    tmp_path = tmp_path_factory.mktemp("garbled")
    shed = farm(tmp_path, "shed", 10)
    net = copied(shed, "net")
    noted(shed._book, 5)
    noted(net._book, 5)
    every = {e.id: e for s in (shed, net) for e in Book.open(s.folder, device="who").entries()}
    place = chance.randrange(3500)
    real = os.write
    passed = {False: 0, True: 0}
    cable = Cable(shed)
    ends: dict[int, bool] = {}

    def write(fd: int, data: bytes) -> int:
        mine = ends.get(fd)
        if mine is None:
            return real(fd, data)
        changed = bytearray(data)
        if mine == way and passed[mine] <= place < passed[mine] + len(changed):
            changed[place - passed[mine]] ^= 1 << chance.randrange(8)
        passed[mine] += len(changed)
        return real(fd, bytes(changed))

    with pytest.MonkeyPatch.context() as patch:

        def line_of_ends(incoming: int, outgoing: int, other: str, silence: float) -> Channel:
            ends[outgoing] = other == "the other"
            return Channel(incoming, outgoing, other, 0.3)

        patch.setattr("tests.meeting.lines.Channel", line_of_ends)
        patch.setattr("core.meeting.line.os.write", write)
        net.upkeep.meet(cable)  # type: ignore[arg-type]
    assert meet(net, shed).is_whole
    for session in (net, shed):
        assert {e.id: e for e in Book.open(session.folder, device="who").entries()} == every


def test_the_journal_is_synced_before_anything_is_acknowledged(
    two: Two, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Everything said to be kept stands in a log that was synced at that size."""
    shed, net = two
    synced: dict[str, int] = {}
    real = journal.sync

    def sync(fd: int) -> None:
        real(fd)
        synced[str(Path(f"/proc/self/fd/{fd}").readlink())] = os.fstat(fd).st_size

    said_kept: list[dict[str, int]] = []
    say = Channel.say

    def listen(self: Channel, what: str, **told: object) -> None:
        if what == "kept":
            said_kept.append(dict(synced))
        say(self, what, **told)

    monkeypatch.setattr(journal, "sync", sync)
    monkeypatch.setattr(Channel, "say", listen)
    assert meet(net, shed).is_whole
    assert len(said_kept) == 2
    for log in (shed.folder / "log" / "net.log", net.folder / "log" / "shed.log"):
        assert any(kept.get(str(log)) == log.stat().st_size for kept in said_kept)
