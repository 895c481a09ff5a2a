"""Blooms spoiled on plants that live, in one bed or in many by one line: of each planting culls of a cut of none."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from core.codes import LOT, canonical, next_code
from core.cutting.said import grown_for
from core.farm import Planting
from core.field.bed_words import BED_WORDS, take_many_beds
from core.language.causes import need_cause
from core.language.crops import take_crop
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import has_bed, several
from core.language.tokens import Number, Token
from core.language.verb import NOT, Verb, lost_claim, take_loss
from core.language.words import ALL, PLACE_WORDS
from core.text import named
from core.units import number, plural

BLOOMS = frozenset(("bloom", "blooms", "flower", "flowers", "heads", "buds", "stem", "stems"))
SPOILERS = ("hail", "rain", "wind", "heat", "sun", "frost", "pests", "deer", "other")
"""What spoils blooms on plants that live: the short list that is offered."""
KILLS = frozenset(("frost", "deer", "slugs", "rabbits", "disease", "dried out", "pests"))
"""What kills plants as well: which of both is meant is asked, where only a share is told."""
HALF = 50
LATELY = timedelta(weeks=4)
"""What a cut before that gave says nothing of the blooms that stand there now (ours)."""


def spoiled(line: Line) -> Reading:
    """ "lost 40 % b1-b6 hail", "lost all blooms b1 b2 frost", "lost 40 blooms b3 zinnia hail"."""
    tells = _tells_blooms(line)
    percent, count = _take_share(line)
    line.take_words(BLOOMS)
    beds = (take_many_beds(line) or "").split()
    line.take_words(("the", "of", "in"))
    crop = take_crop(line)
    cause = need_cause(line, SPOILERS)
    line.refuse_leftovers(SPOILERS)
    if not tells and cause in KILLS:
        told = f"{number(percent or 0)} %"
        raise Refused(
            f"Blooms or plants? Blooms on plants that live: lost {told} blooms {' '.join(beds)} {cause}. Dead plants "
            f"are counted, bed by bed: lost 6 {cause} {beds[0]}.",
            "ambiguous",
            ("blooms",),
        )
    stand = [p for bed in beds for p in line.farm.standing_in(bed) if crop in (None, p.crop)]
    if count is not None:
        lost = [(_one(line, stand, beds, crop), whole(count, "blooms"))]
    else:
        lost = [
            (p, max(round(last * (percent or 0) / 100), 1)) for p in stand if (last := _last_gave(line, p))
        ]
        _remark_passed_over(line, stand, [p for p, _ in lost])
        line.remark(f"{number(percent or 0)} % of what each gave at its last cut")
    if not lost:
        raise Refused(
            f"Nothing was cut lately of {either([f'bed {bed}' for bed in beds], 'and')}, so no share of it is known: "
            f"write how many, bed by bed: lost 40 blooms {beds[0]} {cause}.",
            "unknown",
            (f"lost 40 blooms {beds[0]} {cause}",),
        )
    drafts = [
        line.draft(
            "cut",
            lot=next_code(line.farm, LOT, line.known.mark, after=n),
            crop=p.crop,
            variety=p.variety,
            planting=p.code,
            bed=p.bed,
            use=_use(line, p),
            stems=0,
            culls=culls,
            cull_cause=cause,
            ref=p.made_by,
        )
        for n, (p, culls) in enumerate(lost)
    ]
    told = ", ".join(f"{p.bed} {named(p.crop, p.variety)} {culls:,}" for p, culls in lost)
    says = f"{plural(sum(culls for _, culls in lost), 'bloom')} lost to {cause}: {told}"
    return replace(line.reading(*drafts, lot=drafts[-1].fields["lot"]), says=says, in_short=says)


def _tells_blooms(line: Line) -> bool:
    return any(t.unit == "stems" or (t.is_word and t.low in BLOOMS) for t in line.words)


def _take_share(line: Line) -> tuple[Number | None, Number | None]:
    """(the percent that is lost, or how many): of "all blooms" and "half" a percent, too."""
    percent = line.take_unit("%", "percent")
    for token in line.free():
        after = line.after(token)
        if token.low == ALL and not (after is not None and after.low in BED_WORDS):
            token.taken, percent = True, percent or 100
    if line.take_words(("half",)):
        percent = percent or HALF
    if percent is not None:
        if not 0 < percent <= 100:
            raise Refused(
                f"{number(percent)} % cannot be lost: write above 0, and 100 at most.", "impossible"
            )
        return percent, None
    count = line.take_count("blooms", "stems")
    if count is None:
        raise Refused(
            "How many blooms? Write a share or a number: lost 40 % blooms b1-b3 hail, or lost 40 blooms b1 hail."
        )
    return None, count


def _one(line: Line, stand: list[Planting], beds: list[str], crop: str | None) -> Planting:
    """The one planting of which so many are lost; of several a share is told, or each by itself."""
    if not stand:
        what = crop or "Nothing"
        raise Refused(f"{what} stands in {either([f'bed {bed}' for bed in beds])}.", "unknown")
    if len(beds) > 1:
        raise Refused(
            "So many of which bed? Write a share of all (lost 40 % blooms b1-b6 hail), or one line for each bed.",
            "ambiguous",
        )
    if len(stand) > 1:
        crops = tuple(dict.fromkeys(p.crop for p in stand))
        if len(crops) == 1:
            raise several(stand)
        raise Refused(f"Bed {beds[0]} has {either(crops, 'and')}: name the crop.", "ambiguous", crops)
    return stand[0]


def _last_gave(line: Line, planting: Planting) -> int:
    """Good stems of the last cut that gave any; 0 where none of these weeks did."""
    since, day = (line.on - LATELY).isoformat(), line.on.isoformat()
    return next((cut.stems for cut in reversed(planting.lately) if cut.stems and since <= cut.on <= day), 0)


def _remark_passed_over(line: Line, stand: list[Planting], lost: list[Planting]) -> None:
    passed = [f"{p.bed} {p.crop}" for p in stand if p not in lost]
    if passed and lost:
        line.remark(f"nothing was cut lately of {either(passed, 'and')}: nothing is counted there")


def _use(line: Line, planting: Planting) -> str:
    """What its last lot was cut for, else what its crop is grown for."""
    lots = [lot for lot in line.farm.lots.live() if lot.planting == planting.code]
    if lots:
        return lots[-1].use
    return grown_for(line.farm, planting.crop, planting.way, planting.variety) or "fresh"


def _claims(line: Line, token: Token) -> int:
    """A loss in beds is of blooms where they are named, or a share is told and no plants are."""
    words = [t for t in line.words if t.is_word]
    in_beds = has_bed(line) or any(_is_range(t.low) or t.low in BED_WORDS for t in words)
    elsewhere = any(t.low in PLACE_WORDS for t in words) or any(t.unit == "plants" for t in line.words)
    told = _tells_blooms(line) or any(t.unit == "%" for t in line.words)
    return lost_claim(line, token) + 2 if in_beds and told and not elsewhere else NOT


def _is_range(word: str) -> bool:
    first, dash, _ = word.partition("-")
    return bool(dash) and first[:1].isalpha() and first[-1:].isdigit() and canonical(first) is None


VERB = Verb(
    "lost",
    spoiled,
    "Cut",
    (
        ("lost 40 % b3-b5 hail", "blooms spoiled on plants that live: of what each gave at its last cut"),
        ("lost all blooms b3 b4 hail", "all of them; 'lost 40 blooms b3 hail' where they were counted"),
    ),
    claims=_claims,
    take=take_loss,
)
