"""What a farm folder's logs hold, as they are read: everything, what is new since a mark, one stretch of it."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Collection, Container, Iterator, Sequence
from operator import itemgetter
from pathlib import Path
from sys import intern
from typing import TYPE_CHECKING, TypeAlias, TypeVar

from core.book import layout, snapshot, stretches
from core.book.damage import Damage, repeated
from core.book.disk import open_to_read, trouble
from core.book.entry import Entry
from core.book.journal import print_of
from core.book.layout import NOWHERE, Mark
from core.book.lines import BODY_ID, Flat, body_of, entries_from, latest_day, order_key
from core.book.reader import Reader
from core.book.writings import newest_first
from core.collecting import no_collecting
from core.problems import Problem, ShedbookError
from core.text import clean

if TYPE_CHECKING:
    from core.book.sought import Clue
    from core.book.stretches import Days

T = TypeVar("T")
Lost: TypeAlias = Callable[[Container[str]], list[Flat]]
"""The entries of book.json alone, beside those of known ids."""

_SETTLED = 5_000_000_000  # ns: a folder changed longer ago than any disk's clock is coarse
_MUCH = 1_000_000  # bytes of logs that take long to read
_ID_OF = itemgetter("id")


class Replaced(ShedbookError):  # noqa: N818  # what happened to a log, not a fault of ours
    """A log no longer goes on from where it was read: everything has to be read again (`entries`)."""


class Logs:
    """A farm folder's record as this machine reads it; reading takes no lock."""

    def __init__(self, folder: Path, device: str) -> None:
        self.folder = folder
        self.device = device
        self._logs = str(folder / layout.LOGS)
        self._own = device + layout.LOG_END
        self._mark: Mark | None = None
        self._damage = Damage((self._own, device + layout.MERGED_END))
        self._listed: tuple[int, list[str]] = (0, [])
        self._days: dict[str, Days] = {}  # of what was read of the logs to their end

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
        after = {name: list(place) for name, place in mark.items()}
        news: dict[str, Flat] = {}
        for name in grown:
            flats, after[name] = self._read_log(name, mark.get(name, NOWHERE)[0])
            self._gather(news, flats, name)
        if news and brought_back:
            raise _replaced(grown[0])  # it may be the very lines that book.json stood in for
        if news and self._may_be_known(grown, mark):
            for name, flat in list(stretches.known_before(self.folder, mark, news)):
                if news.pop(flat["id"], flat) != flat:
                    self._damage.disagree(name, flat["id"])
        if brought_back:
            after[layout.SNAPSHOT] = brought_back
        self._mark = after
        return entries_from(sorted(news.values(), key=order_key))

    def is_mostly_new(self, mark: Mark) -> bool:
        """Whether over half of the logs' bytes, and over 1 MB, stand after `mark`: then reading all is faster."""
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
            return entries_from(sorted(flats, key=order_key))

    def day_begins(self, day: str, start: Mark) -> Mark:
        """Where to read the logs from to get every entry dated `day` or later; `start` is such a place for an earlier
        day."""
        return stretches.day_begins(self.folder, self._sizes(), day, start, self._days)

    def find(self, ending: str) -> list[Entry]:
        """The entries whose ids end with `ending`, in key order."""
        if layout.SNAPSHOT in (self._mark or {}):  # some entries stand in no log
            return [entry for entry in self.entries() if entry.id.endswith(ending)]
        return entries_from(sorted(stretches.ending(self.folder, self._sizes(), ending), key=order_key))

    def of_kind(self, kind: str) -> list[Entry]:
        """The entries of that kind, in key order."""
        if layout.SNAPSHOT in (self._mark or {}):
            return [entry for entry in self.entries() if entry.kind == kind]
        return entries_from(sorted(stretches.of_kind(self.folder, self._sizes(), kind), key=order_key))

    def sought(self, clues: Sequence[Clue], ids: Collection[str]) -> Iterator[list[Flat]]:
        """The entries that may have all these clues, or have one of the ids, as flat objects; others may be among
        them. They come some at a time, those written last before the others; a step without any comes too."""
        if layout.SNAPSHOT in (self._mark or {}):  # some entries stand in no log
            yield self.entries_raw()
        else:
            wanted = {entry_id.encode() for entry_id in ids}
            yield from stretches.sought(self.folder, self._sizes(), clues, wanted)

    def through(self, made: Callable[[Path, list[str], Damage, Lost], T]) -> T:
        """A passage through every entry of the book, such as a `Sweep`, which never holds all of them in memory."""
        return made(self.folder, [*self._sizes()], self._damage, self.only_in_snapshot)

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

    def find_repeats(self) -> None:
        """Looks for lines that stand twice in one log; they are told and set aside like damaged ones."""
        for name in layout.log_sizes(self._logs):
            try:
                with open_to_read(self.folder / layout.LOGS / name) as fd:
                    self._damage.add(name, repeated(fd))
            except OSError as error:
                raise trouble(error, "read", self.folder / layout.LOGS / name) from error

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
        return sorted([*once.values(), *lost], key=order_key), mark

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


def _replaced(name: str) -> Replaced:
    return Replaced(
        Problem(
            f"log/{clean(name)} was changed from outside since it was read; the book is read anew.",
            code="damaged",
        )
    )
