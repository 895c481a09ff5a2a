"""Whether one share is above another, with an interval, so that small numbers do not shout.

Wilson's interval of a share and Newcombe's of a difference (Newcombe 1998, Statistics in Medicine 17:857 and 17:873,
method 10). What is counted comes in lots that fare alike: a sum over lots counts for no more than their likeness lets
it. Of many differences looked at together each must be the surer (Bonferroni).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

from core.reckon.learning.belief import Span
from core.reckon.learning.special import NORMAL

SURE = 0.9


class Part(NamedTuple):
    """`part` of `of` went that way; below 1 of a stem where a sum over lots is brought down to what it is worth."""

    part: float
    of: float

    @property
    def share(self) -> float:
        return self.part / self.of if self.of else 0.0


class Difference(NamedTuple):
    """By how much one share is above another, and from where to where that lies; shares from 0 to 1."""

    of: Part
    against: Part
    difference: float
    low: float
    high: float


def wilson(part: float, of: float, sure: float = SURE) -> Span:
    """From where to where a share lies with that chance, where `part` of `of` (above 0) were seen."""
    z = NORMAL.inv_cdf((1 + sure) / 2)
    share = part / of
    middle, reach = 2 * part + z * z, z * sqrt(z * z + 4 * part * (1 - share))
    low, high = (middle - reach) / 2 / (of + z * z), (middle + reach) / 2 / (of + z * z)
    return max(low, 0.0), min(high, 1.0)


def newcombe(one: Part, other: Part, sure: float = SURE) -> Difference:
    """By how much the first share is above the second."""
    (low, high), (other_low, other_high) = wilson(*one, sure), wilson(*other, sure)
    apart = one.share - other.share
    under = sqrt((one.share - low) ** 2 + (other_high - other.share) ** 2)
    over = sqrt((high - one.share) ** 2 + (other.share - other_low) ** 2)
    return Difference(one, other, apart, max(apart - under, -1.0), min(apart + over, 1.0))


def worth_of_lots(lots: Sequence[tuple[float, float]]) -> float:
    """How many times fewer stems, each by itself, would tell as much as those of these lots (part, of): the variance of
    their share by lots over that by stems (Cochran 1977, Sampling Techniques, ch. 3), 1 at least."""
    told = [lot for lot in lots if lot[1] > 0]
    part, of, count = sum(p for p, _ in told), sum(n for _, n in told), len(told)
    share = part / of if of else 0.0
    if count < 2 or not 0 < share < 1:
        return 1.0
    by_lots = count / (count - 1) * sum((p - share * n) ** 2 for p, n in told) / of**2
    return max(by_lots / (share * (1 - share) / of), 1.0)


def sure_of_one(looks: int) -> float:
    """How sure each of so many looks must be for all of them to be so sure together."""
    return 1 - (1 - SURE) / max(looks, 1)


def difference_of_lots(
    lots: Sequence[tuple[float, float]],
    others: Sequence[tuple[float, float]],
    sure: float = SURE,
) -> Difference:
    """By how much more was lost of some lots than of others, each lot (part, of) counted for what it is worth. What one
    side cannot say of the likeness within a lot, both together say."""
    together = worth_of_lots([*lots, *others])
    parts = []
    for side in (lots, others):
        less = max(worth_of_lots(side), min(together, _mean_size(side)))
        parts.append(Part(sum(p for p, _ in side) / less, sum(n for _, n in side) / less))
    found = newcombe(parts[0], parts[1], sure)
    whole = [Part(sum(p for p, _ in side), sum(n for _, n in side)) for side in (lots, others)]
    return found._replace(of=whole[0], against=whole[1])


def _mean_size(lots: Sequence[tuple[float, float]]) -> float:
    told = [n for _, n in lots if n > 0]
    return sum(told) / len(told) if told else 1.0
