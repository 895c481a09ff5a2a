"""Taking back what was written: any entry by its id, the last line by undo. It is a strike, written as one."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

from core.book.book import Book
from core.book.entry import Draft, Entry
from core.folded import Folded
from core.problems import Problem
from core.settings.local_time import day_there, zone
from core.trial import Trial
from core.undoing import (
    BY_UNDO,
    OF_A_TABLE,
    TOGETHER,
    LastLine,
    Now,
    as_shown,
    how_restored,
    last_line,
    of_one_line,
    of_one_table,
    said_of,
    struck_by,
    struck_said,
    the_one,
    written_since,
)

if TYPE_CHECKING:
    from collections.abc import Container

    from core.session import Session, Written

FARTHEST = 2_000
"""Writings among which undo looks for one of hers."""


class TakingBack:
    """What the person of a session takes back; `signed` are ids of what she wrote and signed for somebody else."""

    def __init__(
        self, session: Session, book: Book, folded: Folded, trial: Trial, signed: Container[str]
    ) -> None:
        self._session, self._book, self._folded, self._trial = session, book, folded, trial
        self._signed = signed

    def strike(self, entry_id: str) -> Written | Problem:
        """Strike the entry with that id (its last characters will do); a struck strike restores."""
        entry_id, gone = entry_id.strip().lower(), self._folded.amended.gone
        entry = the_one(entry_id, self._folded.find(entry_id) if len(entry_id) >= 4 else [])
        if isinstance(entry, Problem):
            return entry
        kind = (struck_by(entry, self._folded.find) if entry.kind == "strike" else entry).kind
        if entry.kind in OF_A_TABLE:
            return self._strike(of_one_table(entry, self._book.entries(), gone))
        if kind not in TOGETHER:
            return self._strike([entry])
        return self._strike(of_one_line(entry, self._book.entries(), gone))

    def last_line(self) -> LastLine | Problem:
        """What undo would take back: what this person wrote last on this machine, whatever day it is about."""
        session = self._session
        writings = islice(self._book.own_writings(), FARTHEST)
        found = last_line(writings, session.by, self._folded.amended.gone, self._signed)
        if found is None:
            return Problem(
                "There is nothing left to undo here; 'cancel ID' takes back an older entry.", "impossible"
            )
        now = Now(session.today, day_there(session.farm), zone(session.farm))
        return as_shown(*found, self._folded.latest(), self._folded.as_they_count, now)

    def undo(self, last: LastLine | None, *, sure: bool) -> Written | Problem:
        """Take back the last line, or the one that was shown as the last.

        What undo asks about first (`LastLine.because`) it takes back only where it was shown or she is `sure`.
        """
        if last is None:
            found = self.last_line()
            if isinstance(found, Problem):
                return found
            if found.because and not sure:
                done, do = ("restored", "restore it") if found.restores else ("taken back", "take it back")
                return Problem(
                    f"Not {done} yet, for {found.because}: {'; '.join(found.says)} ({found.whose}). "
                    f"Write 'undo yes' to {do}.",
                    "impossible",
                )
            undone = self._strike(list(found.entries), is_newest=found.is_newest, by_undo=True)
            return undone if isinstance(undone, Problem) else replace(undone, remarks=(found.whose,))
        is_newest = last.is_newest and not written_since(last.entries, self._folded.latest())
        return self._strike(list(last.entries), is_newest=is_newest, by_undo=True)

    def _strike(
        self, targets: list[Entry], *, is_newest: bool = False, by_undo: bool = False
    ) -> Written | Problem:
        """Strike these; where they are not the newest there is, only if nothing rests on them."""
        today = self._session.today.isoformat()
        amended = self._folded.amended
        if not amended.gone.isdisjoint(target.id for target in targets):
            how = how_restored(targets, amended)
            return Problem(f"That entry was taken back already.{how}", "impossible")
        # nothing rests on a figure of a sheet: one that it stood in for may stand wrong again
        may_bear = not is_newest and any(target.kind != "sheet" for target in targets)
        flags = {BY_UNDO: True} if by_undo else {}
        known = amended.corrections()
        strikes = [
            Draft("strike", today, {"entry": target.id, "known_corrections": known[target.id], **flags})
            for target in targets
        ]
        find = self._folded.as_they_count
        if may_bear and (problem := self._trial.not_taken_back(said_of(targets[:1], find)[0], strikes)):
            return problem
        written = self._session.record(strikes)
        if isinstance(written, Problem):
            return written
        return replace(written, says=struck_said(targets, find, self._folded.amended))
