"""What fits the words that are typed, the best first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from core.codes import canonical
from core.farm import Farm
from core.finding.things import NOTE, PUT_ON, SORTS, Thing, lot_thing, notes, put_on, things, tray_thing
from core.patterns import pattern
from core.text import nearly

if TYPE_CHECKING:
    from core.look_back import LookBack

WHOLE, BEGINS, WITHIN, SLIP = 0, 1, 2, 3
"""How well a typed word fits a word of a thing: it is that word, begins it, stands in it, or is a slip of it."""
_IN_SAYS = 1
"""By how much worse a word fits that stands in what a thing is now than one that stands in its name."""
_FINISHED = 2
_WORD = pattern(r"[\w'’-]+")
SLIP_LEAST = 4
"""Letters of a word that may be a slip of another."""


def finder(look_back: LookBack) -> Finder:
    """Everything there is, ready to be searched: its things, what was noted, sprayed and fed, as they are now."""
    made = Finder(look_back.farm, ())
    for _ in made.taking_in(look_back):
        pass
    return made


class Finder:
    """The things of a farm and its notes, ready to be asked as she types: what was narrowed down once is asked on."""

    def __init__(self, farm: Farm, notes: Sequence[Thing]) -> None:
        self._farm = farm
        self._things = [_Read(thing) for thing in (*things(farm), *notes)]
        self._fit: tuple[list[str], list[_Read]] = [], self._things
        self.is_near = False
        """Whether what was found last is only near to the words: nothing has them."""

    def taking_in(self, look_back: LookBack) -> Iterator[None]:
        """Take in what was noted, sprayed and fed, in steps of some hundredths of a second in a big book."""
        for kind in (NOTE, *PUT_ON):
            yield
            entries = look_back.of_kind(kind)
            self._things += map(_Read, notes(entries) if kind == NOTE else put_on(entries))
        self._fit = [], self._things

    def find(self, text: str, most: int = 60) -> list[Thing]:
        """The things in which every word of `text` fits, the best first, `most` of them; none for no words."""
        words = [word.lower() for word in _WORD.findall(text)]
        if not words:
            return []
        found = self._ranked(words)
        self.is_near = not found
        if self.is_near:
            found = self._ranked(words, slips=True)
        code = canonical(words[0]) if len(words) == 1 else None
        if (
            code is not None
            and all(thing.of != (code,) for thing in found[:1])
            and (one := self._finished(code))
        ):
            found, self.is_near = [one, *found], False
        self.is_near = self.is_near and bool(found)
        return found[:most]

    def _ranked(self, words: list[str], *, slips: bool = False) -> list[Thing]:
        before, among = self._fit
        goes_on = len(words) >= len(before) and all(map(str.startswith, words, before))
        if slips or not goes_on or any(map(canonical, words)):  # "l4" is another lot than "l41"
            among = self._things
        fits = [(score, read) for read in among if (score := read.score(words, slips=slips)) is not None]
        if not slips:
            self._fit = words, [read for _, read in fits]
        fits.sort(key=lambda fit: fit[1].newest, reverse=True)
        fits.sort(key=lambda fit: (fit[0], SORTS.index(fit[1].thing.sort)))
        return [read.thing for _, read in fits]

    def _finished(self, code: str) -> Thing | None:
        """What has that code and is finished long ago."""
        if (lot := self._farm.lots.get(code)) is not None:
            return lot_thing(lot)
        tray = self._farm.trays.get(code)
        return None if tray is None else tray_thing(tray)


class _Read:
    """A thing with its words in small letters."""

    __slots__ = ("name", "newest", "rest", "text", "thing")

    def __init__(self, thing: Thing) -> None:
        self.thing = thing
        self.name = _WORD.findall(thing.name.lower())
        self.rest = _WORD.findall(f"{thing.says} {thing.also}".lower())
        self.text = f"{thing.name} {thing.says} {thing.also}".lower()
        self.newest = thing.on

    def score(self, words: Sequence[str], *, slips: bool) -> int | None:
        """How ill the words fit, 0 best; None where one of them does not."""
        total = 0 if self.thing.is_live else _FINISHED
        for word in words:
            if not slips and word not in self.text and canonical(word) not in self.thing.of:
                return None
            fit = self._fit(word, slips=slips)
            if fit is None:
                return None
            total += fit
        return total

    def _fit(self, word: str, *, slips: bool) -> int | None:
        if (code := canonical(word)) is not None and code in self.thing.of:
            return WHOLE
        found = [
            better + how
            for better, these in ((0, self.name), (_IN_SAYS, self.rest))
            for how, fits in _FITS
            if any(fits(word, one) for one in these)
        ]
        if found:
            return min(found)
        if slips and code is None and len(word) >= SLIP_LEAST and nearly(word, (*self.name, *self.rest)):
            return SLIP
        return None


_FITS: tuple[tuple[int, Callable[[str, str], Any]], ...] = (
    (WHOLE, lambda word, one: word == one),
    (BEGINS, lambda word, one: one.startswith(word)),
    (WITHIN, lambda word, one: word in one),
)
