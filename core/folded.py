"""Keeps the farm in step with its book: from the cached fold when it can, from every entry when it must."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from core import cache
from core.book.book import Book, Replaced
from core.book.entry import Entry
from core.collecting import no_collecting
from core.farm import Farm
from core.fold import apply, as_of, fold, last_day

TAIL_MOST = 400
"""Entries after the base; beyond that the base moves on."""
TAIL_KEPT = 150
"""Entries left in the tail when the base moves on: so many can be struck without folding everything again."""
KEEP_EVERY = 20
"""New entries after which the cached fold is written again."""

STEP = 20_000
"""Entries folded between two words of progress."""
READING_SHARE = 0.5
"""How much of the work of folding a big book is reading it."""

Progress = Callable[[float], None]

_BEFORE_ALL = ("", "", "")
_EMPTY = cache.freeze(Farm())[0]


class Folded:
    """The farm of a book, kept true while entries are written here and elsewhere.

    `until` shows the book as of that day. `farm` is changed in place or replaced by `refresh` and `take`.
    `progress` is told the share done while everything is folded anew, which takes a big book a second or two.
    """

    def __init__(self, book: Book, until: date | None = None, progress: Progress | None = None) -> None:
        self._book = book
        self._progress = progress or (lambda _share: None)
        self._until = until.isoformat() if until else None
        self._at = cache.Cached(_EMPTY, cache.NOTHING_PAST, _BEFORE_ALL, [], None)
        self._kept = -1
        self._kept_logs: set[str] = set()
        self.farm = Farm()
        found = cache.read_cache(book.folder)
        if found is None:
            self._rebuild()
            return
        self._at = replace(found, past=replace(found.past, make=self._past_anew))
        self._kept, self._kept_logs = len(found.tail), set(found.mark)
        self.refresh()
        if not self.farm.count:
            self._refold()

    @property
    def tail(self) -> Sequence[Entry]:
        """The latest entries in order."""
        return self._at.tail

    def refresh(self) -> bool:
        """Read what others wrote since; whether there was anything."""
        try:
            new = self._book.entries_after(self._at.mark)
        except Replaced:
            self._rebuild()
            return True
        self.take(new)
        return bool(new)

    def take(self, entries: list[Entry]) -> None:
        """Bring entries into the farm that the book has just read or written."""
        self._take(entries, self._book.position())

    def _take(self, entries: list[Entry], mark: Any) -> None:
        self._at = replace(self._at, mark=mark)
        if not entries:
            return  # asked every second or two by an open screen: nothing is built for no news
        tail = self._at.tail
        here = {e.id: e for e in tail}
        new = sorted((e for e in entries if e.id not in here), key=lambda e: e.key)
        if not new:
            return
        here.update((e.id, e) for e in new)
        reaches_past = new[0].key <= self._at.base_key or any(_reaches_past(e, here) for e in new)
        if reaches_past and self._at.base_key != _BEFORE_ALL:
            self._rebuild()
            return
        simple = self.farm.count > 0 and self._until is None and all(e.kind != "strike" for e in new)
        if simple and new[0].key > (tail[-1].key if tail else self._at.base_key):
            tail.extend(new)
            self._apply(new)
        else:
            tail[:] = sorted([*tail, *new], key=lambda e: e.key)
            self._refold()

    def _apply(self, new: Sequence[Entry]) -> None:
        for entry in new:
            apply(self.farm, entry)
        self.farm.count += len(new)
        self.farm.last_on = max(self.farm.last_on, last_day(new))

    def _rebuild(self) -> None:
        """Fold every entry anew."""
        with no_collecting():
            self._progress(0)
            entries = self._book.entries()
            self._progress(READING_SHARE)
            cut = 0 if len(entries) <= TAIL_MOST else len(entries) - TAIL_KEPT
            base, past, key = _EMPTY, cache.NOTHING_PAST, _BEFORE_ALL
            if cut:
                key = entries[cut - 1].key
                base, past = cache.freeze(self._folded_in_steps(entries[:cut], _strikes(entries)))
            self._at = cache.Cached(base, past, key, entries[cut:], self._book.position())
            self._kept = -1
            self._refold()
            self._progress(1)

    def _folded_in_steps(self, entries: list[Entry], strikes: list[Entry]) -> Farm:
        farm = Farm()
        for begin in range(0, len(entries), STEP):
            fold(entries[begin : begin + STEP], onto=farm, strikes=strikes)
            self._progress(READING_SHARE + (1 - READING_SHARE) * (begin + STEP) / (len(entries) + STEP))
        return farm

    def _past_anew(self) -> str:
        """What was finished by the base, from the entries themselves."""
        entries = self._book.entries()
        key = self._at.base_key
        return cache.freeze(fold((e for e in entries if e.key <= key), strikes=_strikes(entries)))[1].make()

    def _refold(self) -> None:
        """The farm from the base and the tail, or from all the entries up to the day asked for."""
        at = self._at
        last = at.tail[-1].on if at.tail else at.base_key[0]
        if self._until is not None and self._until < last:
            self.farm = fold(as_of(self._book.entries(), self._until))
            return
        self.farm = fold(at.tail, onto=cache.thaw(at.base, at.past))

    def find(self, entry_id: str) -> list[Entry]:
        """Entries whose id is or ends with `entry_id`; all are read only where the tail has none."""
        here = [e for e in self._at.tail if e.id == entry_id]
        return here or [e for e in self._book.entries() if e.id.endswith(entry_id)]

    def would_be(self, entries: Sequence[Entry]) -> Farm:
        """The farm with these entries in it as well; nothing is changed."""
        at = self._at
        here = {e.id: e for e in [*at.tail, *entries]}
        if at.base_key != _BEFORE_ALL and any(
            entry.key <= at.base_key or _reaches_past(entry, here) for entry in entries
        ):
            return fold([*self._book.entries(), *entries])
        return fold([*at.tail, *entries], onto=cache.thaw(at.base, at.past))

    def keep(self) -> None:
        """Write the cached fold, where enough has come since it was last written, or another machine's log."""
        few = self._kept >= 0 and len(self._at.tail) - self._kept < KEEP_EVERY
        if few and self._kept_logs == set(self._at.mark):
            return
        if len(self._at.tail) > TAIL_MOST:
            self._move_base()
        kept = cache.write_cache(self._book.folder, self._at)
        self._at = replace(kept, past=replace(kept.past, make=self._past_anew)) if kept.past.path else kept
        self._kept, self._kept_logs = len(self._at.tail), set(self._at.mark)

    def _move_base(self) -> None:
        at = self._at
        cut = len(at.tail) - TAIL_KEPT
        farm = fold(at.tail[:cut], onto=cache.thaw(at.base, at.past), strikes=_strikes(at.tail))
        base, past = cache.freeze(farm)
        self._at = cache.Cached(base, past, at.tail[cut - 1].key, at.tail[cut:], at.mark)


def _strikes(entries: Sequence[Entry]) -> list[Entry]:
    return [e for e in entries if e.kind == "strike"]


def _reaches_past(entry: Entry, here: dict[str, Entry]) -> bool:
    """Whether a strike, followed to what it finally strikes, names something that is not `here`."""
    seen: set[str] = set()
    while entry.kind == "strike":
        named = here.get(str(entry.fields.get("entry")))
        if named is None:
            return True
        if named.id in seen:
            return False
        seen.add(named.id)
        entry = named
    return False
