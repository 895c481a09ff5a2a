"""The book: what it holds, what is new in it, and writing in it. The one way to a farm folder's record."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Container, Iterator, Sequence
from operator import itemgetter
from pathlib import Path
from sys import intern
from typing import TYPE_CHECKING, TypeAlias

from core.book import ids, layout, snapshot, stretches
from core.book.damage import Damage, repeated
from core.book.device import NAME, this_device
from core.book.disk import make_folder, open_to_read, replace_file, sync_folder, trouble
from core.book.entry import HEAD, Draft, Entry
from core.book.fit import read_fit
from core.book.journal import Journal, last_instant, print_of
from core.book.layout import NOWHERE, Mark
from core.book.lines import (
    BODY_ID,
    LONGEST_LINE,
    Flat,
    body_of,
    entries_from,
    latest_day,
    line_of,
    lines_of,
)
from core.book.lock import Lock
from core.book.reader import MOST_TOGETHER, Reader
from core.book.writings import newest_first
from core.collecting import no_collecting
from core.problems import Problem, ShedbookError
from core.text import clean

if TYPE_CHECKING:
    from core.book.stretches import Days
    from core.book.sweep import Sweep

Check: TypeAlias = Callable[[list[Entry]], Problem | None]
"""Given what others wrote since this book last read, says why the new entries may not be written, or None."""

_HEADS = frozenset(HEAD)
_SETTLED = 5_000_000_000  # ns: a folder changed longer ago than any disk's clock is coarse
_CLOCK_SLACK = 3_600_000  # ms that a clock may be set back without a word
_ADOPTED_AT_ONCE = 20_000
_MUCH = 1_000_000  # bytes of logs that take long to read
_ID_OF = itemgetter("id")
_PLAIN = {str, int, float, bool, type(None)}  # what JSON gives back as it was


class Replaced(ShedbookError):  # noqa: N818  # what happened to a log, not a fault of ours
    """A log no longer goes on from where it was read: everything has to be read again (`entries`)."""


class Book:
    """A farm folder's record, as this machine reads and writes it. Made by `create` or `open`."""

    def __init__(self, folder: Path, device: str, clock: ids.Clock, chance: ids.Chance) -> None:
        self.folder = folder
        self.device = device
        self._clock = clock
        self._chance = chance
        self._logs = str(folder / layout.LOGS)
        self._own = device + layout.LOG_END
        self._journal = Journal(folder / layout.LOGS / self._own)
        self._lock = Lock(folder / layout.LOCK)
        self._snapshot_lock = Lock(folder / layout.SNAPSHOT_LOCK)
        self._mark: Mark | None = None
        self._damage = Damage((self._own, device + layout.MERGED_END))
        self._listed: tuple[int, list[str]] = (0, [])
        self._days: dict[str, Days] = {}  # of what was read of the logs to their end

    @classmethod
    def create(
        cls,
        folder: Path,
        *,
        device: str | None = None,
        clock: ids.Clock = ids.now_ms,
        chance: ids.Chance = ids.chance,
    ) -> Book:
        """A new book in `folder`, which is made; ShedbookError where a book or anything else is there."""
        name = _device(device)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            if layout.is_farm(folder) or (folder / layout.LOGS).exists():
                raise ShedbookError(
                    Problem(
                        f"There is a book in {folder} already; open it, or name another folder.",
                        code="impossible",
                    )
                )
            if any(
                not (item.name.startswith(".") and item.name.endswith(".new")) for item in folder.iterdir()
            ):
                raise ShedbookError(
                    Problem(f"{folder} is not empty; name a folder that is empty or new.", code="impossible")
                )
            folder.chmod(0o700)
            about = body_of({"format": layout.FORMAT, "device": name}) + b"\n"
            replace_file(folder / layout.ABOUT_FARM, [about])  # first: from here on it is a book
            make_folder(folder / layout.LOGS)
            make_folder(folder / layout.BACKUPS)
            sync_folder(folder.parent)
        except (FileExistsError, NotADirectoryError) as error:
            raise ShedbookError(
                Problem(f"{folder} is a file; name a folder that is empty or new.", code="impossible")
            ) from error
        except OSError as error:
            raise trouble(error, "make the book", folder) from error
        return cls(folder, name, clock, chance)

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        device: str | None = None,
        clock: ids.Clock = ids.now_ms,
        chance: ids.Chance = ids.chance,
    ) -> Book:
        """The book in `folder`, of which nothing is read yet; ShedbookError where there is none to read."""
        try:
            if not os.access(folder, os.R_OK | os.X_OK) and folder.is_dir():
                raise PermissionError(13, "no permission")
            if not layout.is_farm(folder):
                raise ShedbookError(
                    Problem(
                        f"There is no book in {folder}; begin one with: shedbook new {folder}", code="unknown"
                    )
                )
            layout.about_farm(folder)
        except OSError as error:
            raise trouble(error, "read the book", folder) from error
        return cls(folder, _device(device), clock, chance)

    def append(
        self, drafts: Sequence[Draft], *, by: str, check: Check | None = None, seen_ms: int = 0
    ) -> list[Entry]:
        """Writes `drafts` as entries of `by`; they are on the disk when this returns, all of them or none.

        They come after `seen_ms`, the newest instant that was read, as far as `ids.next_ms` follows it.

        Under the lock, `check` is first given what others wrote since this book last read (everything, if
        it never did); the Problem it returns is raised as ShedbookError and nothing is written. Without a
        `check` the position stays where it was while others' entries wait to be read. Raises `Replaced`
        where a log has to be read anew first, ShedbookError where disk, lock or the drafts do not allow it, or
        where there are more than MOST_TOGETHER of them.
        """
        if len(drafts) > MOST_TOGETHER:
            text = f"{len(drafts)} entries are too many to write at once; enter them in several writings."
            raise ShedbookError(Problem(text, code="impossible"))
        with self._lock:
            size, last = self._journal.look()
            if check is not None:
                problem = check([] if self._nothing_new(size) else self._news())
                if problem is not None:
                    raise ShedbookError(problem)
            if not drafts:
                return []
            # entries of one writing follow each other by a millisecond, those of two never do
            first = max(ids.next_ms(self._clock(), seen_ms), last + 2)
            written = [_entry(d, by, first + i, self._chance()) for i, d in enumerate(drafts)]
            new_size = self._journal.append(lines_of([body for _, body in written]), first + len(drafts) - 1)
            self._move_on(size, new_size, told=check is not None)
        return [entry for entry, _ in written]

    def entries(self) -> list[Entry]:
        """Every entry of every log, each once, in key order (`on`, `at`, `id`)."""
        with no_collecting():
            return entries_from(self.entries_raw())

    def own_writings(self) -> Iterator[list[Entry]]:
        """What this machine wrote into its own log: the entries of each writing together, the newest first."""
        path = self.folder / layout.LOGS / self._own
        try:
            with open_to_read(path) as fd:
                yield from newest_first(fd)
        except FileNotFoundError:
            return
        except OSError as error:
            raise trouble(error, "read", path) from error

    def entries_raw(self) -> list[Flat]:
        """As `entries`, as flat JSON objects (`Entry.as_dict`): the fastest way to read everything."""
        with no_collecting():
            flats, mark = self._read_all()
        self._mark = mark
        return flats

    def position(self) -> Mark:
        """How far reading has got; {} while nothing was read. Keep it beside what was made of the entries."""
        return {name: list(place) for name, place in (self._mark or {}).items()}

    def entries_after(self, mark: Mark) -> list[Entry]:
        """The entries that stand after `mark`, in key order; raises `Replaced` where `mark` no longer holds.

        With nothing new this only looks at the logs' sizes. After {} stands every entry.
        """
        if not mark:
            return self.entries()
        sizes = self._sizes()
        own_mark = mark == self._mark
        mark = dict(mark)
        brought_back = mark.pop(layout.SNAPSHOT, None)
        for name, place in mark.items():
            if sizes.get(name, -1) < place[0]:
                raise _replaced(name)
        grown = [name for name, size in sizes.items() if size > mark.get(name, NOWHERE)[0]]
        for name in grown if own_mark else [*mark]:  # a mark of our own was true when it was made
            if name in mark and not self._goes_on(name, mark[name]):
                raise _replaced(name)
        if grown and brought_back:
            raise _replaced(grown[0])  # it may be the very lines that book.json stood in for
        after = {name: list(place) for name, place in mark.items()}
        news: dict[str, Flat] = {}
        for name in grown:
            flats, after[name] = self._read_log(name, mark.get(name, NOWHERE)[0])
            self._gather(news, flats, name)
        if news and self._may_be_known(grown, mark):
            for name, flat in list(stretches.known_before(self.folder, mark, news)):
                if news.pop(flat["id"], flat) != flat:
                    self._damage.disagree(name, flat["id"])
        if brought_back:
            after[layout.SNAPSHOT] = brought_back
        self._mark = after
        return entries_from(sorted(news.values(), key=_key))

    def is_mostly_new(self, mark: Mark) -> bool:
        """Whether most of what stands in the logs, and much, stands after `mark`: then all is sooner read at once."""
        sizes = self._sizes()
        new = sum(max(size - mark.get(name, NOWHERE)[0], 0) for name, size in sizes.items())
        return new > _MUCH and 2 * new > sum(sizes.values())

    def entries_between(self, start: Mark, stop: Mark) -> list[Entry]:
        """The entries that stand from `start` to `stop` in the logs, in key order; the position stays where it is."""
        with no_collecting():
            flats, days = stretches.between(self.folder, self._sizes(), start, stop)
            for name, found in days.items():
                known = self._days.get(name)
                if found and (not known or found[0][0] < known[0][0]):
                    self._days[name] = found
            return entries_from(sorted(flats, key=_key))

    def day_begins(self, day: str, start: Mark) -> Mark:
        """A place in the logs before which nothing dated `day` or later stands; `start` is one of an earlier day."""
        return stretches.day_begins(self.folder, self._sizes(), day, start, self._days)

    def find(self, ending: str) -> list[Entry]:
        """The entries whose ids end with `ending`, in key order."""
        if layout.SNAPSHOT in (self._mark or {}):  # some entries stand in no log
            return [entry for entry in self.entries() if entry.id.endswith(ending)]
        return entries_from(sorted(stretches.ending(self.folder, self._sizes(), ending), key=_key))

    def sweep(self) -> Sweep:
        """A passage through everything, for those who want to hold little of it."""
        from core.book.sweep import Sweep

        return Sweep(self.folder, [*self._sizes()], self._damage, self.only_in_snapshot)

    @property
    def disagrees(self) -> bool:
        """Whether two different lines with one id were found: then it matters which log is read first."""
        return self._damage.disagreeing

    def problems(self) -> list[Problem]:
        """Damage found while reading, each with its file and line."""
        return self._damage.problems(self.folder)

    def remarks(self) -> list[str]:
        """What reading found that is no damage: a sentence for each writing that a stopped writer left half done."""
        return self._damage.remarks(self.folder)

    def snapshot(self, *, force: bool = False) -> bool:
        """Writes book.json where it is due and says whether it did; no append waits for it.

        It is due when the logs grew by a tenth since the last one, so a small book's is always new and a
        big book's costs little per entry. Raises ShedbookError where the disk refuses; the old one stays.
        """
        path = self.folder / layout.SNAPSHOT
        try:
            if not force and not _due(snapshot.read_about(path), layout.log_sizes(self._logs)):
                return False
            if not self._snapshot_lock.take():
                return False  # another process is at it
            try:
                if not force and self._lock.problem(0) is not None:
                    return False  # somebody writes: nothing waits for a snapshot, the next one is soon enough
                with self._lock:
                    sizes = layout.log_sizes(self._logs)
                bodies, mark, lost = self._bodies(sizes)
                snapshot.write(path, bodies, mark, lost)
            finally:
                self._snapshot_lock.free()
        except OSError as error:
            raise trouble(error, "write", path) from error
        return True

    def lasting_sizes(self) -> dict[str, int]:
        """The logs' sizes while nobody is in the middle of writing."""
        with self._lock:
            return layout.log_sizes(self._logs)

    def bodies(self) -> tuple[list[bytes], Mark]:
        """The JSON bytes of every entry once, in log order, and how far the logs were read."""
        sizes = self.lasting_sizes()
        try:
            bodies, reach, _ = self._bodies(sizes)
            return bodies, reach
        except OSError as error:
            raise trouble(error, "read", self._logs) from error

    def entries_of_logs(self) -> list[Flat]:
        """The entries that stand in a log, each once, in no order: without what only book.json holds."""
        return [*self._of_logs()[0].values()]

    def digests(self) -> tuple[dict[str, int], Mark]:
        """(id -> hash of the JSON bytes of every entry, how far the logs were read); good in this process only."""
        once: dict[str, int] = {}
        mark: Mark = {}
        try:
            for name in layout.log_sizes(self._logs):
                with open_to_read(self.folder / layout.LOGS / name) as fd:
                    reader = Reader(fd)
                    for bodies, _ in reader.blocks():
                        for body in bodies:
                            once.setdefault(body[BODY_ID].decode(), hash(body))
                    mark[name] = [reader.end, print_of(fd, reader.end)]
        except OSError as error:
            raise trouble(error, "read", self._logs) from error
        for flat in self.only_in_snapshot(once):
            once[flat["id"]] = hash(body_of(flat))
        return once, mark

    def adopt(self, bodies: Sequence[bytes], *, after: Mark | None = None) -> int:
        """Writes entries made elsewhere, given as JSON bytes, into this machine's `DEVICE.merged.log`.

        Their ids and instants stay as they are. Under the lock it looks again for those that came meanwhile
        (behind the mark `after`, or anywhere) and leaves them out; returns how many it wrote. Raises
        ShedbookError; what was written before that stays.
        """
        journal = Journal(self.folder / layout.LOGS / (self.device + layout.MERGED_END))
        try:
            with self._lock:
                there = self._ids_after(after or {})
                new = [body for body in bodies if body[BODY_ID] not in there]
                for begin in range(0, len(new), _ADOPTED_AT_ONCE):
                    lines = [line_of(body) for body in new[begin : begin + _ADOPTED_AT_ONCE]]
                    journal.look()
                    journal.append(b"".join(lines), 0)
        finally:
            journal.close()
        return len(new)

    def _ids_after(self, mark: Mark) -> set[bytes]:
        """The ids in what the logs hold behind `mark`; in all of a log that does not go on from there."""
        found: set[bytes] = set()
        for name, size in layout.log_sizes(self._logs).items():
            place = mark.get(name, NOWHERE)
            start = place[0] if place[0] and self._goes_on(name, place) else 0
            if size > start:
                try:
                    with open_to_read(self.folder / layout.LOGS / name) as fd:
                        for bodies, _ in Reader(fd, start, size).blocks():
                            found.update(body[BODY_ID] for body in bodies)
                except OSError as error:
                    raise trouble(error, "read", self.folder / layout.LOGS / name) from error
        return found

    def copy_on(self, log: str, part: bytes, *, at: int) -> bool:
        """Adds `part`, the next bytes of another machine's log, to our copy of it, as a file copier would.

        False, and nothing is done, where our copy is not `at` bytes long any more.
        """
        if log == self._own:
            raise ValueError("a machine's own log is written by append alone")
        journal = Journal(self.folder / layout.LOGS / log)
        try:
            with self._lock:
                if journal.look()[0] != at:
                    return False
                journal.append(part, 0, exact=True)
                return True
        finally:
            journal.close()

    def finish_line(self) -> None:
        """Ends what a crash left unfinished in the logs this machine writes, so that it can be set aside."""
        merged = Journal(self.folder / layout.LOGS / (self.device + layout.MERGED_END))
        try:
            with self._lock:
                for journal in (self._journal, merged):
                    journal.look()
                    journal.append(b"", 0)
        finally:
            merged.close()

    def find_repeats(self) -> None:
        """Looks for lines that stand twice in one log; they are told and set aside like damaged ones."""
        for name in layout.log_sizes(self._logs):
            try:
                with open_to_read(self.folder / layout.LOGS / name) as fd:
                    self._damage.add(name, repeated(fd))
            except OSError as error:
                raise trouble(error, "read", self.folder / layout.LOGS / name) from error

    def set_aside(self) -> int:
        """Records the damaged lines found so far beside their logs and tells them no more; how many."""
        try:
            return self._damage.set_aside(self.folder, ids.at_text(self._clock()))
        except OSError as error:
            raise trouble(error, "write", self._logs) from error

    def only_in_snapshot(self, known: Container[str]) -> list[Flat]:
        """The entries of book.json that are not among `known` ids, where a log lost what it held.

        Only looked for where a log is shorter than book.json says, differs, or is newly damaged; told as a
        problem.
        """
        path = self.folder / layout.SNAPSHOT
        try:
            about = snapshot.read_about(path)
            if about is None or not (
                about.only_here
                or self._damage.before(about.logs, self.folder)
                or not all(self._goes_on(name, place) for name, place in about.logs.items())
            ):
                self._damage.brought_back(0)
                return []
            found = snapshot.read(path)
        except OSError as error:
            raise trouble(error, "read", path) from error
        lost = [flat for flat in found[1] if flat["id"] not in known] if found else []
        self._damage.brought_back(len(lost), no_snapshot=found is None)
        return lost

    def clock_problem(self) -> Problem | None:
        """What is odd about this machine's clock beside what it wrote last, None where nothing is.

        Entries keep their order whatever the clock says: an instant never goes back in one machine's log.
        """
        path = self.folder / layout.LOGS / self._own
        try:
            last = last_instant(path)
        except OSError as error:
            raise trouble(error, "read", path) from error
        now = self._clock()
        if last - now < _CLOCK_SLACK:
            return None
        says, was = ids.at_text(now)[:16].replace("T", " "), ids.at_text(last)[:16].replace("T", " ")
        return Problem(
            f"This machine's clock says {says} UTC, but its last entry is of {was} UTC: set the clock, or that of the "
            "machine it was merged with.",
            code="impossible",
        )

    def hold(self) -> Lock:
        """`with book.hold():` keeps every other writer out; for what is written beside the logs."""
        return self._lock

    def be_patient(self, seconds: float) -> None:
        """How long a writing waits for another process from now on, before it raises Held."""
        self._lock.patience = seconds

    def read_only(self, patience: float = 0.3) -> Problem | None:
        """Why the book can be read and not written now, None where it can be written; waits `patience` s at most.

        Another process that is just writing is waited for. A full disk is only found when it is written on.
        """
        return self._lock.problem(patience)

    def close(self) -> None:
        """Closes the files it holds open; it may still be used."""
        self._journal.close()
        self._lock.close()
        self._snapshot_lock.close()

    def _news(self) -> list[Entry]:
        return self.entries() if self._mark is None else self.entries_after(self._mark)

    def _move_on(self, size: int, new_size: int, *, told: bool) -> None:
        """Moves the position past our own append, unless others' entries before it were never `told`."""
        if self._mark is None:
            return
        place = self._mark.get(self._own, NOWHERE)[0]
        if place == size:
            self._mark[self._own] = [new_size, self._journal.print_here()]
        elif told:  # what stood unfinished before it became a damaged line: read over it, to tell of it
            _, self._mark[self._own] = self._read_log(self._own, place)

    def _nothing_new(self, own_size: int) -> bool:
        """Whether every log ends where it was read to: nearly always so, and found with few system calls."""
        mark = self._mark
        if mark is None or mark.get(self._own, NOWHERE)[0] != own_size:
            return False
        try:
            if os.stat(self._logs).st_mtime_ns != self._listed[0]:
                return False
            others = [name for name in self._listed[1] if name != self._own]
            return len(mark) == len(self._listed[1]) and all(
                os.stat(f"{self._logs}/{name}").st_size == mark.get(name, NOWHERE)[0] for name in others
            )
        except OSError:
            return False

    def _sizes(self) -> dict[str, int]:
        """`layout.log_sizes`; keeps the names for as long as the folder's own time shows no change."""
        try:
            changed = os.stat(self._logs).st_mtime_ns
        except OSError:
            changed = 0  # the listing says what is wrong
        sizes = layout.log_sizes(self._logs)
        self._listed = (changed if time.time_ns() - changed > _SETTLED else 0, [*sizes])
        return sizes

    def _read_all(self) -> tuple[list[Flat], Mark]:
        once, mark = self._of_logs()
        lost = self.only_in_snapshot(once.keys())
        if lost:
            mark[layout.SNAPSHOT] = [len(lost), 0]
        return sorted([*once.values(), *lost], key=_key), mark

    def _of_logs(self) -> tuple[dict[str, Flat], Mark]:
        mark: Mark = {}
        once: dict[str, Flat] = {}
        for name in self._sizes():
            flats, mark[name] = self._read_log(name, 0)
            found = dict(zip(map(_ID_OF, flats), flats, strict=True))
            if len(found) == len(flats) and once.keys().isdisjoint(found):
                once = once | found if once else found
            else:
                self._gather(once, flats, name)
        return once, mark

    def _bodies(self, sizes: dict[str, int]) -> tuple[list[bytes], Mark, int]:
        """(the JSON bytes of every entry once, how far the logs were read, how many stood in no log).

        `sizes` were looked at under the lock: only what is written for good is read, since a writing that fails is
        taken back before the lock is free.
        """
        once: dict[bytes, bytes] = {}
        mark: Mark = {}
        for name, size in sizes.items():
            with open_to_read(self.folder / layout.LOGS / name) as fd:
                reader = Reader(fd, 0, size)
                for bodies, _ in reader.blocks():
                    for body in bodies:
                        once.setdefault(body[BODY_ID], body)
                self._damage.note(name, reader, anew=True)
                mark[name] = [reader.end, print_of(fd, reader.end)]
        lost = self.only_in_snapshot(_Ids(once))
        return [*once.values(), *map(body_of, lost)], mark, len(lost)

    def _read_log(self, name: str, start: int) -> tuple[list[Flat], list[int]]:
        path = self.folder / layout.LOGS / name
        flats: list[Flat] = []
        try:
            with open_to_read(path) as fd:
                reader = Reader(fd, start)
                days: Days = []
                begin = start
                for _, block in reader.blocks():
                    for flat in block:  # days, people and kinds are few: held once, not a million times
                        flat["on"], flat["by"] = intern(flat["on"]), intern(flat["by"])
                        flat["kind"] = intern(flat["kind"])
                    flats += block
                    days.append((begin, latest_day(block)))
                    begin = reader.end
                if not start:
                    self._days[name] = days
                self._damage.note(name, reader, anew=not start)
                return flats, [reader.end, print_of(fd, reader.end)]
        except OSError as error:
            raise trouble(error, "read", path) from error

    def _gather(self, once: dict[str, Flat], flats: list[Flat], name: str) -> None:
        for flat in flats:
            if once.setdefault(flat["id"], flat) is not flat and once[flat["id"]] != flat:
                self._damage.disagree(name, flat["id"])

    def _goes_on(self, name: str, place: list[int]) -> bool:
        path = self.folder / layout.LOGS / name
        try:
            with open_to_read(path) as fd:
                return os.fstat(fd).st_size >= place[0] and print_of(fd, place[0]) == place[1]
        except FileNotFoundError:
            return not place[0]
        except OSError as error:
            raise trouble(error, "read", path) from error

    def _may_be_known(self, grown: list[str], mark: Mark) -> bool:
        """Whether what grew may hold entries that stand before `mark` too, under another log's name.

        Our own log only grows by entries just made. Another's may bring what a merge brought before, and a
        log new to us may be a copy.
        """
        others = [name for name in grown if name != self._own or name not in mark]
        if not others or not any(place[0] for place in mark.values()):
            return False
        merged = any(name.endswith(layout.MERGED_END) for name in (*grown, *mark))
        return merged or any(name not in mark for name in others)


class _Ids:
    """The ids in bytes, asked for as text: of a big book a second set of them is many megabytes."""

    def __init__(self, ids: Container[bytes]) -> None:
        self._ids = ids

    def __contains__(self, entry_id: object) -> bool:
        return isinstance(entry_id, str) and entry_id.encode() in self._ids


def _key(flat: Flat) -> str:
    return flat["on"] + flat["at"] + flat["id"]  # type: ignore[no-any-return]  # one text sorts faster than three


def _due(about: snapshot.About | None, sizes: dict[str, int]) -> bool:
    if about is None:
        return any(sizes.values())
    held = sum(place[0] for place in about.logs.values())
    grown = sum(size - about.logs.get(name, NOWHERE)[0] for name, size in sizes.items())
    return grown >= max(1, held // 10)


def _replaced(name: str) -> Replaced:
    return Replaced(
        Problem(
            f"log/{clean(name)} was changed from outside since it was read; the book is read anew.",
            code="damaged",
        )
    )


def _device(name: str | None) -> str:
    name = name or this_device()
    if not NAME.fullmatch(name):
        raise ShedbookError(
            Problem(
                "A machine's name holds a-z, 0-9 and hyphens, 40 at most; set SHEDBOOK_DEVICE to one.",
                code="impossible",
            )
        )
    return name


def _entry(draft: Draft, by: str, ms: int, bits: int) -> tuple[Entry, bytes]:
    """The entry of a draft and its JSON bytes; the entry is what others will read from them."""
    if not _HEADS.isdisjoint(draft.fields):
        raise ShedbookError(
            Problem(
                f"A {draft.kind} entry cannot set id, on, at, by or kind among its fields.", code="impossible"
            )
        )
    try:
        entry = Entry(ids.uuid7(ms, bits), draft.on, ids.at_text(ms), by, draft.kind, dict(draft.fields))
        body = body_of(entry.as_dict())
        read = read_fit(body)  # never written what no reader would take
        if not _PLAIN.issuperset(map(type, draft.fields.values())):
            entry = Entry.from_dict(read)  # a tuple comes back as a list, a number as a key as text
    except (TypeError, ValueError, RecursionError) as error:
        raise ShedbookError(
            Problem(
                f"This {draft.kind} entry holds what the book cannot write; enter plain text.",
                code="impossible",
            )
        ) from error
    if len(body) > LONGEST_LINE - 16:
        raise ShedbookError(
            Problem(f"This {draft.kind} entry is too long to write; enter it in several.", code="impossible")
        )
    return entry, body
