"""Keeps the farm in step with its book: from the cached fold when it can, from every entry when it must."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import date

from core import cache, late_fold
from core.amend import AMENDING, Amendments, amendments
from core.book import layout
from core.book.book import Book
from core.book.entry import Entry
from core.book.layout import Mark
from core.book.logs import Replaced
from core.cache import Cached, Key, Point
from core.collecting import no_collecting
from core.farm import Farm
from core.past import Damaged, Part, Past, Text, encode
from core.points import cuts, thinned
from core.problems import Matter

TAIL_MOST = 400
"""Entries after the base; beyond that the base moves on."""
TAIL_KEPT = 150
"""Entries left in the tail when the base moves on: so many can be struck without going back to an older point."""
KEEP_EVERY = 20
"""New entries after which the cached fold is written again."""
STEP = 20_000
"""Entries from one point to the next, at most; of the newer ones half as far as they lie back."""
READING_SHARE = 0.5
"""How much of the work of folding a big book is reading it."""
SOUGHT_SINGLY = 20
"""Entries that are looked for one by one in the logs; for more of them the logs are read."""

Progress = Callable[[float], None]


class Folded:
    """The farm of a book, kept true while entries are written here and elsewhere.

    `until` shows the book as of that day. `farm` is changed in place or replaced by `refresh` and `take`.
    `progress` is told the share done while much is folded anew, which takes a big book some seconds.
    """

    def __init__(self, book: Book, until: date | None = None, progress: Progress | None = None) -> None:
        self._book = book
        self.progress = progress or (lambda _share: None)
        self._until = until.isoformat() if until else None
        self._at = Cached((), [], {}, 0)
        self._amended: Amendments | None = None
        self._read: tuple[Key, list[Entry]] | None = None  # the entries after a point, as they were read last
        self._kept, self._kept_logs = -1, set[str]()
        self._is_broken = False
        self._is_whole = False  # whether `farm` is that of all entries
        self.farm = Farm()
        if (found := cache.read_cache(book.folder)) is None:
            self._rebuild()
            return
        self._at = found
        self._kept, self._kept_logs = len(found.tail), set(found.mark)
        self._refold_from_here()
        self.refresh()
        if not self.farm.count:
            self._refold()

    # reading

    @property
    def tail(self) -> Sequence[Entry]:
        """The latest entries in order, struck ones and strikes included."""
        return self._at.tail

    @property
    def mark(self) -> Mark:
        """How far into the logs the farm reaches."""
        return self._at.mark

    @property
    def amended(self) -> Amendments:
        """All that amends in the book, and what counts no more."""
        if self._amended is None:
            self._amended = Amendments.of(self._at.amendments())
        return self._amended

    def latest(self) -> list[Entry]:
        """The latest entries that are in the farm as it is shown, in order."""
        return self._shown(self.amended.counting(self._at.tail))

    def before_each(self, entries: Sequence[Entry], amended: Amendments) -> Iterator[tuple[Entry, Farm]]:
        """Each of these as it counts by these amendments, in their order, and the farm as it stood just before it.

        What describes the farm is there from the beginning. The farm is used again for the next: look, then go on.
        """
        asked, was = {entry.id for entry in entries}, self.amended
        place = min(min(was.place(e), amended.place(e)) for e in entries)
        try:
            after, farm = self._from_before(place)
        except Damaged:
            self._rebuild()
            after, farm = self._from_before(place)
        after = amended.ordered(after)
        late_fold.take_in(farm, [e for e in after if late_fold.describes(e.kind)], amended)
        waiting: list[Entry] = []
        for entry in after:
            if entry.id in asked:
                late_fold.take_in(farm, waiting, amended)
                waiting.clear()
                yield amended.as_it_counts(entry), farm
            if not late_fold.describes(entry.kind):
                waiting.append(entry)

    def _from_before(self, place: Key) -> tuple[list[Entry], Farm]:
        """The farm at the newest point before a place in the order, and the entries after that point."""
        number = self._point_before(place)
        return self._after(number), self._thawed(self._at.points[: number + 1])

    def entries(self) -> list[Entry]:
        """Every entry of the book as far as the farm was made of it, in order."""
        if layout.SNAPSHOT in self._at.mark:  # some stand in no log
            return self._book.entries()
        return self._book.entries_between({}, self._at.mark)

    def find(self, entry_id: str) -> list[Entry]:
        """Entries whose id is or ends with `entry_id`."""
        here = [e for e in self._at.tail if e.id == entry_id]
        return here or self._book.find(entry_id)

    def of_kind(self, kind: str) -> list[Entry]:
        """The entries of that kind that count, as they do, in order."""
        return self.amended.ordered(self.amended.counting(self._book.of_kind(kind)))

    def as_they_count(self, *ids: str) -> list[Entry]:
        """The entries whose id is or ends with that one, or those of several whole ids, as corrected, in order."""
        found = self.find(ids[0].lower()) if len(ids) == 1 else self.amended.ordered(self.found(set(ids)))
        return [self.amended.as_it_counts(entry) for entry in found]

    def would_be(self, entries: Sequence[Entry]) -> tuple[Farm, Farm]:
        """(the farm of the whole book, what it would be with these entries in it); nothing is changed."""
        amended = self.amended.and_of(entries)
        touched = self._first_touched(entries, amended)
        try:
            number = len(self._at.points) - 1 if touched is None else self._point_before(touched)
            every = [*self._after(number), *entries]
            after = self._folded_on(number, every, amended, amended.matters())
            before = self.farm if self._is_whole else self.whole()
        except Damaged:
            self._rebuild()
            return self.would_be(entries)
        return before, after

    # keeping in step

    def refresh(self) -> bool:
        """Read what others wrote since; whether there was anything."""
        if self._book.is_mostly_new(self._at.mark):
            self._rebuild()
            return True
        try:
            new = self._book.entries_after(self._at.mark)
        except Replaced:
            self._rebuild()
            return True
        self.take(new)
        return bool(new)

    def take(self, entries: list[Entry]) -> None:
        """Bring entries into the farm that the book has just read or written."""
        self._at = at = self._at._replace(mark=self._book.position())
        if not entries:
            return  # asked every second or two by an open screen: nothing is built for no news
        here = {e.id for e in at.tail}
        new = [e for e in entries if e.id not in here]
        if not new:
            return
        known, amended = self.amended, self.amended.and_of(new)
        new = amended.ordered(new)
        touched = self._first_touched(new, amended)
        self._amend(amended)
        self._count_in(new)
        if touched is not None and touched <= at.base_key:
            self._go_back(touched)
        elif amended is known and self._follows(new):
            at.tail.extend(new)
            late_fold.take_in(self.farm, new, amended)
            self.farm.count = self._at.in_all
        else:
            base, place = at.base_key, amended.place
            at.tail[:] = amended.ordered([*at.tail, *(e for e in new if place(e) > base)])
            self._refold()

    def _follows(self, new: Sequence[Entry]) -> bool:
        """Whether new entries come after all that the farm as it is shown was made of."""
        is_shown = self._until is None or (self._is_whole and all(entry.on <= self._until for entry in new))
        return self.farm.count > 0 and is_shown and self.amended.place(new[0]) > self._last_key()

    def _first_touched(self, new: Iterable[Entry], amended: Amendments) -> Key | None:
        """Where in the order the farm may come out otherwise with `new` entries; None where it cannot.

        What amends has no place of its own: that of what it amends counts.
        """
        keys = [amended.place(e) for e in new if e.kind not in AMENDING]
        changed = amended.changed_from(self.amended).difference(amended.by_id)
        for entry in self.found(changed.difference(e.id for e in new)):
            keys += (self.amended.place(entry), amended.place(entry))
        return min(keys, default=None)

    def found(self, ids: set[str]) -> list[Entry]:
        """The entries of these ids, as far as the book has them."""
        here = [e for e in self._at.tail if e.id in ids]
        sought = ids.difference(e.id for e in here)
        if len(sought) > SOUGHT_SINGLY:
            return [*here, *(e for e in self.entries() if e.id in sought)]
        return [*here, *(e for entry_id in sought for e in self._book.find(entry_id) if e.id == entry_id)]

    def _amend(self, amended: Amendments) -> None:
        if amended is not self._amended:
            rows = encode([*map(list, amended.by_id.values())])
            self._at = self._at._replace(amended=rows, wrong=tuple(amended.matters()))
        self._amended = amended

    def _count_in(self, new: Sequence[Entry]) -> None:
        at, place = self._at, self.amended.place
        points = tuple(p._replace(place=p.place + sum(place(e) <= p.key for e in new)) for p in at.points)
        if self._read is not None:
            after, entries = self._read
            self._read = after, [*entries, *(e for e in new if place(e) > after)]
        self._at = at._replace(
            points=points, in_all=at.in_all + len(new), disagrees=at.disagrees or self._book.disagrees
        )

    # folding

    def _rebuild(self) -> None:
        """Fold every entry anew."""
        with no_collecting():
            self.progress(0)
            entries = self._book.entries()
            self._at = Cached((), [], self._book.position(), 0, disagrees=self._book.disagrees)
            self._read = None
            self._amend(amendments(entries))
            self._is_broken = False
            self._build(entries, READING_SHARE)
            self.progress(1)

    def _go_back(self, touched: Key) -> None:
        """Fold on anew from the newest point before the place that was touched."""
        number = self._point_before(touched)
        if number < 0:
            self._rebuild()
            return
        try:
            with no_collecting():
                self.progress(0)
                after = self._after(number)
                self._at = self._at._replace(points=self._at.points[: number + 1])
                self._build(after, 0)
                self.progress(1)
        except Damaged:
            self._rebuild()

    def _build(self, entries: list[Entry], begun: float) -> None:
        """Fold `entries` on the last point, making points on the way; `begun` is the share of the work done before."""
        points = [*self._at.points]
        place = points[-1].place if points else 0
        entries = self.amended.ordered(entries)
        farm = self._thawed(points)
        at = 0
        for cut in cuts(len(entries), step=STEP, most=TAIL_MOST, left=TAIL_KEPT):
            late_fold.take_in(farm, entries[at:cut], self.amended)
            at = cut
            points.append(self._point(farm, points, self.amended.place(entries[at - 1]), place + at))
            farm = self._thawed(points)
            self.progress(begun + (1 - begun) * at / (len(entries) + 1))
        self._at = self._at._replace(points=tuple(points), tail=entries[at:], in_all=place + len(entries))
        self._kept = -1
        self._read = None
        self._refold()

    def _point(self, farm: Farm, before: Sequence[Point], key: Key, place: int) -> Point:
        live, part = cache.freeze_since(farm)
        since = self._book.day_begins(key[0], before[-1].since if before else {})
        return Point(key, place, since, Text(live.encode()), part)

    def _refold(self) -> None:
        """The farm as it is shown, from the last point that will do."""
        at = self._at
        self._is_whole = self._until is None or self._until >= self._last_key()[0]
        try:
            if self._until is not None and not self._is_whole:
                number = sum(p.key[0] <= self._until for p in at.points) - 1
                entries = self._shown(self._after(number))
                self.farm = self._folded_on(number, entries, self.amended, at.wrong)
                # a code given on a later day is given: what is written now takes none of them
                for letter, most in self.whole().codes.items():
                    self.farm.codes[letter] = max(most, self.farm.codes.get(letter, 0))
            else:
                self.farm = self.whole()
        except Damaged:
            self._rebuild()

    def _refold_from_here(self) -> None:
        """The farm as it was kept with its tail folded, where that is what is to be shown."""
        at = self._at
        if at.here is not None and (self._until is None or self._until >= self._last_key()[0]):
            with suppress(Damaged, ValueError, KeyError, TypeError):
                self.farm = self._thawed(at.points, at.here)
                self._is_whole = True

    def _last_key(self) -> Key:
        """The place of the last entry in the order."""
        return self._light().place(self._at.tail[-1]) if self._at.tail else self._at.base_key

    def whole(self) -> Farm:
        """The farm of all entries, whatever day the book is read as of."""
        return self._folded_on(len(self._at.points) - 1, self._at.tail, self._light(), self._at.wrong)

    def _light(self) -> Amendments:
        """As much of the amendments as the tail needs: the morning page needs no more."""
        if self._amended is not None:
            return self._amended
        return Amendments(gone=self._at.gone, now=self._at.now)

    def _shown(self, entries: list[Entry]) -> list[Entry]:
        until, as_it_counts = self._until, self.amended.as_it_counts
        return [e for e in entries if until is None or late_fold.is_there(as_it_counts(e), until)]

    def _folded_on(
        self, number: int, entries: Sequence[Entry], amended: Amendments, wrong: Sequence[Matter]
    ) -> Farm:
        farm = self._thawed(self._at.points[: number + 1])
        if entries:
            late_fold.take_in(farm, entries, amended)
        farm.count = self._at.in_all
        farm.matters = [*wrong, *farm.matters]
        return farm

    def _point_before(self, place: Key) -> int:
        """The number of the newest point before a place in the order; -1 where all must be folded."""
        at = self._at
        number = sum(p.key < place for p in at.points) - 1
        if number < len(self._at.points) - 1 and (layout.SNAPSHOT in at.mark or at.disagrees):
            return -1  # what follows a point cannot be read by itself
        return number

    def _after(self, number: int) -> list[Entry]:
        """The entries after a point."""
        if number == len(self._at.points) - 1:
            return self._at.tail
        if number < 0:
            return self.entries()
        point = self._at.points[number]
        if self._read is None or self._read[0] != point.key:
            read = self._book.entries_between(point.since, self._at.mark)
            # days corrected take entries out of the part that is read, and into it
            read += self.found(set(self.amended.moved().difference(e.id for e in read)))
            self._read = point.key, [e for e in read if self.amended.place(e) > point.key]
        return self._read[1]

    def _thawed(self, points: Sequence[Point], here: Text | None = None) -> Farm:
        """The farm as it stood at the last of these points, or as `here` has it since."""
        text = here or (points[-1].live if points else None)
        if text is None:
            return Farm()
        past = Past([p.part for p in points], lambda: self._past_anew(points[-1].key)) if points else None
        return cache.thaw(text.read(), past)

    def _past_anew(self, key: Key) -> Part:
        """What was finished by a point, from the entries themselves, where the files of the cached fold are gone."""
        self._is_broken = True
        farm = Farm()
        late_fold.take_in(farm, [e for e in self.entries() if self.amended.place(e) <= key], self.amended)
        return cache.freeze_since(farm)[1]

    # keeping it for the next time

    def keep(self) -> None:
        """Write the cached fold, where enough has come since it was last written, or another machine's log."""
        if self._is_broken:
            self._rebuild()
        few = self._kept >= 0 and len(self._at.tail) - self._kept < KEEP_EVERY
        if few and self._kept_logs == set(self._at.mark):
            return
        with suppress(Damaged):
            if len(self._at.tail) > TAIL_MOST:
                self._move_base()
            tail = {e.id for e in self._at.tail}
            gone = self.amended.gone.intersection(tail)
            now = {named: fields for named, fields in self.amended.now.items() if named[0] in tail}
            at = self._at._replace(gone=gone, now=now)
            self._at = cache.write_cache(self._book.folder, at, self.whole())
        self._kept, self._kept_logs = len(self._at.tail), set(self._at.mark)

    def _move_base(self) -> None:
        at = self._at
        cut = len(at.tail) - TAIL_KEPT
        farm = self._thawed(at.points)
        late_fold.take_in(farm, at.tail[:cut], self.amended)
        point = self._point(farm, at.points, self.amended.place(at.tail[cut - 1]), at.in_all - TAIL_KEPT)
        self._at = at._replace(points=thinned([*at.points, point], at.in_all, step=STEP), tail=at.tail[cut:])
