"""Which column of her table is which: as she says, else by what its head is called."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple, TypeAlias

from core.past_seasons.cells import read_cents, read_count
from core.past_seasons.kinds import CUT, SALE, SOWING
from core.problems import Problem
from core.text import clean, nearest

Reads: TypeAlias = Literal["day", "crop", "text", "count", "number", "money"]


class Wanted(NamedTuple):
    """A field that a column may hold: how it is read, and heads by which it is known."""

    reads: Reads
    heads: tuple[str, ...]


FIELDS: Mapping[str, Wanted] = {
    "day": Wanted(
        "day", ("day", "date", "on", "cut on", "sold on", "sown on", "date cut", "date sold", "date sown")
    ),
    "crop": Wanted("crop", ("crop", "flower", "plant", "species", "flowers")),
    "variety": Wanted("text", ("variety", "cultivar", "color", "colour", "sort")),
    "bed": Wanted("text", ("bed", "row", "plot")),
    "use": Wanted("text", ("use", "for", "cut for")),
    "stems": Wanted(
        "count", ("stems", "stem count", "number", "quantity", "qty", "count", "stems cut", "stems sold")
    ),
    "bunches": Wanted("count", ("bunches", "bu", "bunch count", "bunches sold")),
    "culls": Wanted("count", ("culls", "culled", "thrown out")),
    "minutes": Wanted("number", ("minutes", "min", "time min")),
    "money": Wanted(
        "money",
        (
            "money",
            "taken",
            "total",
            "amount",
            "revenue",
            "paid",
            "sum",
            "total price",
            "price total",
            "total paid",
            "amount paid",
            "total amount",
            "line total",
            "row total",
            "subtotal",
            "total taken",
            "total sale",
            "total sales",
            "takings",
            "income",
            "received",
            "earned",
            "proceeds",
            "sold for",
        ),
    ),
    "each": Wanted(
        "money",
        (
            "each",
            "price each",
            "each price",
            "unit price",
            "price per unit",
            "price unit",
            *(
                form.format(one)
                for one in ("bunch", "stem")
                for form in (
                    "price per {}",
                    "price a {}",
                    "price {}",
                    "{} price",
                    "per {}",
                    "a {}",
                )
            ),
        ),
    ),
    "who": Wanted("text", ("who", "buyer", "customer", "sold to", "outlet", "to")),
    "seeds": Wanted("count", ("seeds", "seeds sown", "sown", "seed count", "cells")),
    "up": Wanted("count", ("up", "germinated", "emerged", "came up")),
}


class Sort(NamedTuple):
    """A sort of table: the kind of its entries, what it needs (of each group one), and what it may have."""

    kind: str
    needs: tuple[tuple[str, ...], ...]
    may: tuple[str, ...]

    @property
    def fields(self) -> tuple[str, ...]:
        """All that it may have."""
        return (*(name for group in self.needs for name in group), *self.may)


CURRENCIES = frozenset(("usd", "us", "cad", "gbp", "eur", "dollars", "pounds"))
"""Left out of a head: "Price (USD)" is "price"."""
OF_MONEY = frozenset(
    (
        "price",
        "prices",
        "cost",
        "charge",
        "charged",
        "total",
        "amount",
        "paid",
        "revenue",
        "sum",
        "money",
        "value",
    )
)
"""Words by which a head speaks of money, where it does not tell of which."""
PRICE = ("price", "sale price", "selling price")
"""Heads that are of each beside another for the whole; alone they may be of either."""
AMOUNT = ("stems", "bunches")
SORTS: Mapping[str, Sort] = {
    "cuts": Sort(CUT, (("day",), ("crop",), AMOUNT), ("variety", "bed", "use", "culls", "minutes")),
    "sales": Sort(SALE, (("day",), ("crop",), AMOUNT), ("variety", "money", "each", "who")),
    "sowings": Sort(SOWING, (("day",), ("crop",), ("seeds",)), ("variety", "up")),
}
TELLING = {"sowings": ("seeds", "up"), "sales": ("money", "each", "who"), "cuts": AMOUNT}
"""Sort -> fields that tell it, in the order in which they are asked."""


class Mapped(NamedTuple):
    """What a table is taken for: its sort, field -> its column's head, and the heads that are left out."""

    sort: str
    columns: Mapping[str, str]
    unused: tuple[str, ...]

    @property
    def priced_by(self) -> str:
        """Of what the head of a price says that it is: "stem", "bunch", or "" for either."""
        words = _plain(self.columns.get("each", "")).split()
        return next((one for one in ("stem", "bunch") if one in words), "")


def _plain(head: str) -> str:
    """A head without its marks and currency: "price each" for "Price_each ($)"."""
    words = re.findall(r"[^\W_]+", head.lower())
    return " ".join(word for word in words if word not in CURRENCIES)


def mapped(
    heads: Sequence[str],
    said: Mapping[str, str],
    sort: str | None = None,
    body: Iterable[Sequence[str]] = (),
) -> Mapped | Problem:
    """The columns of a table with these heads; `said` are field -> head as she gives them, "" for none of them.

    Where a head may be the price of each or what the whole row took, the rows (`body`) tell, or it is asked.
    """
    named = _as_said(heads, said)
    if isinstance(named, Problem):
        return named
    found = {**named, **_by_their_heads(heads, named)}
    taken = {head for head in found.values() if head}
    left = [head for head in heads if head not in taken]
    price = next((head for head in left if _plain(head) in PRICE), "")
    if price and found.get("money") and "each" not in found:
        found["each"] = price
    told = [head for head in left if OF_MONEY & {*_plain(head).split()} or set("$£€") & {*head}]
    is_doubtful = bool(told) and not {"money", "each"} & {*found} and sort in (None, "sales")
    found = {name: head for name, head in found.items() if head}
    is_sort = sort or _sort_of(found, is_of_money=is_doubtful or bool({"money", "each"} & {*said}))
    of = SORTS[is_sort]
    for group in of.needs:
        if not any(name in found for name in group):
            names = " or ".join(group)
            return Problem(
                f"Which column has the {names} of these {is_sort}? Say it: --map {group[0]}=HEAD, with one of "
                f"{', '.join(clean(one)[:24] for one in heads)}.",
                "unknown",
            )
    if is_doubtful and is_sort == "sales":
        of_money = _of_money(heads, found, told[0], body) if len(told) == 1 else None
        if of_money is None:
            return _asked(told)
        found[of_money] = told[0]
    columns = {name: found[name] for name in of.fields if name in found}
    return Mapped(is_sort, columns, tuple(head for head in heads if head not in columns.values()))


def _as_said(heads: Sequence[str], said: Mapping[str, str]) -> dict[str, str] | Problem:
    """Field -> head as she said it, "" for a field that no column has."""
    known = {head.lower().strip(): head for head in heads}
    found = {}
    for name, head in said.items():
        if name not in FIELDS:
            near = nearest(name, FIELDS)
            return Problem(f"'{clean(name)[:24]}' is none of {', '.join(FIELDS)}.", "unknown", near)
        if head and head.lower().strip() not in known:
            shown = ", ".join(clean(one)[:24] for one in heads)
            return Problem(f"The table has no column '{clean(head)[:24]}': it has {shown}.", "unknown")
        found[name] = known[head.lower().strip()] if head else ""
    return found


def _by_their_heads(heads: Sequence[str], named: Mapping[str, str]) -> dict[str, str]:
    """Field -> head, for the fields that she said nothing of, where a head is a word for one; each head once."""
    plain: dict[str, str] = {}
    for head in heads:
        plain.setdefault(_plain(head), head)
    found: dict[str, str] = {}
    for name, wanted in FIELDS.items():
        if name not in named:
            taken = {*named.values(), *found.values()}
            fit = (plain[one] for one in wanted.heads if one in plain and plain[one] not in taken)
            if head := next(fit, ""):
                found[name] = head
    return found


def _sort_of(found: Mapping[str, str], *, is_of_money: bool) -> str:
    """Of what sort a table is by the fields it has, where nothing was said; sales where a column is of money."""
    fit = (one for one, telling in TELLING.items() if any(name in found for name in telling))
    told = next(fit, "cuts")
    return "sales" if told == "cuts" and is_of_money else told


def _of_money(
    heads: Sequence[str], found: Mapping[str, str], head: str, body: Iterable[Sequence[str]]
) -> Literal["each", "money"] | None:
    """What the rows show that head to be: of sales of one crop in different numbers, most have the same price where it
    is that of each, and one that grows with the number where it is that of all. None where they do not tell."""
    names = [name for name in ("crop", "variety") if name in found]
    of = [heads.index(found[name]) for name in names]
    number, money = heads.index(found.get("bunches") or found["stems"]), heads.index(head)
    last: dict[tuple[str, ...], tuple[int, int]] = {}
    pairs = alike = grown = 0
    are_single = True
    for row in body:
        if len(row) != len(heads):
            continue
        count, cents = read_count(row[number]), read_cents(row[money])
        if isinstance(count, Problem) or isinstance(cents, Problem) or not count or not cents:
            continue
        are_single = are_single and count == 1
        key = tuple(row[place].strip().lower() for place in of)
        before, last[key] = last.get(key), (count, cents)
        if before is not None and before[0] != count:
            pairs += 1
            alike += before[1] == cents
            grown += before[1] * count == cents * before[0]
    if last and are_single:
        return "money"
    if 2 * alike > pairs:
        return "each"
    return "money" if 2 * grown > pairs else None


def _asked(told: Sequence[str]) -> Problem:
    head = clean(told[0])[:24]
    said = f"'{head}'" if " " in head else head
    if len(told) > 1:
        several = " and ".join(f"'{clean(one)[:24]}'" for one in told)
        return Problem(
            f"Which of {several} is the price of each, or what the whole row took? Say it: --map each={said}, or "
            f"money={said}; --map money= brings in none.",
            "ambiguous",
        )
    return Problem(
        f"Is '{head}' the price of each, or what the whole row took? Say it: --map each={said}, or money={said}; "
        "--map money= leaves it out.",
        "ambiguous",
    )
