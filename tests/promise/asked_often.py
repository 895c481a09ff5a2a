"""Many questions beside the orders that were taken before them: of each what is sure, and what is likely with one
chance and another; and how often so many are there in the seasons of another hand.

What is costly is to ask. An answer says of every number how likely it is; a true season says how many there are, so
that it tells at once of each of these numbers whether it is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from itertools import pairwise
from random import Random
from typing import Any, NamedTuple

import numpy as np

from core.promising.answer import takes_from
from core.promising.claims import LAST, Claim, Liked, as_need, made_pieces
from core.promising.outlook import LOOK, Outlook, Sureness, free_for, outlooks
from core.promising.supply import Supply, fitting, supply_for
from core.reckon.promise.allocation import Stock
from core.reckon.promise.needs import Need, PieceNeed
from tests.plans.other_hand import WORLDS
from tests.promise.other_season import Seasons, World, apart, as_told, kept
from tests.promise.season_of_orders import BINS, SUBSTITUTES, Season, by_day

ASKED = 1_000_000
"""More stems than any farm has: so the answer says how likely any number is."""
PIECES_ASKED = 6
SOURCES = {"on hand": "on hand", "drying": "on the line", "in the field": "in the field"}
"""By which source a question counts, of those that give most of it; trays and plans are a kind each."""


class Said(NamedTuple):
    """What was said of so many."""

    wanted: int
    sureness: Sureness
    chance: float


class Question(NamedTuple):
    """What was asked for, beside the orders taken before it; what gives most of it; and what was said of some numbers.

    `as_taken` is what was said of so many as became an order; None where it was only asked about.
    """

    claim: Claim
    source: str
    said: tuple[Said, ...]
    as_taken: Said | None

    @property
    def is_taken(self) -> bool:
        """Whether it became an order."""
        return self.as_taken is not None


def asked_of(of: Season, count: int, pieces: int, rng: Random, source: str = "") -> list[Question]:
    """So many questions, about half of them become orders; then some about pieces, beside all that was taken.

    Half of what is asked is due within the month, half within the season. With a `source` only such questions are
    asked of which that gives the most.
    """
    found: list[Question] = []
    taken: list[Claim] = []
    for n in range(20 * count):
        if len(found) == count:
            break
        crop, form = rng.choice(of.wares)
        due = of.today + timedelta(days=rng.randint(*rng.choice(of.ahead)))
        liked = [crop, *of.instead(crop, form)] if rng.random() < SUBSTITUTES else [crop]
        asked = Claim(due, LAST, ASKED, form, tuple(map(Liked, liked)), f"O{n:03d}", "a buyer", item="1")  # type: ignore[arg-type]
        supply = supply_for(of.farm, of.today, by_day(taken), [asked])
        if source and _source(supply, asked) != source:
            continue
        if outlooks(supply, asked, [due], every=4 * LOOK)[0].sureness(1)[0] == "no":
            continue
        (outlook,) = outlooks(supply, asked, [due])
        said = tuple(_said_of(outlook, rng))
        if not said:
            continue
        one = rng.choice(said)
        claim = replace(asked, wanted=one.wanted if rng.random() < 0.7 else rng.randint(1, one.wanted))
        as_taken = Said(claim.wanted, *outlook.sureness(claim.wanted))
        # what is likely and would take from others in a poor season is not taken
        is_taken = as_taken.sureness == "surely" or not any(takes_from(supply, claim))
        found.append(Question(claim, _source(supply, asked), said, as_taken if is_taken else None))
        if is_taken:
            taken.append(claim)
    recipes = list(of.farm.recipes.values())
    for n in range(pieces):
        due = of.today + timedelta(days=rng.randint(*of.ahead[-1]))
        recipe = recipes[n % len(recipes)]
        asked = Claim(
            due, LAST, PIECES_ASKED, "piece", recipe=recipe, own_crops=of.farm.own_crops, order=f"P{n:03d}"
        )
        (outlook,) = outlooks(supply_for(of.farm, of.today, by_day(taken), [asked]), asked, [due], every=2)
        if said := tuple(_said_of(outlook, rng)):
            found.append(Question(asked, "pieces", said, None))
    return found


def _said_of(outlook: Outlook, rng: Random) -> Iterator[Said]:
    """The most that is sure; and of what is likely, in each bin of chances so many as have about one of its own."""
    if outlook.surely:
        yield Said(outlook.surely, *outlook.sureness(outlook.surely))
    wanted = {outlook.surely}
    for low, high in pairwise(BINS):
        chance = rng.uniform(low, min(high, 0.99))
        most = max(outlook.growing.at(chance), outlook.planned.at(chance))
        sureness, told = outlook.sureness(most)
        if most > outlook.surely and most not in wanted and sureness == "likely":
            wanted.add(most)
            yield Said(most, sureness, told)


def _source(supply: Supply, asked: Claim) -> str:
    need = as_need(asked, supply.sorts)
    amounts: dict[str, int] = {}
    for source, lots in zip(supply.sources, supply.given(None), strict=True):
        amounts[source.kind] = amounts.get(source.kind, 0) + fitting(lots, need)
    most = max(amounts, key=amounts.__getitem__, default="")
    return SOURCES.get(most, most)


def _free_in_seasons(
    of: Season, asked: Sequence[Question], seasons: int, yields: float, seed: int
) -> np.ndarray[Any, Any]:
    """[season, question]: how many are free in so many true seasons of each world, beside what was taken before.

    What was taken first is served first: for the last in rank the order of those before it makes no difference.
    """
    found = np.zeros((seasons * len(WORLDS), len(asked)), dtype=int)
    last, made = max(one.claim.due for one in asked), made_pieces(of.farm)
    stems = [i for i, one in enumerate(asked) if one.claim.recipe is None]
    groups: list[tuple[set[str] | None, list[int]]] = [
        (crops, [stems[place] for place in places])
        for crops, places in apart([asked[i].claim for i in stems])
    ]
    if len(stems) < len(asked):
        groups.append((None, list(range(len(asked)))))
    for w, name in enumerate(WORLDS):
        given = Seasons(of.farm, of.today, World(name, seasons, seed + w, yields), last)
        sorts = given.sorts()
        needs = [as_need(one.claim, sorts) for one in asked]
        for crops, places in groups:
            is_dried = any(asked[i].claim.forms - {"fresh"} for i in places)
            for n in range(seasons):
                stock = Stock.of(given.lots(n, crops, is_dried=is_dried))
                for i in places:
                    need = needs[i]
                    if crops is not None or isinstance(need, PieceNeed):
                        free = free_for(stock, need._replace(wanted=_most(asked[i])))
                        if is_dried and isinstance(need, Need):
                            free = int(free / given.left_of(n, need.accepts) + 0.5)
                        found[w * seasons + n, i] = free + _made(made, asked[i])
                    if isinstance(need, Need) and asked[i].is_taken:
                        stock.serve(as_told(need, given, n) if is_dried else need)
    return found


def kept_in_seasons(
    of: Season, asked: Sequence[Question], seasons: int, yields: float, seed: int
) -> list[Kept]:
    """Each question, what was said of some numbers, and the share of the true seasons in which so many are free."""
    free = _free_in_seasons(of, asked, seasons, yields, seed)
    return [
        Kept(one, said, float(np.mean(free[:, i] >= said.wanted)), len(free))
        for i, one in enumerate(asked)
        for said in one.said
    ]


def kept_by_day(
    of: Season, asked: Sequence[Question], seasons: int, yields: float, seed: int
) -> Iterator[Kept]:
    """What was said of each order that was taken, and the share of the seasons in which it is kept where all of them
    are served by the day due."""
    taken = [one for one in asked if one.is_taken]
    claims = by_day([one.claim for one in taken])
    runs = [
        kept(of.farm, of.today, claims, World(name, seasons, seed + n, yields))
        for n, name in enumerate(WORLDS)
    ]
    for one, share in zip(taken, np.concatenate(runs).mean(axis=0), strict=True):
        assert one.as_taken is not None
        yield Kept(one, one.as_taken, float(share), seasons * len(WORLDS))


def _made(made: dict[str, int], one: Question) -> int:
    """Pieces of what is asked for that are made already."""
    return made.get(one.claim.recipe.code, 0) if one.claim.recipe is not None else 0


def _most(one: Question) -> int:
    return max(said.wanted for said in one.said)


class Kept(NamedTuple):
    """A question, what was said of so many, and in which share of so many true seasons so many are there."""

    question: Question
    said: Said
    share: float
    seasons: int


class Bin(NamedTuple):
    """Promises of which about the same was said: how many questions, how many promises (each in one true season), the
    mean chance told and the mean share kept, and the standard error of what lies between them, by question: the seasons
    of one are not independent."""

    questions: int
    promises: int
    chance: float
    kept: float
    error: float


def binned(promises: Sequence[Kept]) -> dict[str, Bin]:
    """What was said beside the share of the seasons in which it was kept: what is sure, then what is likely by its
    chance."""
    groups = {"surely": [one for one in promises if one.said.sureness == "surely"]}
    for low, high in pairwise(BINS):
        groups[f"{low:.2f} to {min(high, 1):.2f}"] = [
            one for one in promises if one.said.sureness != "surely" and low <= one.said.chance < high
        ]
    return {name: _bin(mine) for name, mine in groups.items() if mine}


def _bin(mine: Sequence[Kept]) -> Bin:
    chances = np.array([one.said.chance for one in mine])
    kept = np.array([one.share for one in mine])
    error = float(np.std(kept - chances, ddof=1) / len(mine) ** 0.5) if len(mine) > 1 else float("nan")
    promises = sum(one.seasons for one in mine)
    return Bin(len(mine), promises, float(chances.mean()), float(kept.mean()), error)
