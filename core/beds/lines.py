"""Beds in a line: made, planted, drilled, pinched, netted, covered, cleared."""

from __future__ import annotations

from datetime import date
from typing import Any

from core.beds.loss_lines import CAUSES, lost
from core.beds.new_beds import bed
from core.book.entry import Draft
from core.codes import LOT, PLANTING, TRAY, canonical, next_code
from core.crops.spacing import feet_for_plants
from core.dialect import told_degrees, told_feet, told_size
from core.farm import Farm, Planting, Tray
from core.language.bed_names import take_bed, take_beds
from core.language.causes import usual_causes
from core.language.crops import need_crop, take_crop, take_variety, take_way
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import has_bed, is_code, one_planting, take_plantings_of_beds, take_share, take_trays
from core.language.offers import beds, has_code, in_bed, trays, words
from core.language.tokens import Number, Token
from core.language.verb import LIKELY, NOT, Verb, first_or_sure, leave_word, lost_claim, take_loss
from core.language.words import ALL, PLACE_WORDS, ROOTS, TRAY_WORDS
from core.marked import length_word, typed_feet
from core.seed_rows import Packet
from core.seeds.choosing import from_packet, refuse_roots, take_named, take_seeds
from core.settings.sheets import farm_sheet
from core.text import named
from core.trays.rows import hardiness_of, tray_rows
from core.tubers.store_and_bed import remark_on_store, variety_in_store
from core.units import day_text, plural, short_day
from core.weather.night import kept_from_ground


def set_out(line: Line) -> Reading:
    """ "set out S12 b3 20ft": all the living plants, and the feet they need, unless said."""
    feet = line.take_unit("ft", length_word())
    bed = take_bed(line)
    trays = take_trays(line)
    plants = take_share(line, trays[0].alive)
    if plants is None:
        plants = line.take_count("plants", "plants")
    line.refuse_leftovers()
    if len(trays) > 1 and (plants is not None or feet is not None):
        codes = either([tray.code for tray in trays], "and")
        raise Refused(f"Of which of {codes}? Write one line for each with its number.", "ambiguous")
    return line.reading(
        *(
            _set_out_draft(line, tray, bed, tray.alive if plants is None else plants, feet, n)
            for n, tray in enumerate(trays)
        )
    )


def _set_out_draft(
    line: Line, tray: Tray, bed: str | None, plants: int, feet: Number | None, before: int
) -> Draft:
    """So many of a tray into the bed; `before` plantings are made by the same line."""
    if not tray.is_live:
        raise Refused(
            f"{tray.code} has no plants left since {short_day(date.fromisoformat(tray.closed_on or tray.sown))}: they "
            "are planted or lost.",
            "impossible",
        )
    if bed is None:
        raise Refused(
            f"Into which bed is {tray.code} set out? Write its code.", near=list(line.farm.beds)[:6]
        )
    _remark_on_haste(line, tray)
    return line.draft(
        "set out",
        planting=next_code(line.farm, PLANTING, line.known.mark, after=before),
        crop=tray.crop,
        variety=tray.variety,
        way=tray.way,
        tray=tray.code,
        bed=bed,
        plants=plants,
        feet=_feet_for(line, tray, bed, plants) if feet is None else _long(feet),
        ref=tray.made_by,
    )


EARLY_DAYS = 7
"""So many days before its window a setting out is remarked on (ours)."""


def _remark_on_haste(line: Line, tray: Tray) -> None:
    """What speaks against setting a tray out now: steps of its ladder left, its window still to come, a cold night."""
    row = next((row for row in tray_rows(line.farm, line.on) if row.tray == tray.code), None)
    if row is None:
        return
    if row.step < row.steps:
        line.remark(
            f"{tray.code} has done {row.step} of {row.steps} hardening steps: shade it, mind wind and cold"
        )
    window = row.window_from
    if window is not None and (days := (date.fromisoformat(window) - line.on).days) >= EARLY_DAYS:
        line.remark(f"its window opens on {day_text(window)}, {plural(days, 'day')} from now")
    kept = kept_from_ground(
        line.farm,
        farm_sheet(line.farm, tray.crop, tray.way, tray.variety),
        hardiness_of(line.farm, tray),
        line.on,
    )
    if kept is not None:
        line.remark(
            f"{kept.says}: planted out it is left at {told_degrees(kept.guard_f)} or more, have a cover ready"
        )


def _feet_for(line: Line, tray: Tray, bed: str, plants: int) -> Number:
    """The feet that the plants take at the crop's spacing in a bed of that width."""
    sheet = farm_sheet(line.farm, tray.crop, tray.way, tray.variety)
    if sheet is None or sheet.spacing_in is None or sheet.spacing_in.value <= 0:
        raise Refused(
            f"How many {length_word()} of bed {bed} do {plants} {tray.crop} take? Write it: {typed_feet(20)}.",
            near=(typed_feet(20),),
        )
    spacing = sheet.spacing_in.value
    feet = feet_for_plants(plants, line.farm.beds[bed].width_in, spacing)
    line.remark(f"{plants} plants at {told_size(spacing)} take {told_feet(feet)} of bed {bed}")
    return feet


def _long(feet: Number) -> Number:
    if feet <= 0:
        raise Refused(f"A length in a bed is above {told_feet(0)}.", "impossible")
    return feet


def plant(line: Line) -> Reading:
    """ "plant zinnia b4 25ft 60 plants": bought in, or standing there when the book began; with a tray, set out."""
    if any(t.is_word and is_code(t.low, TRAY) for t in line.free()):
        return set_out(line)
    return _into_bed(line, "set out")


def drill(line: Line) -> Reading:
    """ "drill larkspur b5 30ft": sown where it is to stand."""
    return _into_bed(line, "drilled")


def _into_bed(line: Line, kind: str) -> Reading:
    feet = line.take_unit("ft", length_word())
    plants = line.take_unit("plants", "plants") if kind == "set out" else None
    seeds = line.take_unit("seeds", "seeds") if kind == "drilled" else None
    bed = take_bed(line)
    packet = take_named(line) if kind == "drilled" else None
    of_roots = bool(kind == "set out" and line.take_words(ROOTS))
    crop = need_crop(line)
    way = take_way(line, crop)
    weighed = take_seeds(line, crop, packet) if kind == "drilled" else None
    _refuse_trays(line, crop)
    variety = take_variety(line, crop) or (variety_in_store(line, crop) if of_roots else None)
    if kind == "drilled":
        refuse_roots(line, crop, variety, is_seed=bool(seeds or packet or weighed))
    if plants is None and kind == "set out":
        plants = line.take_number("plants")
    line.refuse_leftovers()
    if bed is None:
        raise Refused(f"In which bed is the {crop}? Write its code.", near=list(line.farm.beds)[:6])
    if feet is None:
        raise Refused(
            f"How many {length_word()} of bed {bed} has the {crop}? Write it: {typed_feet(25)}.",
            near=(typed_feet(25),),
        )
    if kind == "set out":
        remark_on_store(line, crop, variety, plants)
    seed = _seed_of(line, crop, variety, weighed[0] if weighed else seeds, packet)
    return line.reading(
        line.draft(
            kind,
            planting=next_code(line.farm, PLANTING, line.known.mark),
            crop=crop,
            variety=seed.pop("variety"),
            way=way,
            bed=bed,
            feet=_long(feet),
            plants=None if plants is None else whole(plants, "plants"),
            **seed,
        )
    )


def _refuse_trays(line: Line, crop: str) -> None:
    """Refuse to plant into a tray: what is planted stands in a bed."""
    if any(t.is_word and t.low in TRAY_WORDS for t in line.free()):
        raise Refused(
            f"What is planted stands in a bed, not in trays: plant 40 {crop} b3 {typed_feet(5)}. What is "
            "begun from seed in a "
            "tray is sown: sow 72 statice.",
            "impossible",
            ("sow",),
        )


def _seed_of(
    line: Line, crop: str, variety: str | None, seeds: Number | None, packet: Packet | None
) -> dict[str, Any]:
    """The seed that was drilled, where its amount is said or its packet named, and from where it came."""
    if seeds is not None:
        count = whole(seeds, "seeds")
        return {"seeds": count, **from_packet(line, crop, variety, count, packet)}
    if packet is None:
        return {"variety": variety}
    line.remark(f"how much of {packet.code}? '2 g' or '300 seeds' takes it out of the drawer")
    return {"variety": variety or packet.variety, "packet": packet.code, "ref": packet.made_by}


NEVER = ("no", "not", "never", "don't", "dont", "i")
"""Words before a job that say that it is not done, and is not to be asked for."""


def _declined(line: Line, job: str) -> Reading | None:
    """ "no net zinnia", "I don't pinch P03": the job is not asked again, of a crop or of what stands in a bed."""
    if not line.take_words(NEVER):
        return None
    if has_bed(line):
        stand = [p for there in take_plantings_of_beds(line) for p in there]
        return line.reading(*(line.draft("declined", job=job, planting=p.code, ref=p.made_by) for p in stand))
    return line.reading(line.draft("declined", job=job, crop=need_crop(line)))


def pinch(line: Line) -> Reading:
    """ "pinch b3", "pinch b3 zinnia", "pinch b3 b4", "never pinch zinnia"."""
    if declined := _declined(line, "pinched"):
        return declined
    stand = [one_planting(there) for there in take_plantings_of_beds(line)]
    return line.reading(*(line.draft("pinched", planting=p.code, ref=p.made_by) for p in stand))


def net(line: Line) -> Reading:
    """ "net b3", "net b3 b4": a net lies over all that stands in the bed, unless a crop is named; "no net zinnia"."""
    if declined := _declined(line, "netted"):
        return declined
    fresh: list[Planting] = []
    for stand in take_plantings_of_beds(line):
        fresh += [p for p in stand if "netted" not in p.jobs] or stand
    if len(fresh) > 1:
        line.remark(f"over {', '.join(p.crop for p in fresh)}")
    return line.reading(*(line.draft("netted", planting=p.code, ref=p.made_by) for p in fresh))


def clear(line: Line) -> Reading:
    """ "clear b3 zinnia": the planting is done, its feet are free; "clear b3 b4", what stands alone in each; "clear all
    b3", all that stands there."""
    if tray := next((code for word in line.words if (code := canonical(word.low)) and code[0] == TRAY), None):
        raise Refused(
            f"A tray ends with what is lost of it: lost {tray} other.", near=(f"lost {tray} other",)
        )
    is_all = bool(line.take_words((ALL,)))
    of_beds = take_plantings_of_beds(line)
    gone = [p for stand in of_beds for p in (stand if is_all else [one_planting(stand)])]
    if len(gone) > 1:
        line.remark(f"all of {either([f'{named(p.crop, p.variety)} in {p.bed}' for p in gone], 'and')}")
    return line.reading(*(line.draft("cleared", planting=p.code, ref=p.made_by) for p in gone))


def cover(line: Line) -> Reading:
    """ "cover b3 b4", "cover b1-b6 tonight"."""
    return line.reading(*_beds(line, "covered"))


def uncover(line: Line) -> Reading:
    """ "uncover b3 b4"."""
    return line.reading(*_beds(line, "uncovered"))


def _beds(line: Line, kind: str) -> list[Draft]:
    """Of several beds those that are so already are passed over, and told."""
    line.take_words(("tonight",))
    beds = take_beds(line)
    already = [bed for bed in beds if bool(line.farm.beds[bed].covered_on) == (kind == "covered")]
    if already and len(already) < len(beds):
        line.remark(f"{either(already, 'and')} {'is' if len(already) == 1 else 'are'} {kind} already")
        beds = [bed for bed in beds if bed not in already]
    return [line.draft(kind, bed=bed) for bed in beds]


def _claims_lost(line: Line, token: Token) -> int:
    """A loss is of plants where a planting, a bed or a crop is named, and no place of the shed."""
    named = any(
        t.is_word
        and (is_code(t.low, PLANTING) or t.low in line.farm.beds or t.low == "bed" or _looks_like_bed(t.low))
        for t in line.free()
    )
    in_shed = any(t.is_word and (t.low in PLACE_WORDS or is_code(t.low, LOT)) for t in line.free())
    return lost_claim(line, token) + 1 if not in_shed and (named or take_crop(line)) else NOT


def _looks_like_bed(word: str) -> bool:
    return word[:1].isalpha() and word[-1:].isdigit() and canonical(word) is None


def _claims_bed(line: Line, token: Token) -> int:
    """ "bed" makes one where the line begins with it or says its feet; else it stands before a bed's name."""
    return LIKELY if token is line.words[0] or any(t.unit == "ft" for t in line.words) else NOT


def _claims_sow(line: Line, token: Token) -> int:
    """What is sown into a bed, and not into a tray."""
    in_feet = any(t.unit == "ft" for t in line.words)
    return first_or_sure(line, token) + 1 if has_bed(line) or in_feet else NOT


def _loss_causes(line: Line, farm: Farm) -> tuple[str, ...]:
    return usual_causes(farm, CAUSES) if has_code(line, PLANTING) or not has_code(line) else ()


_JOB = "Beds"

VERBS = (
    Verb(
        "bed",
        bed,
        _JOB,
        (("bed b9 {typed_feet:50}", "a new bed, {size:36} wide unless said; m and cm: help units"),),
        (beds,),
        claims=_claims_bed,
        take=leave_word,
    ),
    Verb(
        "set out",
        set_out,
        _JOB,
        (("set out S12 b5 {typed_feet:20}", "a tray into a bed"),),
        (trays, beds, words("plants")),
        follow=("plants", "yesterday"),
        small=("out",),
    ),
    Verb(
        "plant",
        plant,
        _JOB,
        (("plant peony b5 {typed_feet:10} 12 plants on 2024-10-01", "bought in, or standing there already"),),
        (*in_bed, words("plants")),
        follow=("plants", "yesterday"),
        small=("out",),
    ),
    Verb(
        "drill",
        drill,
        _JOB,
        (
            (
                "direct sow larkspur b5 {typed_feet:20}",
                "sown where it is to stand; also: drill larkspur b5 {typed_feet:20}",
            ),
        ),
        in_bed,
        small=("sow", "sowed", "sown", "seed", "seeded"),
    ),
    Verb("sow", drill, offers=in_bed, claims=_claims_sow),
    Verb(
        "pinch",
        pinch,
        _JOB,
        (
            ("pinch b4", "also: net b4, cover b4, uncover b4"),
            ("I don't pinch zinnia", "not asked again; 'no net b4' for what stands in one bed"),
        ),
        in_bed,
    ),
    Verb("net", net, offers=in_bed, small=("up",)),
    Verb("cover", cover, offers=(beds,)),
    Verb("uncover", uncover, offers=(beds,)),
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost 5 slugs b3 strawflower", "plants lost in a bed"),),
        (_loss_causes, *in_bed),
        claims=_claims_lost,
        take=take_loss,
        small=("out", "away"),
    ),
    Verb(
        "clear",
        clear,
        _JOB,
        (("clear b4 zinnia", "done with, its {length_word} are free"),),
        in_bed,
        small=("out",),
    ),
)
