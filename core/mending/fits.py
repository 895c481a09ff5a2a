"""Whether an entry can be corrected so: what it would say must be possible in its place, what rests on it must fit."""

from __future__ import annotations

from collections.abc import Sequence

from core.amend import AMENDING, Amendments, with_fields
from core.book.entry import Draft, Entry
from core.folded import Folded
from core.kinds import sentence
from core.mending.fields import COUNTS
from core.problems import Matter, Problem
from core.shared_codes import SharedCodes
from core.subject import kind_of
from core.units import ID_SHOWN, dated_text, day_from_iso, day_text
from core.validity import invalid


class Fits:
    """What corrections and strikes would leave standing on the farm of a session."""

    def __init__(self, folded: Folded) -> None:
        self._folded = folded

    def why_not(self, drafts: Sequence[Draft], as_written: Sequence[Entry], today: str) -> Problem | None:
        """Why what corrections that come together name cannot be as they say; None where all can.

        Each is checked as it would be written in its place. `as_written` are the entries that the drafts would become.
        """
        folded = self._folded
        named = {entry.id: entry for entry in folded.found({str(draft.fields["entry"]) for draft in drafts})}
        amended = folded.amended.and_of(as_written)
        for draft in drafts:
            if problem := _why_not_one(draft, named.get(str(draft.fields["entry"])), folded, amended, today):
                return problem
        called = SharedCodes(folded.farm)
        for then, there in folded.before_each([*named.values()], amended):
            kind = kind_of(then.kind, then.fields)
            if kind is None:
                return Problem("A newer shedbook wrote that entry: update this one to correct it.", "newer")
            fields = called.of(then).fields  # by a code of its own, where machines apart gave one twice
            if problem := invalid(then) or kind.check(there, Draft(then.kind, then.on, fields)):
                return problem
        return None

    def not_corrected(self, new: Sequence[Matter]) -> Problem:
        """The refusal of a correction that would raise these matters."""
        return self._no_longer_fits(new, "Not corrected", "Correct that first")

    def not_taken_back(self, said: str, new: Sequence[Matter]) -> Problem:
        """The refusal to take back what is `said`, which would raise these matters."""
        why = f"'{said}' cannot be taken back before what rests on it"
        return self._no_longer_fits(new, why, "Take that back first, or correct it")

    def _no_longer_fits(self, new: Sequence[Matter], why: str, do: str) -> Problem:
        """By the name of the entry that would be at fault; how many more there are is said."""
        matter = new[0]
        at_fault = next(iter(self._folded.as_they_count(matter.entry)), None) if matter.entry else None
        if at_fault is None:
            return Problem(f"{why}, for then: {matter.sentence}", "impossible")
        named = at_fault.id[-ID_SHOWN:]
        field = next((name for name in COUNTS if name in at_fault.fields), "")
        left = at_fault.fields[field] - matter.amount if field else 0
        line = f"{named} was {left:g}" if left >= 1 and matter.amount else ""
        more = len({other.entry for other in new if other.entry} - {at_fault.id})
        and_more = f", nor would {more} more" if more else ""
        how = f"{do}: {line}." if line else f"{do}."
        return Problem(
            f"{why}: '{sentence(at_fault)}' ({day_text(at_fault.on)}, {named}) would no longer fit{and_more}. {how}",
            "impossible",
            (line,) if line else (),
        )


def _why_not_one(
    draft: Draft, named: Entry | None, folded: Folded, amended: Amendments, today: str
) -> Problem | None:
    if named is None or named.kind in AMENDING:
        return Problem("There is no entry to be corrected: 'entries' lists them with their ids.", "unknown")
    was = folded.amended.as_it_counts(named)
    if named.id in folded.amended.gone:
        return Problem(f"'{sentence(was)}' was taken back: restore it before it is corrected.", "impossible")
    if was.kind == "made" and draft.fields["now"].keys() & {"count", "recipe", "piece"}:
        return Problem(
            "What went into pieces does not change with their number: cancel that line and write 'make' again.",
            "impossible",
        )
    then = with_fields(was, draft.fields["now"])
    if day_from_iso(then.on) is None or then.on > today:
        return Problem(
            f"{dated_text(then.on)} is still to come: today is {dated_text(today)}.", "impossible", (today,)
        )
    if amended.as_it_counts(named) != then:
        return Problem(
            "A machine whose clock is half a day ahead or more corrected that: it would stand above this one. "
            "Take that one back first ('history' tells its id).",
            "impossible",
        )
    return None
