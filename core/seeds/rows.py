"""What is to be seen of the drawer: every packet with its age and its tests, and what is to be ordered."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from math import ceil
from typing import NamedTuple

from core.crops.color import is_of_color
from core.crops.course import is_stored
from core.farm import Farm, Tray
from core.plans.defaults import USUAL
from core.plans.rows import PlanRow, plan_rows
from core.problems import Problem
from core.reckon.counts import seeds_for
from core.seed_rows import MISCOUNTED, Packet
from core.seeds.keeping import Standing, age, germination, keeps, standing
from core.seeds.to_plant import to_plant
from core.settings.sheets import farm_sheet, in_south
from core.units import plural, short_day

SEASON_FROM = (11, 1)
"""From this day on, north of the equator, what is sown is of the season to come; in the south half a year earlier."""


class PacketRow(NamedTuple):
    """One packet.

    `grams` is what is left of it by weight, None where it came by number; `germination` the share that is counted on,
    of 100, and `germination_by` by whose word; of its newest test `test_up` came up of `test_of`; `keeps` for how long
    its kind keeps, in words, and `keeps_by` who says so.
    """

    packet: str
    crop: str
    variety: str | None
    year: int
    age: int
    there: int
    grams: float | None
    bought: int
    sown: int
    tested: int
    lost: int
    missing: int
    seed_lot: str | None
    supplier: str | None
    germination: int
    germination_by: str
    test_up: int | None
    test_of: int | None
    keeps: str
    keeps_by: str
    standing: Standing


def packet_rows(farm: Farm, day: date, *, every: bool = False) -> list[PacketRow]:
    """The packets that hold seed, by crop, variety and age; `every` one there ever was."""
    found = farm.packets.all() if every else farm.packets.live()
    rows = [_row(farm, packet, day) for packet in found]
    return sorted(rows, key=lambda r: (r.crop, r.variety or "", r.year, r.packet))


def _row(farm: Farm, packet: Packet, day: date) -> PacketRow:
    share, _, by = germination(packet)
    kept = keeps(farm, packet.crop, packet.variety)
    test = packet.tests[-1] if packet.tests else None
    return PacketRow(
        packet=packet.code,
        crop=packet.crop,
        variety=packet.variety,
        year=packet.year,
        age=age(packet, day),
        there=packet.there,
        grams=round(packet.there / packet.per_gram, 2) if packet.per_gram else None,
        bought=packet.seeds,
        sown=packet.sown,
        tested=packet.tested,
        lost=sum(count for cause, count in packet.lost.items() if cause != MISCOUNTED),
        missing=packet.lost.get(MISCOUNTED, 0),
        seed_lot=packet.seed_lot,
        supplier=packet.supplier,
        germination=round(100 * share),
        germination_by=by,
        test_up=test.up if test else None,
        test_of=test.tested if test else None,
        keeps=kept.text,
        keeps_by=kept.source,
        standing=standing(farm, packet, day),
    )


class OrderRow(NamedTuple):
    """Seed of one crop and variety that is needed, or tubers, bulbs, corms or plants (`of`): for what, how much of that
    is there and good, and what is to be ordered. `sow_on` is the first day on which it is wanted, where a plan says so.

    `old` are the seeds there beside the good ones that a test may show to be good, and `test` the packets that they are
    in: to be tried before any are ordered.
    """

    crop: str
    variety: str | None
    need: int
    there: int
    order: int
    grams: float | None
    sow_on: str | None
    wanted_for: str
    because: str
    old: int
    test: tuple[str, ...]
    of: str = "seeds"

    @property
    def amount(self) -> str:
        """What is to be ordered: "30 seeds", "79 tubers"."""
        return plural(self.order, self.of.removesuffix("s"))

    @property
    def is_short(self) -> bool:
        return self.order > 0

    @property
    def if_good(self) -> int:
        """What is to be ordered where the old seed proves good."""
        return max(self.order - self.old, 0)


class _Need(NamedTuple):
    seeds: int
    wanted_for: str
    sow_on: str | None
    because: str


def order_rows(farm: Farm, day: date) -> list[OrderRow]:
    """What the season takes of each crop and variety, what is wanted first first.

    It is what the plans say that are not sown or planted yet; of what no plan is kept for, as much as was sown last
    season, less what is sown of this one.
    """
    wanted: dict[tuple[str, str], list[_Need]] = {}
    names: dict[tuple[str, str], str | None] = {}
    for crop, variety, need in (*_of_plans(farm, day), *_as_last_year(farm, day)):
        key = crop, (variety or "").lower()
        names.setdefault(key, variety)
        wanted.setdefault(key, []).append(need)
    left = {p.code: p.there for p in farm.packets.live() if standing(farm, p, day) in ("good", "test")}
    # a variety takes its own seed before any of its color, or of the crop, will do
    rows = [
        _order(farm, day, crop, names[crop, low], wanted[crop, low], left)
        for crop, low in sorted(wanted, key=lambda key: -len(key[1].split()))
    ]
    rows += [
        OrderRow(
            one.crop,
            one.variety,
            one.need,
            one.there,
            one.buy,
            None,
            one.on,
            ", ".join(one.plans),
            f"to plant, less what lies in store: {', '.join(one.plans)}",
            0,
            (),
            one.word,
        )
        for one in to_plant(farm, day)
    ]
    return sorted(rows, key=lambda r: (r.sow_on or "9", r.crop, r.variety or ""))


def _order(
    farm: Farm, day: date, crop: str, variety: str | None, needs: Sequence[_Need], left: dict[str, int]
) -> OrderRow:
    """What one sort takes; what it takes of the good seed, and may take of the old, that is `left` of each packet is
    taken out of that."""
    need = sum(one.seeds for one in needs)
    packets = _packets(farm, crop, variety)
    of: dict[Standing, list[Packet]] = {"good": [], "test": [], "poor": []}
    for packet in packets:
        of[standing(farm, packet, day)].append(packet)
    good, old = (sum(left[p.code] for p in of[sort]) for sort in ("good", "test"))
    short = max(need - good, 0)
    _take_out(of["good"], need, left)
    test = _take_out(of["test"], short, left)
    days = [one.sow_on for one in needs if one.sow_on]
    because = list(dict.fromkeys(one.because for one in needs))
    if test:
        because.append(f"old, not counted until tested: {plural(old, 'seed')} of {', '.join(test)}")
    if of["poor"] and short:
        because.append(f"not counted, poor by its test: {', '.join(p.code for p in of['poor'])}")
    return OrderRow(
        crop,
        variety,
        need,
        good,
        short,
        _grams(farm, crop, variety, short),
        min(days, default=None),
        ", ".join(dict.fromkeys(one.wanted_for for one in needs)),
        "; ".join(because),
        old,
        test,
    )


def _take_out(packets: Sequence[Packet], wanted: int, left: dict[str, int]) -> tuple[str, ...]:
    """The packets that so many seeds come from, the oldest first; what they give is taken out of what is `left`."""
    found = []
    for packet in sorted(packets, key=lambda p: p.year):
        if taken := min(left[packet.code], wanted):
            left[packet.code] -= taken
            wanted -= taken
            found.append(packet.code)
    return tuple(found)


def _packets(farm: Farm, crop: str, variety: str | None) -> list[Packet]:
    """The packets with seed for what is wanted: of the variety or color; where none is named, any of the crop."""
    live = [p for p in farm.packets.live() if p.crop == crop and p.there > 0]
    return [p for p in live if is_of_color(p.variety, variety)]


def _grams(farm: Farm, crop: str, variety: str | None, seeds: int) -> float | None:
    """The weight of so many seeds by the sheet, the heaviest it may be; None where that is not known."""
    sheet = farm_sheet(farm, crop, None, variety)
    if not seeds or sheet is None or sheet.seeds_per_gram is None or sheet.seeds_per_gram.value[0] <= 0:
        return None
    return round(seeds / sheet.seeds_per_gram.value[0], 2)


def _of_plans(farm: Farm, day: date) -> Iterator[tuple[str, str | None, _Need]]:
    for row, left in _to_sow(farm, day):
        if row.is_hopeless:
            continue
        packets = _packets(farm, row.crop, row.variety)
        sown_from = next((p for p in packets if standing(farm, p, day) != "poor"), None)
        seeds, because = _seeds_of(farm, row, sown_from)
        sow_on = row.sow.due_on if row.sow else None
        yield row.crop, row.variety, _Need(ceil(seeds * left - 1e-9), row.plan, sow_on, because)


def _to_sow(farm: Farm, day: date) -> Iterator[tuple[PlanRow, float]]:
    """The plans that want seed, and which share of each is not sown yet."""
    for row in plan_rows(farm, day):
        kept = farm.plans.get(row.plan)
        if kept is None or row.sow is None or not row.seeds or row.outcome or kept.out:
            continue
        sown = sum(part.cells for part in kept.sown)
        left = max(kept.cells - sown, 0) / kept.cells if kept.cells else float(not kept.sown)
        if left:
            yield row, left


def _seeds_of(farm: Farm, row: PlanRow, packet: Packet | None) -> tuple[int, str]:
    """(the seeds that a plan takes, why so many): by the packet's germination where it is known, else as planned.

    A plan counts the seeds of a tray with the usual germination; seed that is better or worse takes fewer or more.
    """
    planned = row.seeds or 0
    share, rho, by = germination(packet)
    if (
        packet is None
        or row.next == "drill"
        or not row.plants
        or (not packet.tests and packet.germination_pct is None)
    ):
        return planned, f"{row.plan} as planned"
    sheet = farm_sheet(farm, row.crop, row.way, row.variety)
    wanted = sheet.doubles_share.value[0] if sheet is not None and sheet.doubles_share is not None else 1.0
    found = seeds_for(
        row.plants,
        germination=share,
        sure=USUAL["sure"].value,
        survival=USUAL["survival"].value,
        wanted_share=wanted,
        rho=rho,
    )
    if isinstance(found, Problem):
        return planned, f"{row.plan} as planned"
    return found.seeds, f"{row.plan}: {plural(row.plants, 'plant')}, {packet.code} {by}"


def season_start(farm: Farm, day: date) -> date:
    """The day from which on what is sown is of the season that `day` lies in."""
    month = (SEASON_FROM[0] + 5) % 12 + 1 if in_south(farm) else SEASON_FROM[0]
    this = date(day.year, month, SEASON_FROM[1])
    return this if this <= day else this.replace(year=day.year - 1)


def _is_of_seed(farm: Farm, tray: Tray) -> bool:
    """Whether a tray was of seed: not where bulbs or tubers stood in it, of which no seed was ever in the drawer."""
    sheet = farm_sheet(farm, tray.crop, tray.way, tray.variety)
    return sheet is None or not is_stored(sheet) or any(p.crop == tray.crop for p in farm.packets.all())


def _as_last_year(farm: Farm, day: date) -> Iterator[tuple[str, str | None, _Need]]:
    """Of crops for which no plan is kept: what was sown last season and not yet in this."""
    start = season_start(farm, day)
    before = start.replace(year=start.year - 1)
    planned = {row.crop for row, _ in _to_sow(farm, day)}
    sown: dict[tuple[str, str], list[int]] = {}
    names: dict[tuple[str, str], str | None] = {}
    for tray in farm.trays.all():
        if not before.isoformat() <= tray.sown <= day.isoformat() or tray.crop in planned:
            continue
        if not _is_of_seed(farm, tray):
            continue
        key = tray.crop, (tray.variety or "").lower()
        names.setdefault(key, tray.variety)
        counts = sown.setdefault(key, [0, 0])
        counts[tray.sown >= start.isoformat()] += tray.seeds
    for (crop, low), (last, now) in sown.items():
        if last > now:
            since = short_day(start)
            because = f"{last} sown last season" + (f", {now} since {since}" if now else "")
            yield crop, names[crop, low], _Need(last - now, "as last year", None, because)
