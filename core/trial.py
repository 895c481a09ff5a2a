"""Entries on their way into the book: given their time of day, tried on the farm before they are written, each by
itself and with what came after, and told as sentences."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from core import fold as folding
from core.amend import AMENDING, CORRECT
from core.book import ids
from core.book.entry import Draft, Entry
from core.codes import GIVEN_TWICE
from core.farm import Farm
from core.folded import Folded
from core.guard import Guard
from core.kinds import sentence
from core.matters import matters_under
from core.problems import Matter, Problem, newly_open, raised
from core.subject import kind_of

if TYPE_CHECKING:
    from core.mending.fits import Fits


class Trial:
    """Entries on trial, on the farm of a session and by its person."""

    def __init__(self, folded: Folded, guard: Guard, by: str) -> None:
        self._folded, self._guard, self._by = folded, guard, by

    @staticmethod
    def timed(drafts: Iterable[Draft], today: str, clock: str | None) -> tuple[Draft, ...]:
        """The drafts with the time of day in those that are written as they happen, where their kinds have one."""
        return tuple(_timed(draft, today, clock) for draft in drafts)

    @staticmethod
    def told(entries: Iterable[Entry]) -> tuple[str, ...]:
        """What was written, each entry as a sentence."""
        return tuple(map(sentence, entries))

    def newest_ms(self, drafts: Iterable[Draft]) -> int:
        """The latest instant among the latest entries, and among corrections of what these drafts correct, in ms since
        1970 UTC; 0 where there are none."""
        seen = [ids.ms_of(entry.id) for entry in self._folded.tail]
        named = {str(draft.fields["entry"]) for draft in drafts if draft.kind == CORRECT}
        if named:
            amended = self._folded.amended
            seen += [ids.ms_of(row.id) for row in amended.by_id.values() if row.names in named]
        return max(seen, default=0)

    def wrong(self, drafts: tuple[Draft, ...], today: str) -> Problem | None:
        """Why these entries cannot be written on that day ("YYYY-MM-DD"), or None."""
        corrections = [draft for draft in drafts if draft.kind == CORRECT]
        if corrections:
            return self._uncorrectable(corrections, today)
        for n, draft in enumerate(drafts):
            problem = self._impossible(draft, today)
            if problem is not None and n:  # those before it in the same writing may make it possible
                _, farm = self._folded.would_be(self._trials(drafts[:n]))
                problem = self._impossible(draft, today, farm)
            if problem is not None:
                return problem
        # written late, they must also fit what came after them
        late = [d for d in drafts if d.on < self._folded.farm.last_on and not _is_timeless(d)]
        if late:
            return self.new_matter(late, f"Written on {late[0].on} it would not fit what came after it")
        return None

    def _impossible(self, draft: Draft, today: str, farm: Farm | None = None) -> Problem | None:
        """Why the farm (as it stands where none is given) cannot have an entry; one that cannot be checked is not
        written either."""
        return self._guard(
            "Nothing is written: whether it can be",
            lambda: folding.check(self._folded.farm if farm is None else farm, draft, today),
            lambda problem: problem,
        )

    def _uncorrectable(self, corrections: list[Draft], today: str) -> Problem | None:
        """Why entries cannot be corrected so: what they would be cannot be, or something rests on what they are."""
        for draft in corrections:
            if problem := self._impossible(draft, today):
                return problem
        trials = self._trials(corrections)
        problem = self._guard(
            "Nothing is written: whether it can be corrected",
            lambda: self._fits.why_not(corrections, trials, today),
            lambda problem: problem,
        )
        if problem is not None:
            return problem
        new = newly_open(*self._settled(trials))
        return self._fits.not_corrected(new) if new else None

    def new_matter(self, drafts: Iterable[Draft], why: str) -> Problem | None:
        """A matter to settle that these entries together would raise."""
        new = raised(*self._settled(self._trials(drafts)))
        return Problem(f"{why}: {new[0].sentence}", "impossible") if new else None

    def not_taken_back(self, said: str, strikes: Iterable[Draft]) -> Problem | None:
        """Why what is `said` cannot be struck so: something rests on it."""
        new = newly_open(*self._settled(self._trials(strikes)))
        return self._fits.not_taken_back(said, new) if new else None

    @property
    def _fits(self) -> Fits:
        from core.mending.fits import Fits  # loaded only where something is corrected or taken back

        return Fits(self._folded)

    def _settled(self, trials: list[Entry]) -> tuple[list[Matter], list[Matter]]:
        """What is to settle without these entries, and with them."""
        before, after = self._folded.would_be(trials)
        return self._matters(before), self._matters(after)

    def _matters(self, farm: Farm) -> list[Matter]:
        """Without codes given twice: no entry written here gives one, and nothing rests on what they are called."""
        return [m for m in matters_under(self._guard, farm) if m.key[:1] != (GIVEN_TWICE,)]

    def _trials(self, drafts: Iterable[Draft]) -> list[Entry]:
        """The entries that drafts would become."""
        drafts = list(drafts)
        now = ids.at_text(ids.next_ms(ids.now_ms(), self.newest_ms(drafts)))
        return [
            Entry(f"trial {n:04d}", draft.on, now, self._by, draft.kind, draft.fields)
            for n, draft in enumerate(drafts)
        ]


def _is_timeless(draft: Draft) -> bool:
    """Whether it need not fit what came after it: a reading of the weather, and what amends another entry."""
    kind = kind_of(draft.kind, draft.fields)
    return draft.kind in AMENDING or (kind is not None and kind.is_reading)


def _timed(draft: Draft, today: str, clock: str | None) -> Draft:
    """The draft with the time of day in it, where its kind has one and it is written as it happens."""
    known = kind_of(draft.kind, draft.fields)
    if clock is None or known is None or "clock" not in known.fields or "clock" in draft.fields:
        return draft
    return draft if draft.on != today else replace(draft, fields={**draft.fields, "clock": clock})
