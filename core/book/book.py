"""The book: what is written in it, beside what its logs hold. The one way to a farm folder's record."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeAlias

from core.book import ids, layout, snapshot
from core.book.device import NAME, this_device
from core.book.disk import make_folder, replace_file, sync_folder, trouble
from core.book.entry import Draft, Entry
from core.book.journal import Journal, last_instant
from core.book.layout import NOWHERE, Mark
from core.book.lines import BODY_ID, body_of, line_of, lines_of
from core.book.lock import Lock
from core.book.logs import Logs
from core.book.new_entry import new_entry
from core.book.reader import MOST_TOGETHER
from core.problems import Problem, ShedbookError

Check: TypeAlias = Callable[[list[Entry]], Problem | None]
"""Given what others wrote since this book last read, says why the new entries may not be written, or None."""

_CLOCK_SLACK = 3_600_000  # ms that a clock may be set back without a word
_ADOPTED_AT_ONCE = 20_000


class Book(Logs):
    """A farm folder's record, as this machine reads and writes it. Made by `create` or `open`."""

    def __init__(self, folder: Path, device: str, clock: ids.Clock, chance: ids.Chance) -> None:
        super().__init__(folder, device)
        self._clock = clock
        self._chance = chance
        self._journal = Journal(folder / layout.LOGS / self._own)
        self._lock = Lock(folder / layout.LOCK)
        self._snapshot_lock = Lock(folder / layout.SNAPSHOT_LOCK)

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
            replace_file(folder / layout.ABOUT_FARM, [_about(name)])  # first: from here on it is a book
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

    def made_by(self, maker: str) -> None:
        """Says in farm.json that the farm was made on the machine `maker`: for a book that begins as a copy of another.

        Nothing is done where a log holds anything, or where `maker` is no machine's name. Raises ShedbookError.
        """
        path = self.folder / layout.ABOUT_FARM
        if NAME.fullmatch(maker) and not any(layout.log_sizes(self._logs).values()):
            try:
                replace_file(path, [_about(maker)])
            except OSError as error:
                raise trouble(error, "write", path) from error

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
            written = [new_entry(d, by, first + i, self._chance()) for i, d in enumerate(drafts)]
            new_size = self._journal.append(lines_of([body for _, body in written]), first + len(drafts) - 1)
            self._move_on(size, new_size, told=check is not None)
        return [entry for entry, _ in written]

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

    def set_aside(self) -> int:
        """Records the damaged lines found so far beside their logs and tells them no more; how many."""
        try:
            return self._damage.set_aside(self.folder, ids.at_text(self._clock()))
        except OSError as error:
            raise trouble(error, "write", self._logs) from error

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


def _due(about: snapshot.About | None, sizes: dict[str, int]) -> bool:
    if about is None:
        return any(sizes.values())
    held = sum(place[0] for place in about.logs.values())
    grown = sum(size - about.logs.get(name, NOWHERE)[0] for name, size in sizes.items())
    return grown >= max(1, held // 10)


def _about(maker: str) -> bytes:
    return body_of({"format": layout.FORMAT, "device": maker}) + b"\n"


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
