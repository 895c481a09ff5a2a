"""A perennial that stands is divided in one line: all of it is lifted, parted, and set again where it stood; what is
left over lies in store."""

from __future__ import annotations

from core.codes import PLANTING, next_code
from core.crops.course import stays
from core.farm import Planting
from core.language.line import Line, Reading, Refused, whole
from core.language.names import is_code, several, take_plantings
from core.language.words import ROOTS
from core.marked import length_word
from core.season.years import how_to_divide
from core.settings.sheets import farm_sheet
from core.text import named
from core.tubers.stock import left_to_lift, roots_of
from core.units import plural


def divide_standing(line: Line) -> Reading:
    """ "divide P10 into 12", "divide peony e1 into 20 set 12": as many are set again as stood, unless that is said;
    "divide 10 P01 into 20" where the plants were never counted."""
    line.take_words(ROOTS)
    into, again = _after(line, "into"), _after(line, "set")
    counted = line.take_number("plants")
    line.take_words(("again", "back", "in"))
    stand = take_plantings(line)
    if len(stand) > 1:
        raise several(stand)
    (planting,) = stand
    called = f"{planting.code}, {named(planting.crop, planting.variety)} in bed {planting.bed},"
    sheet = farm_sheet(line.farm, planting.crop, planting.way, planting.variety)
    if sheet is not None and not stays(sheet):
        raise Refused(
            f"{called} does not stand for years: what is lifted into store is divided there, such as: lift "
            f"{planting.code}.",
            "impossible",
            ("lift",),
        )
    there = left_to_lift(line.farm, planting)
    if into is None or (there is None and counted is None):
        lacks = "Into how many?" if into is None else f"How many plants is {planting.code}?"
        raise Refused(f"{lacks} Write it so: {how_to_divide(planting, there)}; or: not yet {planting.code}.")
    count = there if there is not None else whole(counted or 0, "plants")
    if counted is not None and counted != count:
        raise Refused(
            f"{called} has {plural(count, 'plant')}: all are divided, {how_to_divide(planting, there)}; or some "
            f"are lifted into store and divided there: lift {whole(counted, 'plants')} {planting.code}.",
            "impossible",
        )
    back = min(count, into) if again is None else again
    if back > into:
        raise Refused(f"{into} pieces are fewer than the {back} to be set again.", "impossible", (str(into),))
    return _drafts(line, planting, count, into, back)


def _drafts(line: Line, planting: Planting, count: int, into: int, back: int) -> Reading:
    crop = {"crop": planting.crop, "variety": planting.variety}
    drafts = [
        line.draft(
            "lifted", planting=planting.code, ref=planting.made_by, bed=planting.bed, count=count, **crop
        ),
        line.draft("divided", count=count, pieces=into, **crop),
    ]
    if back:
        code = next_code(line.farm, PLANTING, line.known.mark)
        drafts.append(
            line.draft(
                "set out",
                planting=code,
                way=planting.way,
                bed=planting.bed,
                feet=planting.feet,
                plants=back,
                **crop,
            )
        )
        line.remark(f"{back} set again in {planting.bed}, a new planting: {code}")
    if into > back:
        line.remark(
            f"{into - back} left over in store: 'plant {planting.crop} BED {length_word().upper()} "
            f"{into - back} plants' takes them out, "
            f"'sold {into - back} {planting.crop} {roots_of(line.farm, planting.crop)} to BUYER' sells them"
        )
    return line.reading(*drafts)


def _after(line: Line, word: str) -> int | None:
    """The number behind a word, both taken; None where the word is not said, refused where no number follows it."""
    said = next((t for t in line.free() if t.is_word and t.low == word), None)
    if said is None:
        return None
    number = line.after(said)
    if number is None or number.number is None or number.unit not in ("", None, "plants"):
        raise Refused(f"Write the number behind '{word}', such as: divide P10 into 12.")
    said.taken = number.taken = True
    return whole(number.number, "pieces")


def names_planting(line: Line) -> bool:
    """Whether a planting is named by its code, or a bed."""
    return any(t.is_word and (is_code(t.low, PLANTING) or t.low in line.farm.beds) for t in line.words)
