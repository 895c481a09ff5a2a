"""From which packet a sowing takes its seed: the one named, else the oldest good one that holds enough.

One tray has the seed of one packet, so that what comes up of it tells of one lot.
"""

from __future__ import annotations

from typing import Any

from core.codes import PACKET
from core.crops.color import called_so, in_full
from core.crops.course import is_sown
from core.language.line import Line, Refused, either
from core.language.names import agree, is_code
from core.language.weights import weights
from core.marked import typed_feet
from core.seed_rows import Packet
from core.seeds.drawer import called
from core.seeds.keeping import Standing, age, keeps, standing
from core.settings.sheets import farm_sheet
from core.text import named
from core.units import plainly, plural

RANKS: tuple[Standing, ...] = ("good", "test", "poor")
"""In which order packets are taken from."""


def has_packet(line: Line) -> bool:
    """Whether the code of a packet stands in the line."""
    return any(t.is_word and is_code(t.low, PACKET) for t in line.words)


def take_named(line: Line) -> Packet | None:
    """The packet named by its code, None where none is; its crop is that of the line, and refused where another is
    named beside it."""
    codes = line.take_codes(PACKET)
    if len(codes) > 1:
        raise Refused(f"{codes[0]} and {codes[1]}: write one line for each.", "ambiguous", codes)
    if not codes:
        return None
    packet = line.farm.packets.get(codes[0])
    if packet is None:
        live = [one.code for one in line.farm.packets.live()][-3:]
        hint = (
            f"; there is {either(live, 'and')}." if live else ": write 'packet zinnia lime 200 seeds' first."
        )
        raise Refused(f"There is no packet {codes[0]}{hint}", "unknown", live)
    agree(line, packet)
    return packet


def refuse_roots(line: Line, crop: str, variety: str | None, *, is_seed: bool) -> None:
    """Refuse to sow what is planted as a bulb, a tuber or a corm, unless it is called seed or lies in the drawer."""
    sheet = farm_sheet(line.farm, crop, None, variety)
    if is_seed or sheet is None or is_sown(sheet) or in_drawer(line, crop):
        return
    root = (sheet.life_cycle.value if sheet.life_cycle else "").split()[0]
    named_so = named(crop, variety)
    raise Refused(
        f"{crop.capitalize()} is planted as a {root} and not sown: plant 40 {named_so} b3 {typed_feet(5)}, "
        "and before that, into "
        f"store: bought 40 {named_so} {root}s. Seed of it is sown with that word: sow 40 seeds {named_so}.",
        "impossible",
        ("plant", "seeds"),
    )


def in_drawer(line: Line, crop: str) -> list[Packet]:
    """The packets of a crop that hold seed on the line's day, those to be sown first before the others."""
    day = line.on
    found = [
        p for p in line.farm.packets.live() if p.crop == crop and p.there > 0 and p.on <= day.isoformat()
    ]
    return sorted(found, key=lambda p: (RANKS.index(standing(line.farm, p, day)), p.year, p.on, p.code))


def from_packet(
    line: Line, crop: str, variety: str | None, seeds: int, packet: Packet | None
) -> dict[str, Any]:
    """The fields of a sowing that say where its seed came from, and of which variety that is; what was chosen, and why,
    is remarked on. `packet` is the one that the line names."""
    chosen = packet or _chosen(line, crop, variety, seeds)
    if chosen is None:
        _remark_on_none(line, crop, variety)
        return {"variety": variety}
    holds = seeds
    if packet is None and chosen.there < seeds:
        holds = chosen.there
        line.remark(
            f"{chosen.code} holds {holds}: the other {seeds - holds} are of no packet in the drawer; seed of "
            "another goes into a tray of its own"
        )
    elif packet is None or line.verb == "sow":
        left = chosen.there - seeds
        line.remark(f"{plural(max(left, 0), 'seed')} left in {called(chosen)} of {chosen.year}")
    _remark_on(line, chosen)
    return {
        "variety": in_full(variety, chosen.variety),
        "packet": chosen.code,
        "packet_seeds": None if holds == seeds else holds,
        "ref": chosen.made_by,
    }


def _chosen(line: Line, crop: str, variety: str | None, seeds: int) -> Packet | None:
    every = in_drawer(line, crop)
    if variety is not None:
        fit = called_so(every, variety)
    else:
        fit = [p for p in every if p.variety is None] or every
    sorts = {(p.variety or "").lower() for p in fit}
    if len(sorts) > 1:
        named = either([f"{p.code} {p.variety}" for p in fit[:4]])
        line.remark(f"from which packet? Name it, and it is taken out of the drawer: {named}")
        return None
    enough = [p for p in fit if p.there >= seeds]
    return next(iter(enough), None) or max(fit, key=lambda p: p.there, default=None)


def _remark_on_none(line: Line, crop: str, variety: str | None) -> None:
    """Say that nothing is taken out of the drawer, where there is, or was, seed of the crop in it."""
    there = in_drawer(line, crop)
    if not there:
        gone = [p for p in line.farm.packets.all() if p.crop == crop and p.on <= line.on.isoformat()]
        if gone:
            line.remark(f"taken from no packet: none of {crop} is left in the drawer by the book")
    elif not called_so(there, variety):
        named = either([f"{p.code} {p.variety or 'of no variety'}" for p in there[:4]], "and")
        line.remark(f"taken from no packet: of {crop} there is {named}")


def _remark_on(line: Line, packet: Packet) -> None:
    state, years = standing(line.farm, packet, line.on), age(packet, line.on)
    if state == "test":
        kept = keeps(line.farm, packet.crop, packet.variety)
        line.remark(
            f"{packet.code} is {plural(years, 'year')} old, and {packet.crop} keeps {kept.text}: try some of it first "
            f"(test seed {packet.code} 8 of 10)"
        )
    elif state == "poor":
        test = packet.tests[-1]
        line.remark(f"of {packet.code} only {test.up} of {test.tested} came up in its test: sow it thicker")


def take_seeds(line: Line, crop: str, packet: Packet | None = None) -> tuple[int, float, float] | None:
    """(seeds, grams, seeds to a gram) of a weight of seed in the line, None where none is.

    By the seeds to a gram that it names ("5 g of 60"), else by the packet's, else by the crop's sheet; refused where
    none of them says.
    """
    found = list(weights(line))
    if not found:
        return None
    if len(found) > 1:
        raise Refused(
            f"{either([w.said for w in found], 'and')}: which is the weight? Write one.", "ambiguous"
        )
    for token in found[0].tokens:
        token.taken = True
    grams = found[0].grams
    of = line.words[line.words.index(found[0].tokens[-1]) + 1 :][:2]
    if len(of) == 2 and of[0].low == "of" and of[1].number is not None and of[1].unit in ("", "seeds"):
        per_gram, by = float(of[1].number), "as the line says"
        of[0].taken = of[1].taken = True
    elif packet is not None and packet.per_gram:
        per_gram, by = packet.per_gram, f"by {packet.code}"
    else:
        sheet = farm_sheet(line.farm, crop)
        if sheet is None or sheet.seeds_per_gram is None:
            raise Refused(
                f"How many seeds of {crop} are in a gram? The packet or the catalog says: write it after the weight, "
                f"{plainly(grams)} g of 300; or the number of seeds alone.",
                near=("of",),
            )
        least, most = sheet.seeds_per_gram.value
        per_gram, by = (least + most) / 2, f"by the sheet, {sheet.seeds_per_gram.text}"
    if per_gram <= 0:
        raise Refused("Seeds in a gram are more than 0.", "impossible")
    seeds = round(grams * per_gram)
    line.remark(f"{grams:.4g} g are about {seeds:,} seeds, {plainly(per_gram)} to a gram {by}")
    return seeds, round(grams, 4), per_gram
