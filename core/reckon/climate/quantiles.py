"""Values exceeded with a given chance: by plotting positions, and by the normal distribution.

A season without the event has no date. It still has a rank, before all dates or after them, so that the
chances of the others come out right; such a rank is minus or plus infinity here.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isinf
from statistics import NormalDist, fmean, stdev


def weibull(values: Sequence[float], share: float) -> float:
    """The value below which `share` (0 to 1) of the cases lie, by Weibull's plotting positions i / (n + 1).

    Between two ranks it is interpolated, beyond the first and last rank it is the first and last value. A
    place between a date and an infinite rank is infinite. `values`, in any order, must not be empty.
    """
    ordered = sorted(values)
    place = share * (len(ordered) + 1)
    # A rank that is whole on paper must not fall beside itself by a binary fraction.
    nearest = round(place)
    if abs(place - nearest) < 1e-9:
        place = nearest
    place = min(max(place, 1), len(ordered))
    below = int(place)
    low, high = ordered[below - 1], ordered[min(below, len(ordered) - 1)]
    part = place - below
    if part == 0 or low == high:
        return low
    if isinf(low) and isinf(high):
        return low if part < 0.5 else high
    return low if isinf(low) else high if isinf(high) else low + part * (high - low)


def normal(values: Sequence[float], share: float) -> float:
    """The same by a normal distribution of the finite values, mixed with the share of infinite ones.

    With q the share of finite values, P(value <= x) = (share of -inf) + q * Phi((x - mean) / sd), as for the
    NOAA freeze tables of 1971-2000 (CLIM20-01). Infinite where the infinite share reaches that far. Fewer
    than two finite values have no spread: then it is `weibull`. `share` lies between 0 and 1.
    """
    finite = [v for v in values if not isinf(v)]
    if len(finite) < 2:
        return weibull(values, share)
    before = sum(v == -inf for v in values) / len(values)
    inside = (share - before) * len(values) / len(finite)
    if inside <= 0:
        return -inf
    if inside >= 1:
        return inf
    return fmean(finite) + stdev(finite) * NormalDist().inv_cdf(inside)
