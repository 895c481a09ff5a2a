"""Trays, plantings, lots and pieces by their code, and which was meant where a code was given twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, count, takewhile
from operator import itemgetter
from typing import Generic, Protocol, TypeAlias, TypeVar

from core.patterns import pattern


class Item(Protocol):
    """What a register holds."""

    code: str
    made_by: str
    """The id of the entry that made it."""

    @property
    def is_live(self) -> bool:
        """Whether it is not finished."""


T = TypeVar("T", bound=Item)
Numbered: TypeAlias = tuple[int, T]
"""An item and the how-manieth it was of its kind to be made, in the order of the fold."""


class Finished(Protocol[T]):
    """What was finished when a cached fold was made, kept out of the way until somebody asks for it."""

    def get(self, code: str) -> Numbered[T] | None:
        """The one with that code."""

    def all(self) -> dict[str, Numbered[T]]:
        """All of them, by code."""

    def mentioning(self, words: Sequence[str]) -> dict[str, Numbered[T]]:
        """Items by code whose kept text contains one of the words; a few others may come with them, never fewer."""

    def mentioned(self, words: Sequence[str]) -> Iterator[dict[str, Numbered[T]]]:
        """The same, some at a time."""


class Register(Generic[T]):
    """Trays, plantings, lots or pieces by code; what is finished is read only when somebody asks for it.

    `made` counts all that were ever added.
    """

    def __init__(
        self, items: dict[str, Numbered[T]] | None = None, made: int = 0, finished: Finished[T] | None = None
    ) -> None:
        self.made = made
        self.finished: Finished[T] | None = finished
        self._items: dict[str, Numbered[T]] = {} if items is None else items
        self._in_order = True

    def get(self, code: str) -> T | None:
        """The one with that code, finished or not."""
        if (here := self._items.get(code)) is not None:
            return here[1]
        if self.finished is None or (found := self.finished.get(code)) is None:
            return None
        self._items[code] = found  # it is being spoken of again
        self._in_order = False
        return found[1]

    def add(self, code: str, item: T) -> None:
        """A new one; nothing has that code yet."""
        self._items[code] = (self.made, item)
        self.made += 1

    def live(self) -> Iterator[T]:
        """Those not finished, in the order they were made."""
        return (item for _, item in self.at_hand().values() if item.is_live)

    def all(self) -> list[T]:
        """Every one there ever was, in the order they were made."""
        if self.finished is None:
            return [item for _, item in self.at_hand().values()]
        every = {**self.finished.all(), **self._items}
        return [item for _, item in sorted(every.values(), key=_number)]

    def mentioning(self, *words: str) -> list[T]:
        """Every one of which something is kept in which one of the words stands (a year: "2026-"), in the order they
        were made; others may be among them. Of many seasons only those asked for are read."""
        if self.finished is None:
            return self.all()
        found = {**self.finished.mentioning(words), **self._items}
        return [item for _, item in sorted(found.values(), key=_number)]

    def mentioned(self, *words: str) -> Iterator[list[T]]:
        """The same in no order, some at a time: those at hand first."""
        here = dict(self.at_hand())
        yield [item for _, item in here.values()]
        if self.finished is not None:
            for found in self.finished.mentioned(words):
                yield [item for code, (_, item) in found.items() if code not in here]

    def at_hand(self) -> dict[str, Numbered[T]]:
        """Those that are not among the finished, or were spoken of since, in the order they were made."""
        if not self._in_order:
            self._items = dict(sorted(self._items.items(), key=lambda named: named[1][0]))
            self._in_order = True
        return self._items


_number = itemgetter(0)


def same(name: str, ref: str | None, register: Register[T]) -> T | None:
    """The item called `name`; `ref`, the id of the entry that made it, settles it where a code was given twice.

    Of codes given twice the later ends with "-2", and which is the later may change with what a merge brings.
    None where nothing of that code was made by `ref`: another's is not taken for it.
    """
    item = register.get(name)
    if not ref or (item is not None and item.made_by == ref):
        return item
    for code in given_again(as_given(name)):
        other = register.get(code)
        if other is None or other.made_by == ref:
            return other
    return None


class Signed(Item, Protocol):
    """What also says who wrote it."""

    by: str


S = TypeVar("S", bound=Signed)


def made_with(name: str, by: str | None, register: Register[S]) -> S | None:
    """The item called `name` that an entry without a `ref` speaks of: it was written in one go with what made the
    item, and could not know that entry's id.

    Where machines apart gave the code twice it is the newest so far, of the same person's if there is one: what two
    wrote in the same moment lies between each other.
    """
    called = takewhile(lambda item: item is not None, map(register.get, given_again(as_given(name))))
    made = [item for item in called if item is not None]
    return next(reversed([item for item in made if item.by == by] or made), None)


_AGAIN = pattern(r"-[0-9]{1,2}$")


def given_again(code: str) -> Iterator[str]:
    """A code as it was given, and what it is called where machines apart gave it again: L003, L003-2, L003-3."""
    return chain([code], (f"{code}-{n}" for n in count(2)))


def as_given(name: str) -> str:
    """ "L003" of "L003-2"."""
    return _AGAIN.sub("", name)


def as_called(name: str) -> str:
    """ "L003-2" of "L003'": an older shedbook called it so, which no shell takes unquoted."""
    code = name.rstrip("'")
    return name if code == name else f"{code}-{len(name) - len(code) + 1}"
