"""The fold: entries in, the farm as it stands out. A pure function of the set of entries, whatever their order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from operator import attrgetter

from core import settings
from core.book.entry import Draft, Entry
from core.drying import shelf, weighing
from core.farm import Farm
from core.growing import beds, trays
from core.kinds import CODE_LONGEST, problem_with
from core.pieces import rules as pieces
from core.pieces import wiring
from core.planning import plans
from core.problems import Problem
from core.rules import Rule
from core.sense import is_farm_day, is_newer, nonsense
from core.shed import rules as shed_rules
from core.stems import boxes, cutting, ledger
from core.text import clean


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
    """A strike does its work before the fold: see `struck`."""


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


def struck(strikes: Sequence[Entry]) -> tuple[set[str], list[str]]:
    """(ids that count no more, ids of strikes that strike each other in a ring and so do nothing).

    An entry is struck when a strike that is not itself struck names it; so a strike of a strike restores.
    """
    waiting = {s.id: 0 for s in strikes}
    target = {s.id: named_by(s) for s in strikes}
    for named in target.values():
        if named in waiting:
            waiting[named] += 1
    ready = [s for s, strikers in waiting.items() if strikers == 0]
    gone: set[str] = set()
    settled = 0
    while ready:
        striker = ready.pop()
        settled += 1
        named = target[striker]
        if striker not in gone and named:
            gone.add(named)
        if named in waiting:
            waiting[named] -= 1
            if waiting[named] == 0:
                ready.append(named)
    ring = [] if settled == len(waiting) else [s for s, strikers in waiting.items() if strikers > 0]
    return gone - set(ring), ring


def named_by(strike: Entry) -> str:
    """The id a strike names; "" where it names none."""
    named = strike.fields.get("entry")
    return named if isinstance(named, str) else ""


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


def fold(entries: Iterable[Entry], onto: Farm | None = None, strikes: Iterable[Entry] | None = None) -> Farm:
    """The farm that `entries` make, on top of `onto` (changed in place) when that is given.

    With `onto`, every entry must come after those already in it. `strikes` are all the strikes that count; left
    out, those among `entries`.
    """
    farm = Farm() if onto is None else onto
    ordered = sorted(entries, key=_ORDER)
    counting = [e for e in ordered if e.kind == "strike"] if strikes is None else list(strikes)
    gone, ring = struck(counting) if counting else (set(), [])
    for entry_id in ring:
        farm.note_matter(
            "Strikes that strike each other in a ring do nothing: strike the entry anew.", entry_id
        )
    for entry in ordered:
        if entry.id not in gone:
            apply(farm, entry)
    farm.count += len(ordered)
    farm.last_on = max(farm.last_on, last_day(ordered))
    return farm


def last_day(ordered: Sequence[Entry]) -> str:
    """The day of the last of these entries; one whose day is none does not count, "" where all are so."""
    return next((entry.on for entry in reversed(ordered) if is_farm_day(entry.on)), "")


def apply(farm: Farm, entry: Entry) -> None:
    """Take one entry into the farm; one that makes no sense is a matter to settle, never an exception."""
    rule = RULES.get(entry.kind)
    newer = is_newer(entry)
    if newer:
        farm.note_newer(entry.kind[:CODE_LONGEST], entry.id)
    if rule is None:
        if not newer:
            farm.note_matter("An entry says not what it is: strike it.", entry.id)
        return
    if wrong := nonsense(entry):
        if newer:
            return  # its fields mean something there that they do not mean here
        farm.note_matter(f"An entry could not be read: {wrong.sentence}", entry.id)
        return
    try:
        rule.apply(farm, entry)
        plans.fill(farm, entry)
    except (KeyError, TypeError, ValueError, AttributeError, ArithmeticError):
        farm.note_matter("An entry could not be read: its fields make no sense.", entry.id)


def as_of(entries: Sequence[Entry], day: str) -> list[Entry]:
    """The entries that count when the book is read as of `day` ("YYYY-MM-DD").

    What happened later is left out. What describes the farm (its place, frost dates, beds and own figures) holds
    for any day, so that beds written in the autumn are there when the summer is written up.
    """
    lasting = {e.id for e in entries if e.kind in DESCRIBES}
    strikes = [e for e in entries if e.kind == "strike"]
    while more := {e.id for e in strikes if named_by(e) in lasting} - lasting:
        lasting |= more  # a strike of such an entry, a strike of that strike, and so on
    return [e for e in entries if e.on <= day or e.id in lasting]


def matters(farm: Farm) -> list[Problem]:
    """All that does not add up and wants settling: what the fold came upon, and what stands crowded in the beds."""
    return [*farm.matters, *_of_newer(farm), *beds.crowded(farm)]


def _of_newer(farm: Farm) -> list[Problem]:
    """What newer shedbooks wrote, one matter for each kind."""
    found = []
    for kind, entry in farm.newer.items():
        name = clean(kind)
        if kind in RULES:
            text = f"Some '{name}' entries are of a newer shedbook: what this one reads of them counts; update it."
        else:
            text = (
                f"'{name}' entries are of a newer shedbook: they are kept and count once you update this one."
            )
        found.append(Problem(text, "newer", entry=entry))
    return found
