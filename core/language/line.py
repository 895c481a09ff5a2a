"""A line being read: its words, which of them are understood already, and what has been found out so far."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any, TypeAlias

from core.book.entry import Draft
from core.codes import canonical
from core.crops.own_crop import own_names
from core.dialect import BRITISH, Way, way_of
from core.farm import Farm
from core.kinds import NUMBER_MOST
from core.language.tokens import Number, Token, times, tokens, with_whole_names
from core.language.words import (
    FILLERS,
    INSIST,
    LEADS_ON,
    METRIC,
    NAMES_WITH_A_KEYWORD,
    SCALES,
    UNIT_WORDS,
    UNITS_BEFORE,
    is_keyword,
    keywords,
)
from core.marked import length_word
from core.measures import KM_A_MILE, METERS_A_FOOT
from core.problems import Problem
from core.text import clean, nearest
from core.units import number, plainly, plural

if TYPE_CHECKING:
    from core.book.entry import Entry
    from core.language.verb import Verb
    from core.plans.succession import WarmthOf

QUOTES = "'\""
LARGEST_TOLD = 1e15
"""A number from which on its digits are no help: it is told as it was typed, in short."""

Find: TypeAlias = "Callable[..., list[Entry]]"
"""The entries whose id is, or ends with, a text, each as it counts."""

Lately: TypeAlias = "Callable[[str], Iterable[Entry]]"
"""What a person wrote within the last hour."""


def _nothing_lately(_by: str) -> tuple[Entry, ...]:
    return ()


def _no_book(*_ids: str) -> list[Entry]:
    """Where a line is read without its book, no entry can be named."""
    return []


@dataclass(frozen=True, slots=True)
class Known:
    """What a line may ask of the book and the machine that it is read at, beside the farm itself."""

    mark: str = ""
    """This machine's letter, which ends every new code."""
    warmth: WarmthOf | None = None
    """The warmth that the farm's weather record leads to expect, for spacing sowings."""
    find: Find = _no_book
    """Gives the entries of the book that a line names by their id."""
    clock: str | None = None
    """The farm's time of day, None where it is read as of a day."""
    lately: Lately = _nothing_lately
    """Gives what a person ("": whose machine it is) wrote within the last hour and did not take back."""


NO_BOOK = Known()
"""Where a line is read without its book."""


class Refused(Exception):  # noqa: N818 - no error: the answer of a reader, turned into a value by read_line
    """A line cannot be read further; carries the `Problem` that `read_line` answers with."""

    def __init__(self, sentence: str, code: str = "unreadable", near: Iterable[str] = ()) -> None:
        super().__init__(sentence)
        self.problem = Problem(sentence, code, tuple(near))


@dataclass(frozen=True, slots=True)
class Reading:
    """What a line says.

    `drafts` are ready for the book; `remarks` say what was assumed; `lot` is the lot made or meant, if any;
    `undo` is set where the line asks to take the last line back, and then there are no drafts; `sure` where it is to
    be taken back without being asked about first.
    """

    drafts: tuple[Draft, ...]
    remarks: tuple[str, ...] = ()
    lot: str | None = None
    undo: bool = False
    sure: bool = False
    by: str = ""
    """Whose line it is, where it says so ("by jo")."""
    amount: str = ""
    """The number of the line in stems and in bunches, where one could be taken for the other."""
    says: str = ""
    """What the line comes to in a few words, where its entries one after another would be too long."""
    in_short: str = ""
    """The same once it is written, where that is told of several entries in their place."""


@dataclass(slots=True)
class Line:
    """The words of one line on one farm. Readers take words from it; what is left was not understood."""

    text: str
    farm: Farm
    today: date
    known: Known
    words: list[Token] = field(default_factory=list)
    on: date = date.min
    insists: bool = False
    verb: str = ""
    by: str = ""
    """Whose line it is, where it says so."""
    amount: str = ""
    """The number of the line in stems and in bunches, where one could be taken for the other."""
    said: Verb | None = None
    """The verb that the line is, once that is found out."""
    claim: int = 0
    """How surely it is that verb's: see `core.language.verb`."""
    crop: str | None = None
    crop_sought: bool = False
    crop_named: bool = False
    use: str | None = None
    remarks: list[str] = field(default_factory=list)

    @staticmethod
    def of(text: str, farm: Farm, today: date, known: Known) -> Line:
        words = with_whole_names(tokens(text, farm.beds), (*own_names(farm), *NAMES_WITH_A_KEYWORD))
        line = Line(text, farm, today, known, _with_buyers(words, farm), today)
        line.insists = bool(line.take_words(INSIST))
        return line

    # what is left

    def free(self) -> list[Token]:
        """The words not understood yet, in order."""
        return [t for t in self.words if not t.taken]

    def after(self, token: Token, step: int = 1) -> Token | None:
        """The word `step` places on (or back), if it is there and not taken."""
        i = next(i for i, t in enumerate(self.words) if t is token) + step
        return self.words[i] if 0 <= i < len(self.words) and not self.words[i].taken else None

    # taking words

    def take_words(self, forms: Collection[str]) -> list[Token]:
        """Every untaken plain word that is one of `forms`."""
        found = [t for t in self.words if not t.taken and t.is_word and t.low in forms]
        for t in found:
            t.taken = True
        return found

    def take_quoted(self) -> str | None:
        """The first text in quotes."""
        for t in self.words:
            if t.quoted and not t.taken:
                t.taken = True
                return t.text
        return None

    def take_codes(self, letter: str) -> list[str]:
        """Every code of that letter, as it is printed: "l41" -> "L041"."""
        found = []
        for t in self.free():
            code = canonical(t.low) if t.is_word else None
            if code and code.startswith(letter):
                t.taken = True
                if code not in found:
                    found.append(code)
        return found

    def take_unit(self, unit: str, what: str) -> Number | None:
        """The number written in `unit` ("20ft"), or before or after a unit word; None where there is none."""
        found = [t for t in self.free() if t.number is not None and t.unit == unit]
        if not found:
            found = self.read_metric(unit)
        for t in self.free():
            if not found and t.is_word and t.low in UNITS_BEFORE and UNIT_WORDS[t.low] == unit:
                value = self.after(t)
                if value is None or value.number is None or value.unit:
                    raise Refused(f"How many {what}? Write the number after '{t.low}'.")
                t.taken = True
                found.append(value)
        return self._one(found, what)

    def read_metric(self, unit: str) -> list[Token]:
        """The figures written in a metric unit, turned into feet ("ft"), inches ("in") or miles an hour ("mph")."""
        found = []
        for t in self.free():
            # "15m" is minutes elsewhere
            is_metric = t.unit in METRIC or (t.unit == "min" and t.low.endswith("m"))
            wanted, factor = METRIC.get(t.unit, METRIC["m"])
            if t.number is not None and is_metric and wanted == unit:
                t.number, t.unit = kept(t.number * factor), unit
                if not self.way.metric:
                    self.remark(f"{self.text[t.start : t.end]} is {number(t.number)} {unit}")
                found.append(t)
        return found

    def take_length(self) -> Number | None:
        """A length in feet, said in feet or meters, or bare in those of the farm; None where there is none."""
        if (value := self.take_unit("ft", length_word())) is not None:
            return value
        value = self.take_number(length_word())
        return kept(value / METERS_A_FOOT) if value is not None and self.way.metric else value

    def mph(self, value: Token) -> Number:
        """Miles an hour of a wind, a bare number in the farm's own unit."""
        assert value.number is not None
        return kept(value.number / KM_A_MILE) if not value.unit and self.way.metric else value.number

    def fahrenheit(self, number: Number, unit: str = "") -> Number:
        """Degrees F of a number in one of `SCALES`: where none is said, the farm's own."""
        is_celsius = unit == "C" or (unit != "F" and self.way.celsius)
        return round(number * 1.8 + 32, 2) if is_celsius else number

    @property
    def is_british(self) -> bool:
        """Whether the farm's days have the day before the month."""
        return self.farm.settings.words == BRITISH

    @property
    def way(self) -> Way:
        """How the farm is told things, and so what a number without a unit means in its lines."""
        return way_of(self.farm.settings)

    def take_degrees(self, what: str) -> Number | None:
        """The temperature written with a scale ("28F", "-2C", "36 degrees"), in degrees F; None where there is none."""
        unit = next((t.unit for t in self.free() if t.unit and t.unit in SCALES), "")
        value = self.take_unit(unit, what) if unit else None
        return None if value is None else self.fahrenheit(value, unit)

    def take_number(self, what: str) -> Number | None:
        """The one number that stands alone; None where there is none."""
        return self._one([t for t in self.free() if t.number is not None and not t.unit], what)

    def take_count(self, what: str, *units: str) -> int | None:
        """A whole number from 0, alone or with one of `units`; None where there is none."""
        for unit in units:
            if (value := self.take_unit(unit, what)) is not None:
                return whole(value, what)
        value = self.take_number(what)
        return None if value is None else whole(value, what)

    def need_count(self, what: str, *units: str) -> int:
        """A whole number from 0, or the question how many."""
        count = self.take_count(what, *units)
        if count is None:
            raise Refused(f"How many {what}? Write the number.")
        return count

    def take_times(self) -> tuple[int, int] | None:
        """(12, 10) from "12x10"; None where no such word is there."""
        for token in self.free():
            if token.is_word and (found := times(token.low)):
                token.taken = True
                return found
            of = self.after(token) if token.number is not None and token.unit == "bunches" else None
            each = self.after(of) if of is not None and of.low == "of" else None
            if (
                each is not None and each.number is not None and each.unit in ("", "stems")
            ):  # "3 bunches of 10"
                token.taken = each.taken = True
                return whole(token.number or 0, "bunches"), whole(each.number, "stems")
        return None

    def _one(self, found: list[Token], what: str) -> Number | None:
        if len(found) > 1:
            both = " and ".join(t.text for t in found[:3])
            raise Refused(f"{both}: which is the number of {what}? Write one.", "ambiguous")
        if not found:
            return None
        found[0].taken = True
        value = found[0].number
        assert value is not None
        if abs(value) > NUMBER_MOST:
            told = f"{value:,.0f}" if abs(value) < LARGEST_TOLD else short(found[0].text)
            raise Refused(
                f"{told} is too large a number for {what}: {NUMBER_MOST:,.0f} at most. Check it, and write it again.",
                "impossible",
            )
        return value

    # telling

    def remark(self, sentence: str) -> None:
        self.remarks.append(clean(sentence))

    def tell_amount(self, stems: int, per: int) -> None:
        """Say so many stems in bunches of `per` as well, or that they are fewer than one."""
        bunches, loose = divmod(stems, per)
        rest = f" and {loose} loose" if loose else ""
        whole = f"{plural(stems, 'stem')} = {plural(bunches, 'bunch', 'bunches')} of {per}{rest}"
        self.amount = whole if bunches else f"{plural(stems, 'stem')}, no bunch of {per}: 'b' means bunches"
        self.remark(self.amount)

    def draft(self, kind: str, **fields: Any) -> Draft:
        """A draft of the line's day; fields that are None are left out."""
        return Draft(kind, self.on.isoformat(), {k: v for k, v in fields.items() if v is not None})

    def reading(self, *drafts: Draft, lot: str | None = None) -> Reading:
        """What was read; refused where a word of the line is not understood."""
        self.refuse_leftovers()
        return Reading(drafts, tuple(self.remarks), lot, by=self.by, amount=self.amount)

    def refuse_leftovers(self, known: Iterable[str] = ()) -> None:
        """Refuse the first word that nothing has understood: no word is dropped in silence."""
        for t in self.free():
            if t.is_word and t.low in FILLERS:
                if t is self.words[-1] and t.low in LEADS_ON:
                    raise Refused(f"'{t.text}' what? Write what comes after it, or leave it out.")
                continue
            raise not_understood(t, known, self.verb)


def _with_buyers(words: list[Token], farm: Farm) -> list[Token]:
    """The words, the name of a buyer that holds one of ours ("Farm Shop") as if it stood in quotes."""
    said = {t.low for t in words if t.is_word}
    for order in farm.orders.live():
        parts = order.buyer.lower().split()
        if len(parts) > 1 and said.issuperset(parts) and any(map(is_keyword, parts)):
            words = with_whole_names(words, (order.buyer,), quoted=True)
    return words


def not_understood(t: Token, known: Iterable[str] = (), verb: str = "") -> Refused:
    """The refusal of a word that has no place in the line, with the nearest of the words that would do."""
    shown = short(t.text)
    if t.quoted:
        return Refused(f"What is '{shown}' here? No text is wanted in this line.")
    if t.number is not None:
        return Refused(f"What is {shown} here? Leave it out, or say what it counts.")
    if t.text[0] in QUOTES:
        return Refused("A quote is opened and not closed: close it, or leave it out.")
    if UNIT_WORDS.get(t.low) in ("stems", "bunches"):
        return Refused(f"'{shown}' stands alone: write it right after its number, such as 3 {shown}.")
    near = nearest(t.low, known) or (() if is_keyword(t.low) else nearest(t.low, keywords()))
    hint = f" Did you mean {either(near)}?" if near else " Leave it out, or see the help for the words."
    where = f"in a '{verb}' line" if verb else "here"
    return Refused(f"'{shown}' is not understood {where}.{hint}", "unknown", near)


def kept(value: float) -> float:
    """A figure turned into the unit in which the book holds it: fine enough to be told again as it was said."""
    return round(value, 4)


def whole(value: Number, what: str) -> int:
    """`value` as a count, refused where it is below 0 or no whole number."""
    if value != int(value):
        raise Refused(f"{plainly(value)} is no whole number of {what}.", "impossible")
    if value < 0:
        raise Refused(f"{plainly(value)} {what}: a count begins at 0.", "impossible")
    return int(value)


def short(text: str, most: int = 24) -> str:
    """`text`, cut for a sentence."""
    return text if len(text) <= most else text[: most - 3] + "..."


def either(names: Iterable[str], word: str = "or") -> str:
    """ "a, b or c"; names that have a comma themselves are kept apart by semicolons."""
    known = list(names)
    between = "; " if any("," in name for name in known) else ", "
    return known[0] if len(known) == 1 else f"{between.join(known[:-1])} {word} {known[-1]}"
