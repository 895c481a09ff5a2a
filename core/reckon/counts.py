"""How many seeds for the plants wanted, with a chance of being enough.

Seeds, binomial: the smallest N with P(Binomial(N, p) >= n) >= sure. With p = germination x survival x
wanted share, every seed is one trial. Where whole sowings come up well or badly together the binomial is too
hopeful: the beta-binomial has the same mean and a correlation `rho` between seeds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain, count, islice, repeat
from math import ceil, exp, lgamma, log

from core.problems import Problem
from core.units import number, plural

SURE = 0.95
"""Nineteen times in twenty: how sure a count is where nothing else is said (common practice)."""
SUREST = 0.9999
MOST_SEEDS = 200_000
LEAST_RHO = 1e-6
"""A correlation below this is none: the distributions agree, and the longer sums would only lose digits."""
_SLIP = 1e-12
"""A chance that equals `sure` exactly must not miss it by binary fractions (one seed of 0.9 is 0.9 sure)."""

SEEDS_SOURCE = "binomial distribution: smallest N with P(Binomial(N, p) >= n) >= sure"
SPREAD_SOURCE = "beta-binomial distribution: as the binomial, p varying from sowing to sowing"


@dataclass(frozen=True, slots=True)
class Seeds:
    """Seeds to sow for `plants`.

    `chance` is that of enough with so many, `share` the plants that a seed makes on average, `naive` what
    plants / share alone would say, `because` the sentences that say how.
    """

    plants: int
    seeds: int
    sure: float
    chance: float
    share: float
    rho: float
    naive: int
    because: tuple[str, ...]
    source: str


def seeds_for(
    plants: int,
    *,
    germination: float,
    sure: float = SURE,
    survival: float = 1.0,
    wanted_share: float = 1.0,
    rho: float = 0.0,
) -> Seeds | Problem:
    """The fewest seeds that give `plants` with chance `sure`.

    `germination`, `survival` (in the tray) and `wanted_share` (doubles of stock: 0.5 to 0.6 [S98]) are
    shares; `rho` is the correlation between seeds of one sowing, 0 where they fail one by one. A Problem says
    which number cannot be.
    """
    for what, share in (
        ("germination", germination),
        ("survival in the tray", survival),
        ("the share worth planting", wanted_share),
    ):
        if not 0 < share <= 1:
            return Problem(
                f"{what[0].upper()}{what[1:]} is a share above 0 and at most 1: write 80 % as 0.8.",
                "impossible",
            )
    if plants < 1:
        return Problem("Plants wanted must be at least one.", "impossible")
    if not 0 < sure <= SUREST:
        return Problem(
            f"How sure is a chance above 0 and at most {SUREST}: no number of seeds is certain.", "impossible"
        )
    if not 0 <= rho < 1:
        return Problem("The correlation between seeds is from 0 to below 1; 0.02 is a little.", "impossible")
    share = germination * survival * wanted_share
    found = _fewest(plants, share, sure, rho)
    if found is None:
        return Problem(
            f"It would take over {MOST_SEEDS} seeds: ask for fewer plants, or be less sure.", "impossible"
        )
    seeds, chance = found
    naive = ceil(plants / share - 1e-9)
    return Seeds(
        plants,
        seeds,
        sure,
        chance,
        share,
        rho,
        naive,
        _seeds_because(plants, seeds, naive, (germination, survival, wanted_share), sure, chance, rho),
        SPREAD_SOURCE if rho else SEEDS_SOURCE,
    )


@lru_cache(maxsize=512)
def chance_of_enough(seeds: int, plants: int, share: float, rho: float = 0.0) -> float:
    """The chance that `seeds` give at least `plants`, each seed making one with chance `share` (0 to 1)."""
    if plants <= 0:
        return 1.0
    return min(sum(islice(_chances(plants, share, rho), max(seeds - plants + 1, 0))), 1.0)


@lru_cache(maxsize=512)
def _fewest(plants: int, share: float, sure: float, rho: float) -> tuple[int, float] | None:
    """(seeds, chance of enough): failures before the last wanted plant, added up until likely enough."""
    total = 0.0
    for failures, chance in enumerate(islice(_chances(plants, share, rho), max(MOST_SEEDS - plants + 1, 0))):
        total += chance
        if total >= sure - _SLIP:
            return plants + failures, min(total, 1.0)
    return None


def _chances(plants: int, share: float, rho: float) -> Iterator[float]:
    """The chances that exactly 0, 1, 2, ... seeds fail before the last of `plants` comes, each from the one before."""
    if share == 1.0:
        yield from chain((1.0,), repeat(0.0))
    if rho < LEAST_RHO:
        chance = plants * log(share)
        for failures in count():
            yield exp(chance)
            chance += log((plants + failures) * (1 - share) / (failures + 1))
    good, bad = share * (1 - rho) / rho, (1 - share) * (1 - rho) / rho
    chance = _log_beta(good + plants, bad) - _log_beta(good, bad)
    all_in = good + plants + bad
    for failures in count():
        yield exp(chance)
        chance += log((plants + failures) * (bad + failures) / ((failures + 1) * (all_in + failures)))


def _log_beta(a: float, b: float) -> float:
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def _seeds_because(
    plants: int,
    seeds: int,
    naive: int,
    shares: tuple[float, float, float],
    sure: float,
    chance: float,
    rho: float,
) -> tuple[str, ...]:
    names = ("come up", "of those live", "of those are worth planting")
    told = [f"{number(100 * s)} % {n}" for s, n in zip(shares, names, strict=True) if s != 1 or n == names[0]]
    together = f"; seeds of one sowing fare alike, rho {number(rho)}" if rho else ""
    share = shares[0] * shares[1] * shares[2]
    sentences = [f"Of the seeds {', '.join(told)}{together}."]
    if naive < seeds:
        usual = 100 * chance_of_enough(naive, plants, share, rho)
        sentences.append(
            f"{plants} / {number(share)} = {plural(naive, 'seed')} would be enough only {usual:.0f} times "
            "in 100."
        )
    sentences.append(
        f"{plural(seeds, 'seed')} are the fewest that are enough {number(100 * sure)} times in 100 or more "
        f"({100 * chance:.1f})."
    )
    return tuple(sentences)
