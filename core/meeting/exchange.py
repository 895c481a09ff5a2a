"""What two machines say to each other when they meet; whoever began it, each ends with what the other had.

    both        hello: the way they meet, which machine, which program
    both        book: the farm's name, how many entries, beds, who made the farm
    beginner    sums of all its entries by the beginnings of their ids, then finer ones where they differ, then ids
    answerer    what it lacks, and how many the beginner lacks
    beginner    go: nothing is sent before, so that two farms are not mixed
    beginner    lots of lines, each acknowledged by the answerer when it is on its disk; then the answerer's
    both        beside: whether the file that belongs beside the book is lacking, and the file where the other has it
    both        bye: what was set aside, and what there is to settle

Only one of them talks at a time. What comes is merged as a carried file is, and nothing is believed of it that a merge
does not believe. Where the line is cut, what was acknowledged is in both books, and the next meeting goes on there.
"""

from __future__ import annotations

import tempfile
from base64 import b64decode, b64encode
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from core import __version__
from core.book.book import Book
from core.book.copied import Part
from core.book.device import safe_name
from core.book.disk import trouble, write_all
from core.book.merge import LARGEST, Merged
from core.meeting.compare import MOST_ENTRIES, be_compared, compare
from core.meeting.holdings import MOST_ROOM, Holdings, Lot
from core.meeting.line import Channel, Cut, Moved
from core.problems import Problem, ShedbookError
from core.text import clean

WAY = 1
"""The way of meeting that this program knows; the first line of a meeting says it, in the same form for ever."""

_AT_ONCE = 1 << 18  # bytes of lines that are sent between two looks at how far it has come
_PIECE, _MOST_BESIDE = (
    30_000,
    1 << 24,
)  # bytes of the file beside the book that are sent in one line, and in all
_MOST_TOLD = 20  # sentences of each sort that the other side is told
_LONGEST_NAME, _LONGEST_SENTENCE = 60, 400


class About(NamedTuple):
    """What tells whether two books are of one farm: its name, its entries and beds; and the machine that made it."""

    farm: str
    entries: int
    beds: int
    maker: str


class Beside(Protocol):
    """A file that belongs beside the book: the weather of the farm's station."""

    def lacks(self) -> bool:
        """Whether the book speaks of one that is not there."""

    def data(self) -> bytes:
        """Its bytes; none where it is lacking."""

    def take(self, data: bytes) -> str:
        """Put down what the other side has, if it is the one; what was brought, "" for nothing. ShedbookError."""


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two books: `bring` merges a file, `another` says why a book that has no entry of ours is not ours."""

    book: Book
    about: About
    bring: Callable[[Path, Part | None, Moved], Merged]
    another: Callable[[About], Problem | None]
    beside: Beside
    raised: Callable[[], Sequence[Problem]] = tuple
    """What the entries that came have raised to settle."""


@dataclass(slots=True)
class Outcome:
    """What has come of a meeting so far: filled while it goes on, it tells what is on the disks, whatever cuts it.

    `lacked_here` and `lacked_there` are how many entries each side lacked; `came` and `went` how many of them are on
    this side's disk and on the other's. `stopped` says why the one or the other did not go on; `aside_there` and
    `to_settle_there` are what the other side says of its own.
    """

    other: str = ""
    lacked_here: int = 0
    lacked_there: int = 0
    came: int = 0
    went: int = 0
    set_aside: list[Problem] = field(default_factory=list)
    to_settle: list[Problem] = field(default_factory=list)
    stopped: list[Problem] = field(default_factory=list)
    aside_there: list[str] = field(default_factory=list)
    to_settle_there: list[str] = field(default_factory=list)
    beside: str = ""
    """The file beside the book that was brought over."""
    is_whole: bool = False
    """Whether it went to its end, and nothing was left out."""


def begin(line: Channel, side: Side, outcome: Outcome, *, sure: bool, moved: Moved, first: float) -> None:
    """Meet the other side, which answers on `line`; `first` is how many seconds its first word may take.

    `sure` that it is the same farm. Raises ShedbookError; what had come and gone by then is in `outcome`.
    """
    line.say("hello", way=WAY, machine=side.book.device, program=__version__, sure=sure)
    _hello(line.hear_first("hello", first), line, outcome)
    line.say("book", **side.about._asdict())
    about = _about(line.hear("book"), line)
    _made_by(side, about)
    mine = Holdings(side.book)
    wanted = compare(line, mine)
    outcome.lacked_here, outcome.lacked_there = _count(line.hear("lacking").get("there"), line), len(wanted)
    if outcome.lacked_here + outcome.lacked_there:
        _refuse_another(side, about, len(mine.crcs) - len(wanted), sure=sure)
        line.say("go")
        share = _Share(outcome, moved)
        _give(line, mine, wanted, outcome, share)
        _take(line, side, outcome, share)
    line.say("beside", lacks=side.beside.lacks())
    wanted_there = line.hear("beside").get("lacks") is True
    _take_beside(line, side, outcome)
    _give_beside(line, side, wanted_there)
    _hear_end(line.hear("bye"), outcome)
    line.say("bye", **_end(outcome))


def answer(line: Channel, machine: str, opened: Callable[[], Side], outcome: Outcome) -> None:
    """Meet the side that began on `line`; `opened` opens the book of this `machine`.

    Raises ShedbookError, after saying why on the line.
    """
    line.send(b"\n")  # what this machine printed as a greeting may have left a line unfinished
    line.say("hello", way=WAY, machine=machine, program=__version__)
    try:
        hello = line.hear_first("hello", line.silence)
        _hello(hello, line, outcome)
        side = opened()
        about = _about(line.hear("book"), line)
        line.say("book", **side.about._asdict())
        _made_by(side, about)
        mine = Holdings(side.book)
        wanted, lacked = be_compared(line, mine)
        outcome.lacked_here, outcome.lacked_there = len(wanted), len(lacked)
        line.say("lacking", there=len(lacked))
        if wanted or lacked:
            line.hear("go")
            _refuse_another(side, about, len(mine.crcs) - len(lacked), sure=hello.get("sure") is True)
            share = _Share(outcome, lambda _share: None)
            _take(line, side, outcome, share)
            _give(line, mine, lacked, outcome, share)
        wanted_there = line.hear("beside").get("lacks") is True
        line.say("beside", lacks=side.beside.lacks())
        _give_beside(line, side, wanted_there)
        _take_beside(line, side, outcome)
        outcome.to_settle = [*side.raised()]
    except Cut:
        raise
    except ShedbookError as refused:
        line.say("refused", says=refused.problem.sentence)
        raise
    line.say("bye", **_end(outcome))
    _hear_end(line.hear("bye"), outcome)


# who it is


def _hello(said: Mapping[str, Any], line: Channel, outcome: Outcome) -> None:
    way = said.get("way")
    if type(way) is not int or way < 1:
        raise line.garbled()
    outcome.other = safe_name(str(said.get("machine", ""))[:_LONGEST_NAME])
    if way != WAY:
        older, newer = ("this one", "that one") if way > WAY else ("that one", "this one")
        text = f"The shedbook on {line.other} meets in another way than this one: update {older}, {newer} is newer."
        raise ShedbookError(Problem(text, "newer"))


def _about(said: Mapping[str, Any], line: Channel) -> About:
    farm, entries, beds, maker = (said.get(name) for name in About._fields)
    if not (type(farm) is type(maker) is str and type(entries) is type(beds) is int):
        raise line.garbled()
    return About(clean(farm)[:_LONGEST_NAME], entries, beds, maker)


def _made_by(side: Side, about: About) -> None:
    """A book in which nothing is written yet becomes a copy of the other: its machine gets a letter of its own."""
    if not side.about.entries and about.entries:
        side.book.made_by(about.maker)


def _refuse_another(side: Side, about: About, shared: int, *, sure: bool) -> None:
    """ShedbookError where the books share no entry and look like those of two farms."""
    if not sure and shared <= 0 and (problem := side.another(about)):
        raise ShedbookError(problem)


def _end(outcome: Outcome) -> dict[str, list[str]]:
    """What each tells the other at the end."""
    told = {"set_aside": outcome.set_aside, "to_settle": outcome.to_settle}
    return {name: [p.sentence for p in problems[:_MOST_TOLD]] for name, problems in told.items()}


def _hear_end(said: Mapping[str, Any], outcome: Outcome) -> None:
    for name, kept in (("set_aside", outcome.aside_there), ("to_settle", outcome.to_settle_there)):
        sentences = said.get(name)
        if isinstance(sentences, list):
            kept += [clean(str(one))[:_LONGEST_SENTENCE] for one in sentences[:_MOST_TOLD]]
    outcome.is_whole = not outcome.stopped


def _count(value: Any, line: Channel) -> int:
    if type(value) is not int or not 0 <= value <= MOST_ENTRIES:
        raise line.garbled()
    return value


# what goes and what comes


class _Share:
    """Tells how much of all that is to go and to come has."""

    def __init__(self, outcome: Outcome, moved: Moved) -> None:
        self._outcome, self._moved = outcome, moved
        self.here = 0

    def told(self, more: int = 0) -> None:
        done = self._outcome.went + self.here + more
        self._moved(min(done / max(self._outcome.lacked_here + self._outcome.lacked_there, 1), 1))


def _give(line: Channel, mine: Holdings, wanted: Iterable[str], outcome: Outcome, share: _Share) -> None:
    """Send what the other side lacks, lot by lot, each when the one before it is on the other's disk."""
    for lot in mine.lots([*wanted]):
        _send(line, lot, share)
        said = line.hear("kept", "cannot")
        if said["say"] == "cannot":
            outcome.stopped.append(line.refusal(said))
            break
        outcome.went += lot.count
        share.told()
    line.say("given")


def _send(line: Channel, lot: Lot, share: _Share) -> None:
    part = asdict(lot.part) if lot.part else None
    line.say("lot", part=part)
    for begins in range(0, len(lot.data), _AT_ONCE):
        line.send(lot.data[begins : begins + _AT_ONCE])
        share.told(lot.count * begins // len(lot.data))
    line.say("end", count=lot.count)


def _take(line: Channel, side: Side, outcome: Outcome, share: _Share) -> None:
    """Bring in what the other side sends; each lot is acknowledged when it is on the disk, or refused."""
    size = 0
    with _folder() as folder:
        staged = Path(folder) / (outcome.other or "meeting")
        while (said := line.hear("lot", "given"))["say"] == "lot":
            part = _part(said.get("part"), line)
            count = 0
            try:
                count, size = _stage(line, staged, size)
                found = side.bring(staged, part, line.at_work)
            except Cut:
                raise
            except ShedbookError as refused:
                outcome.stopped.append(refused.problem)
                line.say("cannot", says=refused.problem.sentence)
                continue
            outcome.came += found.added
            outcome.set_aside += found.set_aside
            share.here += count
            line.say("kept", count=found.added)
            share.told()


def _folder() -> tempfile.TemporaryDirectory[str]:
    """A folder for what comes; ShedbookError where none can be made."""
    try:
        return tempfile.TemporaryDirectory(prefix="shedbook-meet-")
    except OSError as error:
        raise trouble(error, "keep what comes", "the system's folder for what does not last") from error


def _stage(line: Channel, staged: Path, size: int) -> tuple[int, int]:
    """Writes the lines of a lot into a file; (how many, bytes that came in all). All of them are taken off the line,
    also where the disk takes no more.
    """
    count = lot = 0
    failed: OSError | None = None
    with staged.open("wb", buffering=0) as file:
        while isinstance(came := line.hear_entry("end"), bytes):
            count, lot = count + 1, lot + len(came)
            if lot > 2 * MOST_ROOM or size + lot > LARGEST:
                raise line.garbled()
            try:
                if failed is None:
                    write_all(file.fileno(), came)
            except OSError as error:
                failed = error
    if came.get("count") != count:
        raise line.garbled()
    if failed is not None:
        raise trouble(failed, "keep what comes", staged) from failed
    return count, size + lot


def _part(told: Any, line: Channel) -> Part | None:
    """Which part of a log a lot is, as the other side says."""
    if told is None:
        return None
    if not isinstance(told, dict) or told.keys() != {"log", "at", "seen", "age_ms"}:
        raise line.garbled()
    log, *numbers = told["log"], told["at"], told["seen"], told["age_ms"]
    if type(log) is not str or any(type(number) is not int or number < 0 for number in numbers):
        raise line.garbled()
    return Part(log, *numbers)


# what belongs beside the book


def _give_beside(line: Channel, side: Side, wanted: bool) -> None:
    """Send the file that the other side lacks, where this one has it."""
    data = side.beside.data() if wanted else b""
    for begins in range(0, len(data), _PIECE):
        line.say("file", of=b64encode(data[begins : begins + _PIECE]).decode())
    line.say("file", of="")


def _take_beside(line: Channel, side: Side, outcome: Outcome) -> None:
    """Take such a file, if one comes; what is wrong with it, or with the disk, is told."""
    data = b""
    while of := line.hear("file").get("of"):
        try:
            data += b64decode(of, validate=True)
        except (ValueError, TypeError) as error:
            raise line.garbled() from error
        if len(data) > _MOST_BESIDE:
            raise line.garbled()
    if data:
        try:
            outcome.beside = side.beside.take(data)
        except ShedbookError as refused:
            outcome.stopped.append(refused.problem)
