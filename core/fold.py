"""The fold: entries in, the farm as it stands out. A pure function of the set of entries, whatever their order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from operator import attrgetter

from core import settings
from core.amend import AMENDING, amendments, named_by
from core.book.entry import Draft, Entry
from core.drying import shelf, weighing
from core.farm import Farm
from core.growing import beds, trays
from core.kinds import problem_with
from core.pieces import rules as pieces
from core.pieces import wiring
from core.planning import plans
from core.problems import Matter, Problem
from core.rules import Rule
from core.sense import is_farm_day, nonsense
from core.shed import rules as shed_rules
from core.stems import boxes, cutting, ledger


def _check_lost(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["count"] < 1:
        return Problem("A loss is at least one.", "impossible")
    if "lot" in draft.fields:
        return ledger.check_lost(farm, draft)
    if "tray" in draft.fields:
        return trays.check_leaving(farm, draft, draft.fields["count"])
    if "planting" in draft.fields:
        return beds.check_loss(farm, draft)
    return Problem("Say what was lost: a lot (L041), a tray (S12), or a crop in a bed.", "unreadable")


def _lost(farm: Farm, entry: Entry) -> None:
    if "lot" in entry.fields:
        ledger.lose(farm, entry)
    elif "tray" in entry.fields:
        trays.lose(farm, entry)
    elif "planting" in entry.fields:
        beds.lose(farm, entry)


def _used(farm: Farm, entry: Entry) -> None:
    ledger.RULES["used"].apply(farm, entry)
    pieces.note_used(farm, entry)


def _nothing(_farm: Farm, _entry: Entry) -> None:
    """A strike says nothing of the farm: it does its work before the fold, in core.amend."""


RULES: Mapping[str, Rule] = {
    **settings.RULES,
    **trays.RULES,
    **beds.RULES,
    **cutting.RULES,
    **ledger.RULES,
    **shelf.RULES,
    **weighing.RULES,
    **shed_rules.RULES,
    **wiring.RULES,
    **boxes.RULES,
    **pieces.RULES,
    **plans.RULES,
    "lost": Rule(_lost, _check_lost),
    "used": Rule(_used, ledger.RULES["used"].check),
    "strike": Rule(_nothing),
}


def check(farm: Farm, draft: Draft, today: str) -> Problem | None:
    """Why `draft` cannot be written on this farm today ("YYYY-MM-DD"), or None. Strikes are checked at the door."""
    from core.units import day_from_iso

    if problem := problem_with(draft.kind, draft.fields):
        return problem
    if day_from_iso(draft.on) is None:
        return Problem(f"'{draft.on}' is no day: write it as 2026-06-23.", "unreadable")
    if draft.on > today:
        return Problem(f"{draft.on} is still to come: today is {today}.", "impossible", (today,))
    # what the fold would leave out is not written either
    return RULES[draft.kind].check(farm, draft) or nonsense(draft)


DESCRIBES = (
    "farm",
    "frost",
    "risk",
    "station",
    "bed",
    "sheet",
    "capacity",
    "line",
    "box",
    "recipe",
    "part",
    "reorder",
)
"""Kinds that say how the farm is, not what happened on it."""

_ORDER = attrgetter("on", "at", "id")


def fold(entries: Iterable[Entry], onto: Farm | None = None) -> Farm:
    """The farm that `entries` make, on top of `onto` (changed in place) when that is given.

    With `onto`, every entry must come after those already in it, and what they amend must be among them.
    """
    entries = list(entries)
    farm = Farm() if onto is None else onto
    amended = amendments(entries)
    take_in(farm, amended.counting(entries))
    farm.count += len(entries)
    farm.matters = [*amended.matters(), *farm.matters]
    return farm


def take_in(farm: Farm, counting: Iterable[Entry]) -> None:
    """Apply entries that count and come after all that the farm holds, in their order."""
    ordered = sorted(counting, key=_ORDER)
    for entry in ordered:
        apply(farm, entry)
    farm.last_on = max(farm.last_on, last_day(ordered))


def last_day(ordered: Sequence[Entry]) -> str:
    """The day of the last of these entries; one whose day is none does not count, "" where all are so."""
    return next((entry.on for entry in reversed(ordered) if is_farm_day(entry.on)), "")


def apply(farm: Farm, entry: Entry) -> None:
    """Take one entry into the farm; one that makes no sense is a matter to settle, never an exception."""
    rule = RULES.get(entry.kind)
    if rule is None:
        farm.note_matter(
            f"'{entry.kind}' is a kind of entry this shedbook does not know: update it.",
            entry.id,
            "unknown kind",
        )
        return
    if wrong := nonsense(entry):
        farm.note_matter(f"An entry could not be read: {wrong.sentence}", entry.id, "unreadable")
        return
    try:
        rule.apply(farm, entry)
        plans.fill(farm, entry)
    except (KeyError, TypeError, ValueError, AttributeError, ArithmeticError):
        farm.note_matter("An entry could not be read: its fields make no sense.", entry.id, "unreadable")


def is_there(entry: Entry, day: str) -> bool:
    """Whether an entry that counts is in the farm as of `day` ("YYYY-MM-DD").

    What happened later is left out. What describes the farm (its place, frost dates, beds and own figures) holds
    for any day, so that beds written in the autumn are there when the summer is written up.
    """
    return entry.on <= day or entry.kind in DESCRIBES


def as_of(entries: Sequence[Entry], day: str) -> list[Entry]:
    """The entries to be told when the book is read as of `day` ("YYYY-MM-DD"), struck ones too.

    An amendment comes with what it amends, whenever it was written: what is struck now was struck then.
    """
    told = {e.id for e in entries if is_there(e, day)}
    amending = [e for e in entries if e.kind in AMENDING]
    while more := {e.id for e in amending if named_by(e) in told} - told:
        told |= more  # a strike of such an entry, a strike of that strike, and so on
    return [e for e in entries if e.id in told]


def matters(farm: Farm) -> list[Matter]:
    """All that does not add up and wants settling: what the fold came upon, and what stands crowded in the beds."""
    return [*farm.matters, *beds.crowded(farm)]
