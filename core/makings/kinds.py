"""What is written of the makings: bought, counted, used up, and the number at which they are bought again."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.kinds import SIGNED, Kind, may, needs
from core.problems import Problem
from core.units import as_typed, plainly
from core.usual import most_so_far, note_most, too_many


def check_enough(farm: Farm, making: str, count: float) -> Problem | None:
    """Whether there is `count` of a making; one that the book does not count never runs short."""
    if making not in farm.makings or farm.makings[making] >= count:
        return None
    return Problem(
        f"The book has {plainly(farm.makings[making])} of {making} and {plainly(count)} are needed: count what is "
        f"there ('count {as_typed(count)} {making}') or write what was bought.",
        "impossible",
    )


OVERDRAWN = "making overdrawn"
"""The sort of matter that a count settles: more went than there was."""


def spend(farm: Farm, making: str, count: float, entry: str) -> None:
    """`count` of a making goes, where the book counts it; more than there is, is a matter to settle."""
    if making not in farm.makings or not count:
        return
    farm.makings[making] = round(farm.makings[making] - count, 3)
    if farm.makings[making] < 0:
        farm.note_matter(
            f"{plainly(-farm.makings[making])} more of {making} went than there was: count it ('count 0 {making}'), or "
            "take back what did not happen.",
            entry,
            OVERDRAWN,
            making,
            amount=-farm.makings[making],
        )


def _check_bought(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["count"] <= 0:
        return Problem("Bought supplies need a number above 0.", "impossible")
    return None


def _bought(farm: Farm, entry: Entry) -> None:
    making = entry.fields["making"]
    farm.makings[making] = farm.makings.get(making, 0) + entry.fields["count"]
    note_most(farm, "bought", _sort(making), entry.fields["count"])


def _stocktake(farm: Farm, entry: Entry) -> None:
    farm.makings[entry.fields["making"]] = entry.fields["count"]
    farm.settle(OVERDRAWN, entry.fields["making"])


def _check_spent(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if f["count"] <= 0:
        return Problem("What is spent is more than 0.", "impossible")
    return check_enough(farm, f["making"], f["count"])


def _check_reorder(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["count"] < 0:
        return Problem("The number to buy again at begins at 0, which takes it out.", "impossible")
    return None


def _reorder(farm: Farm, entry: Entry) -> None:
    making, count = entry.fields["making"], entry.fields["count"]
    if count > 0:
        farm.reorder[making] = count
    else:
        farm.reorder.pop(making, None)


def _spent(farm: Farm, entry: Entry) -> None:
    spend(farm, entry.fields["making"], entry.fields["count"], entry.id)


def _sort(making: str) -> str:
    """ "wire" of "wire 22": one size is bought by as many as another."""
    return making.split()[0]


def _too_many(farm: Farm, draft: Draft) -> str | None:
    """By what was bought before, what is there, and the number at which she buys it again."""
    making, count = draft.fields["making"], draft.fields["count"]
    if making not in farm.makings:
        return None
    bought = most_so_far(farm, "bought", _sort(making))
    return too_many(count, max(bought, farm.makings[making], farm.reorder.get(making, 0)), making)


KINDS = (
    Kind(
        "bought",
        "bought {count} of {making}",
        needs(making="text", count="number"),
        _bought,
        check=_check_bought,
        slip=_too_many,
    ),
    Kind(
        "stocktake",
        "{count} of {making} on the shelf, the book had {expected}",
        needs(making="text", count="number", expected=SIGNED),
        _stocktake,
        slip=_too_many,
    ),
    Kind(
        "spent",
        "{count} of {making} used[ in {piece}]",
        needs(making="text", count="number") | may(piece="code"),
        _spent,
        check=_check_spent,
    ),
    Kind(
        "reorder",
        "buy {making} again at {count}",
        needs(making="text", count="number"),
        _reorder,
        check=_check_reorder,
        describes=True,
    ),
)
