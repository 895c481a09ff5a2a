"""The cut: "40 strawflower b3 dry", or just "40" for the same as last time."""

from __future__ import annotations

from datetime import timedelta
from typing import NamedTuple

from core.beds.days_of_cutting import is_at_stage
from core.beds.kinds import is_lost
from core.codes import LOT, PLANTING, next_code
from core.crops.color import called_so, in_full, is_of_color
from core.cutting.claims import claims
from core.cutting.said import culled_word, grown_for, take_asked, take_stage, take_use, take_waited
from core.cutting.spoiled_lines import VERB as SPOILED
from core.farm import Farm, Lot, Planting
from core.language.bed_names import take_bed
from core.language.causes import take_cause
from core.language.clock import take_clock
from core.language.crops import no_crop, take_crop, take_variety, varieties_of
from core.language.line import Line, Reading, Refused, either, short, whole
from core.language.names import as_it_stands, beds_of, is_code, several, stands_in, take_plantings
from core.language.offers import beds, crops, varieties, words
from core.language.verb import Verb
from core.language.words import FILLERS, USE_OF, WEEKDAYS
from core.marked import length_word, typed_feet
from core.places import USES
from core.settings.sheets import caution, sheet_bunch
from core.text import named
from core.tubers.kinds import FORCED
from core.tubers.stock import Tubers


class _Place(NamedTuple):
    """Where a cut comes from; no planting where the crop is on record nowhere."""

    crop: str
    bed: str
    planting: Planting | None
    variety: str | None


def cut(line: Line) -> Reading:
    """One lot in the bucket: crop, variety, bed, use, stems; culls with cause, minutes, stage and the hours out of
    water if said."""
    _refuse_plants(line)
    dry_hours = take_waited(line)
    clock = take_clock(line)
    asked = take_asked(line)
    culled = culled_word(line)
    culls = line.take_unit("culls", "culls")
    cause = take_cause(line, culled) if culls is not None else None
    minutes = line.take_unit("min", "minutes")
    if minutes is not None and minutes < 0:
        raise Refused("Minutes begin at 0.", "impossible")
    stage = take_stage(line)
    line.use = take_use(line)
    place = _take_place(line)
    stems = _take_stems(line, place)
    variety = place.variety
    line.refuse_leftovers(USES)
    if stems is None:
        raise Refused(f"How many stems of {place.crop}? Write the number.")
    if culls is None and stems == 0:
        raise Refused("A cut needs at least one stem, or culls.", "impossible")
    use = line.use or _last_use(line, place)
    planting = place.planting
    if culls and cause is None:
        line.remark("no cause was said for the culls")
    lot = next_code(line.farm, LOT, line.known.mark)
    drafts = [
        line.draft(
            "cut",
            lot=lot,
            crop=place.crop,
            variety=variety,
            planting=planting.code if planting else None,
            bed=place.bed,
            use=use,
            stems=stems,
            asked=asked,
            culls=None if culls is None else whole(culls, "culls"),
            cull_cause=cause,
            minutes=minutes,
            stage=stage,
            dry_hours=dry_hours,
            clock=clock,
            ref=planting.made_by if planting else None,
        )
    ]
    if planting is None and (why := _not_there(line, place.crop, place.bed)):  # she insists: see `_planting`
        drafts.append(line.draft("note", about=lot, text=f"anyway: {why}"))
    _remark_on_care(line, place.crop)
    return line.reading(*drafts, lot=lot)


STANDING = frozenset(("stand", "stands", "standing", "stood", "growing", "grow", "grows"))


def _refuse_plants(line: Line) -> None:
    """Refuse what tells of plants in a bed, and not of stems cut: how it is written is said."""
    counted = [t for t in line.free() if t.unit == "plants"]
    if not counted and not any(t.is_word and not t.quoted and t.low in STANDING for t in line.free()):
        return
    number = next((t.number for t in counted or line.free() if t.number is not None), None)
    bed, crop = take_bed(line), take_crop(line)
    many = f" {number:g} plants" if number is not None else ""
    told = f"plant {crop or 'peony'} {bed or 'b8'} {typed_feet(10)}{many}"
    raise Refused(
        f"Plants that stand in a bed are written with its {length_word()}: {told}.", "unreadable", (told,)
    )


def _remark_on_care(line: Line, crop: str) -> None:
    """The caution for handling a crop, at its first cut of the season."""
    year = f"{line.on.year}"
    is_first = not any(
        (p.last_cut or "").startswith(year) for p in line.farm.plantings.live() if p.crop == crop
    )
    if is_first and (said := caution(line.farm, crop)):
        line.remark(f"! {said}")


def _take_stems(line: Line, place: _Place) -> int | None:
    """The stems said, or those of the bunches said by the size of a bunch on the crop's sheet."""
    bunches = line.take_unit("bunches", "bunches")
    if bunches is None:
        return line.take_count("stems", "stems")
    use = line.use or _last_use(line, place)
    size = sheet_bunch(line.farm, place.crop, "fresh" if use == "fresh" else "dried")
    if size is None:
        raise Refused(f"How many stems of {place.crop} to a bunch? Write the number of stems.")
    line.remark(f"bunches of {size}, as the {place.crop} sheet has it")
    stems = whole(bunches, "bunches") * size
    line.tell_amount(stems, size)
    return stems


def _take_place(line: Line) -> _Place:
    by_code = any(t.is_word and is_code(t.low, PLANTING) for t in line.free())
    if by_code:
        bed = take_bed(line)
        stand = take_plantings(line)
        if len(stand) > 1:
            raise several(stand)
        if bed not in (None, stand[0].bed):
            raise Refused(
                f"{stand[0].code} stands in bed {stand[0].bed}, not in {bed}.", "impossible", [stand[0].bed]
            )
        variety = take_variety(line, stand[0].crop) or stand[0].variety
        return _Place(stand[0].crop, stand[0].bed, stand[0], variety)
    is_forced = FORCED not in line.farm.beds and bool(line.take_words((FORCED,)))
    bed, crop = take_bed(line), take_crop(line)
    stands_nowhere = bed is None and crop is not None and not beds_of(line.farm, crop)
    if is_forced or stands_nowhere:
        forced = _take_forced(line, crop, is_named=is_forced)
        if forced is not None:
            return forced
    if crop is None and bed is None:
        return _as_last_time(line)
    if crop is None:
        assert bed is not None
        crop = _one_crop_in(line, bed)
        variety = _known_variety(line, crop, f"bed {bed} has {crop}")
    else:
        crop = crop if bed is None else as_it_stands(line, crop, bed)
        variety = take_variety(line, crop)
    if bed is None:
        bed = _one_bed_of(line, crop)
    planting = _planting(line, crop, bed, variety)
    return _Place(crop, bed, planting, in_full(variety, planting.variety if planting else None))


def _take_forced(line: Line, crop: str | None, *, is_named: bool) -> _Place | None:
    """Bulbs that came out of the cold to flower, where "forced" is said, or the crop stands in no bed."""
    left = [stock for stock in line.farm.part(Tubers).all() if stock.to_cut and crop in (None, stock.crop)]
    if not left:
        if not is_named:
            return None
        raise Refused(
            f"No forced {crop or 'bulbs'} are left to cut: 'force tulip bulbs out' brings them out.",
            "unknown",
        )
    crops = tuple(dict.fromkeys(stock.crop for stock in left))
    if len(crops) > 1:
        raise Refused(f"Which of the forced bulbs: {either(crops)}?", "ambiguous", crops)
    variety = take_variety(line, crops[0])
    if variety is None and len(left) > 1:
        sorts = [stock.variety or "no variety" for stock in left]
        raise Refused(f"Which forced {crops[0]}: {either(sorts)}?", "ambiguous", sorts)
    line.remark("of the forced bulbs")
    return _Place(crops[0], FORCED, None, variety or left[0].variety)


def _as_last_time(line: Line) -> _Place:
    last = _last_lot(line)
    if last is None:
        raise no_crop(line)
    if len(line.words) == 2 and (day := line.words[0]).low in WEEKDAYS:
        number = line.words[1].text
        raise Refused(
            f"Cut last {day.text}, or the low of the night to come? Write '{number} {day.low}' for the cut, "
            f"'{day.low} night {number}' for the forecast.",
            "ambiguous",
        )
    said = _known_variety(line, last.crop, f"{last.code} was {last.crop}")
    line.crop, line.use = last.crop, line.use or last.use
    if last.bed not in line.farm.beds:
        return _Place(last.crop, last.bed, None, said or last.variety)
    planting = line.farm.plantings.get(last.planting) if last.planting else None
    if planting is None or not planting.is_live:
        planting = _planting(line, last.crop, last.bed, said or last.variety)
    what = named(last.crop, last.variety if said is None else said)
    line.remark(f"as {last.code}: {what} from bed {last.bed} for {line.use}")
    return _Place(last.crop, last.bed, planting, in_full(said, last.variety))


def _last_lot(line: Line) -> Lot | None:
    """The lot cut last, by the day on which the book is read."""
    farm, today = line.farm, line.today.isoformat()
    last = farm.lots.get(farm.last_lot) if farm.last_lot else None
    if last is not None and last.cut_on > today:
        last = max(
            (lot for lot in farm.lots.live() if lot.cut_on <= today),
            key=lambda lot: lot.cut_on,
            default=None,
        )
    return last


def _known_variety(line: Line, crop: str, because: str) -> str | None:
    """The variety named where no crop is: only one that the farm has of it, for a color may be another plant."""
    first = next((t for t in line.free() if t.is_word and t.low not in FILLERS), None)
    variety = take_variety(line, crop)
    known = varieties_of(line.farm, crop)
    if variety is None or first is None or any(is_of_color(name, variety) for name in known):
        return variety
    raise Refused(
        f"No crop is called '{short(first.text)}'; {because}. If that is what was cut, write {crop} as well.",
        "unknown",
        (crop,),
    )


def _one_crop_in(line: Line, bed: str) -> str:
    crops = tuple(dict.fromkeys(p.crop for p in line.farm.standing_in(bed)))
    if any(t.is_word for t in line.free() if t.low not in USE_OF) and len(crops) != 1:
        raise no_crop(line)
    if not crops:
        raise Refused(f"Which crop? Nothing stands in bed {bed} on record.")
    if len(crops) > 1:
        raise Refused(f"Bed {bed} has {either(crops, 'and')}: name the crop.", "ambiguous", crops)
    line.crop = crops[0]
    return crops[0]


def _one_bed_of(line: Line, crop: str) -> str:
    beds = beds_of(line.farm, crop)
    if len(beds) == 1:
        line.remark(f"{crop} stands in bed {beds[0]} alone")
        return beds[0]
    if beds:
        raise Refused(f"From which bed? {crop} stands in {either(beds, 'and')}.", "ambiguous", beds)
    hint = "" if line.farm.beds else f": write 'bed b3 {typed_feet(50)}' to make one"
    raise Refused(f"From which bed? {crop} stands in none on record{hint}.", near=list(line.farm.beds)[:6])


def _planting(line: Line, crop: str, bed: str, variety: str | None) -> Planting | None:
    """The planting a cut comes from; refused where the crop stands elsewhere, or in several plantings."""
    stand = stands_in(line.farm, crop, bed)
    same_variety = called_so(stand, variety) if variety else []
    fit = same_variety or stand
    if len(fit) > 1 and (last := _last_planting(line, fit)):
        line.remark(f"counted from {last.code}, as last time")
        return last
    if len({(p.variety or "").lower() for p in fit}) > 1:
        raise several(fit)
    if len(fit) > 1:
        return _first_at_stage(line, fit)
    if fit:
        if variety and fit[0].variety and not same_variety:
            line.remark(f"{fit[0].code} is on record as {fit[0].variety}")
        return fit[0]
    if lost := _lost_there(line, crop, bed, variety):  # asked about, as any cut of what is lost
        return lost
    elsewhere = _not_there(line, crop, bed)
    if elsewhere and not line.insists:
        near = beds_of(line.farm, crop) or tuple(dict.fromkeys(p.crop for p in line.farm.standing_in(bed)))
        raise Refused(f"{elsewhere}. Add 'anyway' to insist.", "impossible", near)
    if not elsewhere:
        line.remark(f"bed {bed} has no {crop} on record: counted without a sowing")
    return None


def _first_at_stage(line: Line, alike: list[Planting]) -> Planting:
    """Of plantings of one sort in a bed the oldest of those that are at stage; where none is, the oldest."""
    at_stage = [p for p in alike if is_at_stage(line.farm, p, line.on)]
    first = min(at_stage or alike, key=lambda p: (p.out_on, p.code))
    what = (
        f"the oldest at stage of {len(alike)}"
        if at_stage
        else f"the oldest of {len(alike)}, none yet at stage"
    )
    others = [p.code for p in alike if p is not first]
    line.remark(f"from {first.code}, {what} (of another write its code, {either(others)})")
    return first


def _lost_there(line: Line, crop: str, bed: str, variety: str | None) -> Planting | None:
    """The planting of the crop that stood in the bed this year until all of it was lost."""
    since = (line.on - timedelta(days=366)).isoformat()
    lost = [
        p
        for p in line.farm.plantings.all()
        if (p.crop, p.bed) == (crop, bed) and (p.cleared_on or "") > since and is_lost(p)
    ]
    named = called_so(lost, variety) if variety else []
    return next(iter([*named[::-1], *lost[::-1]]), None)


def _not_there(line: Line, crop: str, bed: str) -> str | None:
    """Why a cut of `crop` from `bed` looks like a slip: the crop stands in other beds only, or others do in that."""
    beds = beds_of(line.farm, crop)
    if bed in beds or bed not in line.farm.beds:
        return None
    if not beds:
        there = list(dict.fromkeys(p.crop for p in line.farm.standing_in(bed)))
        return f"Bed {bed} has {either(there, 'and')} on record, no {crop}" if there else None
    return f"{crop} stands in bed {either(beds, 'and')}, not in {bed}"


def _lots_of(line: Line, planting: Planting) -> list[Lot]:
    last = _last_lot(line)
    lots = [lot for lot in line.farm.lots.live() if lot.planting == planting.code]
    return [*lots, last] if last and last.planting == planting.code else lots


def _last_planting(line: Line, stand: list[Planting]) -> Planting | None:
    last = _last_lot(line)
    return next((p for p in stand if last and p.code == last.planting), None)


def _last_use(line: Line, place: _Place) -> str:
    """The use of the planting's last lot, or the question for it."""
    lots = _lots_of(line, place.planting) if place.planting else []
    if not lots and (use := grown_for(line.farm, place.crop)):
        return use
    if not lots:
        raise Refused(f"For which use is the {place.crop}: fresh, dry or wire?", near=USES)
    line.use = lots[-1].use
    line.remark(f"for {line.use}, as {lots[-1].code}")
    return lots[-1].use


CULL_CAUSES = ("blown", "brown", "broken", "short", "pests", "dirty", "shatter", "other")
"""Why stems are culled at the cut: the short list that is offered."""


def _follow(line: Line, farm: Farm) -> list[str]:
    """A bare number repeats the last cut: another crop may be named; else what a cut may say more."""
    if not line.crop_named and not any(t.low in farm.beds for t in line.words):
        return list(dict.fromkeys(p.crop for p in farm.plantings.live()))
    return ["culls", "stage", "yesterday", "anyway"]


VERBS = (
    Verb(
        "cut",
        cut,
        "Cut",
        (
            ("40 strawflower b3 dry", "40 stems from bed b3 into the bucket, to be dried"),
            ("40", "the same again: crop, color, bed and use of the last cut"),
            (
                "30 zin b4 fresh pink culls 3 blown 12min",
                "a color, culls with their cause, the minutes it took",
            ),
            ("0 straw b3 dry culls 40 hail", "blooms spoiled on the plants: none cut, forty thrown away"),
            ("30 of 50 zin b4 fresh", "thirty of the fifty that the cut list asked for: it learns from that"),
            ("24 straw b3 wire stage 2 rows open", "for wiring, with the stage seen"),
            (
                "30 zin b4 fresh waited 2h",
                "out of water for two hours; 'at 6:40' is when it came into the bucket",
            ),
        ),
        (crops, words(*USES), beds, varieties, words("culls", "stage", "waited", "anyway", *CULL_CAUSES)),
        follow=_follow,
        claims=claims,
    ),
    SPOILED,
)
