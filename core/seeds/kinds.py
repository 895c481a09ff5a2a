"""What is written of the seed drawer: a packet came in, was tested, lost seed, was counted; sowings take from it."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.codes import free_code, is_new
from core.farm import Farm
from core.kinds import PERCENT, REF, SIZE, Kind, may, needs
from core.problems import Problem
from core.refusals import check_some, too_early
from core.seed_rows import MISCOUNTED, GerminationTest, Packet
from core.seeds.drawer import OVERDRAWN, PACKET, check_there, note_overdrawn, take
from core.spelling import spelled
from core.units import dated_text
from core.usual import most_of, note_most, too_many_seeds

FIRST_YEAR = 1950
"""No packet is older: what is before is a slip of the pen."""
FIRST_SEEDS = 200_000
"""Seeds of the first packet of all from which on they are asked about: a fine seed has some 10,000 a gram (ours)."""


def _check_packet(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not is_new(farm, f["packet"], farm.packets):
        return Problem(f"There is a packet {f['packet']} already.", "impossible")
    if f["count"] < 1:
        return Problem("A packet holds at least one seed.", "impossible")
    if not FIRST_YEAR <= f["year"] <= int(draft.on[:4]) + 1:
        return Problem(
            f"{f['year']} is no year of a packet that came in on {dated_text(draft.on)}: write the year on it.",
            "impossible",
        )
    return None


def _packet(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    code = free_code(farm, f["packet"], farm.packets, entry.id)
    farm.note_variety(f["crop"], f.get("variety"))
    note_most(farm, "seeds in", f["crop"], f["count"])
    farm.packets.add(
        code,
        Packet(
            code,
            entry.id,
            f["crop"],
            f.get("variety"),
            entry.on,
            f["year"],
            f["count"],
            f.get("per_gram"),
            f.get("seed_lot"),
            f.get("germination_pct"),
            f.get("supplier"),
        ),
    )


def _known(farm: Farm, draft: Draft) -> Packet | Problem:
    """The draft's packet, where it came in by the draft's day."""
    packet = PACKET.need(farm, draft)
    if isinstance(packet, Problem):
        return packet
    return too_early("Packet", packet.code, packet.on, draft) or packet


def _check_tested(farm: Farm, draft: Draft) -> Problem | None:
    up, tested = draft.fields["count"], draft.fields["tested"]
    if tested < 1 or up > tested:
        return Problem(f"{up} of {tested} is no test: write how many came up, of how many.", "impossible")
    packet = _known(farm, draft)
    return packet if isinstance(packet, Problem) else check_there(packet, tested)


def _tested(farm: Farm, entry: Entry) -> None:
    if packet := PACKET.find_or_matter(farm, entry):
        packet.tests.append(GerminationTest(entry.on, entry.fields["count"], entry.fields["tested"]))
        note_overdrawn(farm, packet, entry.id)


def _check_lost(farm: Farm, draft: Draft) -> Problem | None:
    packet = _known(farm, draft)
    if isinstance(packet, Problem):
        return packet
    return check_some(draft) or check_there(packet, draft.fields["count"])


def _lost(farm: Farm, entry: Entry) -> None:
    if packet := PACKET.find_or_matter(farm, entry):
        cause = spelled(entry.fields["cause"])
        packet.lost[cause] = packet.lost.get(cause, 0) + entry.fields["count"]
        farm.note_cause(cause, entry.on)
        note_overdrawn(farm, packet, entry.id)


def _check_counted(farm: Farm, draft: Draft) -> Problem | None:
    packet = _known(farm, draft)
    return packet if isinstance(packet, Problem) else None


def _counted(farm: Farm, entry: Entry) -> None:
    if packet := PACKET.find_or_matter(farm, entry):
        if missing := packet.there - entry.fields["count"]:
            packet.lost[MISCOUNTED] = packet.lost.get(MISCOUNTED, 0) + missing
        farm.settle(OVERDRAWN, packet.code)


def _too_many(farm: Farm, draft: Draft) -> str | None:
    crop, seeds = draft.fields["crop"], draft.fields["count"]
    # of fine seed there are a hundred times as many as of large: another crop is no measure
    most = most_of(farm, "seeds in", crop)
    if not most and seeds >= FIRST_SEEDS:
        return f"{seeds} seeds is many times what one packet holds"
    return too_many_seeds(farm, seeds, most, crop) if most else None


HEARS = {"sown": take, "drilled": take}

KINDS = (
    Kind(
        "packet",
        "packet {packet}: {crop}[ {variety}], {count} seeds[ in {grams} g][, {year}][, lot {seed_lot}]"
        "[, {germination_pct} %][, from {supplier}]",
        needs(packet="code", crop="text", count="count", year="count")
        | may(
            variety="text",
            grams=SIZE,
            per_gram=SIZE,
            seed_lot="text",
            germination_pct=PERCENT,
            supplier="text",
        ),
        _packet,
        check=_check_packet,
        slip=_too_many,
        makes="packet",
    ),
    Kind(
        "seed tested",
        "{packet}: {count} of {tested} seeds came up",
        needs(packet="code", count="count", tested="count") | REF,
        _tested,
        check=_check_tested,
    ),
    Kind(
        "seed lost",
        "lost {count} seeds of {packet}: {cause}",
        needs(packet="code", count="count", cause="text") | REF,
        _lost,
        check=_check_lost,
    ),
    Kind(
        "seed counted",
        "{packet}: {count} seeds in it[, the book had {expected}]",
        needs(packet="code", count="count") | may(expected="count") | REF,
        _counted,
        check=_check_counted,
    ),
)
