"""The seed drawer in a line: a packet came in, a germination test, seed lost, a packet counted."""

from __future__ import annotations

from typing import Any

from core.book.entry import Entry
from core.codes import PACKET, next_code
from core.crops.color import called_so
from core.farm import Farm
from core.language.causes import need_cause, usual_causes
from core.language.crops import need_crop, take_crop, take_variety
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import has_lot
from core.language.offers import crops, varieties, words
from core.language.own_words import take_own_words
from core.language.tokens import Token
from core.language.verb import NOT, Verb, first_or_sure, lost_claim, take_loss
from core.language.words import ALL
from core.seed_rows import GerminationTest, Packet
from core.seeds.choosing import has_packet, take_named, take_seeds
from core.seeds.drawer import called
from core.seeds.keeping import keeps, of_test
from core.seeds.kinds import FIRST_YEAR
from core.units import plural

SEED = ("seed", "seeds")
PACKETS = ("packet", "packets", "pkt")
SEED_WARES = ("tray", "trays", "flats", "mat", "mats", "compost", "labels", "mix")
"""Supplies that are called by the seed: "seed trays"."""
OWN = ("own", "saved")
"""Said of seed that she saved herself."""
OWN_SEED = "own seed"
YEAR_WORDS = ("for", "packed", "year", "harvest", "harvested")
CAUSES = ("old", "damp", "mold", "mice", "spilled", "given away", "other")
"""Why seed is lost: the short list that is offered."""


def packet(line: Line) -> Reading:
    """ "packet zinnia lime 200 seeds 2026", "packet statice 5 g lot 44B 85% from Hill": a packet comes in."""
    if any(True for _ in line.take_codes(PACKET)):
        raise Refused(
            "A new packet is given its code by the book: leave the code out. What is in one is counted: "
            "count 120 seeds K012."
        )
    said = _said(line)
    if "count" not in said:
        raise Refused(
            f"How much is in the packet of {said['crop']}? Write its seeds or its weight: 200 seeds, or 5 g.",
            near=("seeds", "g"),
        )
    said.setdefault("year", line.on.year)
    code = next_code(line.farm, PACKET, line.known.mark)
    years = line.on.year - said["year"]
    kept = keeps(line.farm, said["crop"], said.get("variety"))
    if years >= kept.least:
        line.remark(f"{plural(years, 'year')} old: {said['crop']} keeps {kept.text}, test it")
    return line.reading(line.draft("packet", packet=code, **said))


def _said(line: Line, kept: Packet | None = None) -> dict[str, Any]:
    """What the line says of a packet; `kept` is the one that is corrected, whose crop need not be named."""
    said: dict[str, Any] = {}
    line.take_words(SEED)
    times = line.take_times()
    if (pct := line.take_unit("%", "per cent of germination")) is not None:
        said["germination_pct"] = pct
        line.take_words(("germination", "germinating", "germ"))
    if (mark := _take_lot(line)) is not None:
        said["seed_lot"] = mark
    seeds = line.take_unit("seeds", "seeds")
    crop = take_crop(line) if kept is not None else need_crop(line)
    if crop is not None:
        said["crop"] = crop
    grown = crop or (kept.crop if kept else "")
    if (weighed := take_seeds(line, grown, kept)) is not None:
        said["count"], said["grams"], said["per_gram"] = weighed
    packs = _take_packs(line)
    plain = [t for t in line.free() if t.number is not None and not t.unit]
    if (year := _year(line, plain)) is not None:
        said["year"] = year
        plain = [t for t in plain if not t.taken]
    if times is not None:
        packs, seeds = times
    elif seeds is None and "count" not in said and plain:
        if len(plain) > 1:
            both = " and ".join(t.text for t in plain[:3])
            raise Refused(f"{both}: which is the number of seeds? Write 'seeds' after it.", "ambiguous")
        plain[0].taken = True
        seeds = plain[0].number
    if seeds is not None:
        if "count" in said:
            raise Refused("By number or by weight? Write one: 200 seeds, or 5 g, or 5 g of 60 to the gram.")
        said["count"] = whole(seeds, "seeds")
    if packs is not None and "count" in said:
        line.remark(f"{plural(packs, 'packet')} alike, written as one")
        said["count"] *= packs
        if "grams" in said:
            said["grams"] *= packs
    if line.take_words(OWN):
        said["supplier"] = OWN_SEED
    elif (supplier := take_own_words(line, ("from",), _suppliers(line.farm))) is not None:
        said["supplier"] = supplier
    if (variety := take_variety(line, grown)) is not None:
        said["variety"] = variety
    return said


def _take_lot(line: Line) -> str | None:
    """44B of "lot 44B": the seller's mark, whatever it is made of."""
    word = next((t for t in line.free() if t.is_word and t.low == "lot"), None)
    if word is None:
        return None
    mark = line.after(word)
    if mark is None:
        raise Refused("Which lot? Write the mark that stands on the packet after 'lot'.")
    word.taken = mark.taken = True
    return mark.text


def _take_packs(line: Line) -> int | None:
    """2 of "2 packets zinnia 100 seeds"."""
    for token in line.words:
        if token.is_word and token.low in PACKETS:
            before = line.after(token, -1)
            token.taken = True
            if before is not None and before.number is not None and not before.unit:
                before.taken = True
                return whole(before.number, "packets")
    return None


def _year(line: Line, plain: list[Token]) -> int | None:
    """The year on the packet: the last plain number that can be one; it is asked for where that is all there is."""
    years = [t for t in plain if isinstance(t.number, int) and FIRST_YEAR <= t.number <= line.on.year + 1]
    if not years:
        return None
    token = years[-1]
    token.taken = True
    before = line.after(token, -1)
    if before is not None and before.is_word and before.low in YEAR_WORDS:
        before.taken = True
    assert isinstance(token.number, int)
    return token.number


def _suppliers(farm: Farm) -> list[str]:
    return list(dict.fromkeys(p.supplier for p in farm.packets.all() if p.supplier))


def change(line: Line, entry: Entry) -> dict[str, Any]:
    """What is changed of a packet: "K012 was 250 seeds", "K012 was 2025", "K012 was zinnia pink"."""
    kept = line.farm.packets.get(str(entry.fields["packet"]))
    now = _said(line, kept)
    if "count" in now and "grams" not in now and "grams" in entry.fields:
        now |= {"grams": None, "per_gram": None}
    if now.get("crop") not in (None, entry.fields["crop"]) and "variety" in entry.fields:
        now.setdefault("variety", None)
    line.refuse_leftovers()
    return now


# what is done with one


def _need_packet(line: Line, doing: str) -> Packet:
    """The packet named, or the only one of the crop named."""
    named = take_named(line)
    if named is not None:
        return named
    crop = take_crop(line, lambda: (p.crop for p in line.farm.packets.live()))
    live = [p for p in line.farm.packets.live() if crop in (None, p.crop)]
    if crop is not None:
        variety = take_variety(line, crop)
        live = called_so(live, variety)
    if not live:
        of = f" of {crop}" if crop else ""
        raise Refused(
            f"No packet{of} is in the drawer: write 'packet {crop or 'zinnia'} 200 seeds' first.", "unknown"
        )
    if len(live) > 1 or crop is None:
        sorts = either([called(p) for p in live[:4]])
        raise Refused(
            f"Which packet: {sorts}? Write its code: {doing}.", "ambiguous", [p.code for p in live[:4]]
        )
    return live[0]


def test(line: Line) -> Reading:
    """ "test seed K012 42 of 50": so many of those tested came up; they are used up by it."""
    line.take_words(SEED)
    line.take_words(("germination", "up", "germinated", "sprouted"))
    pct = line.take_unit("%", "per cent")
    counts = [t for t in line.free() if t.number is not None and t.unit in ("", "seeds", "plants")]
    chosen = _need_packet(line, "test seed K012 42 of 50")
    for token in counts:
        token.taken = True
    numbers = [whole(t.number or 0, "seeds") for t in counts]
    if pct is not None and len(numbers) == 1:
        numbers = [round(pct * numbers[0] / 100), numbers[0]]
    if len(numbers) != 2:
        raise Refused(
            f"How many came up, of how many? Write both: test seed {chosen.code} 42 of 50.", near=("of",)
        )
    up, tested = numbers
    if up > tested:
        raise Refused(f"{up:,} of {tested:,} cannot come up: write first how many did.", "impossible")
    if tested:
        share = of_test(GerminationTest(line.on.isoformat(), up, tested)).share
        line.remark(
            f"reckoned with {100 * share:.0f} %, by what {tested} tried can tell; {plural(tested, 'seed')} are used up "
            "by it"
        )
    return line.reading(
        line.draft("seed tested", packet=chosen.code, count=up, tested=tested, ref=chosen.made_by)
    )


def change_test(line: Line, entry: Entry) -> dict[str, Any]:
    """What is changed of a test: "7f3a09c2 was 40 of 50", or 40 alone; another packet."""
    now: dict[str, Any] = {}
    if (other := take_named(line)) is not None and other.code != entry.fields["packet"]:
        now |= {"packet": other.code, "ref": other.made_by}
    counts = [t for t in line.free() if t.number is not None and t.unit in ("", "seeds")]
    for token in counts[:2]:
        token.taken = True
    now |= dict(zip(("count", "tested"), (whole(t.number or 0, "seeds") for t in counts), strict=False))
    line.refuse_leftovers()
    return now


def lost(line: Line) -> Reading:
    """ "lost 40 seeds K012 mice", "lost all K012 old"."""
    every = line.take_words((ALL,))
    chosen = _need_packet(line, "lost 40 seeds K012 mice")
    cause = _cause(line)
    count = max(chosen.there, 0) if every else line.need_count("seeds", "seeds")
    line.take_words(SEED)
    if every:
        line.remark(f"{plural(count, 'seed')}, all that is in it")
    return line.reading(
        line.draft("seed lost", packet=chosen.code, count=count, cause=cause, ref=chosen.made_by)
    )


def _cause(line: Line) -> str:
    own = [t for t in line.free() if t.is_word and t.low in ("old", "spilled", "spilt", "given")]
    if not own:
        return need_cause(line, CAUSES)
    for token in own:
        token.taken = True
    line.take_words(("away",))
    return {"old": "old", "given": "given away"}.get(own[0].low, "spilled")


def counted(line: Line) -> Reading:
    """ "count 120 seeds K012", "count K012 2 g": what is really in it."""
    chosen = _need_packet(line, "count 120 seeds K012")
    weighed = take_seeds(line, chosen.crop, chosen)
    count = weighed[0] if weighed is not None else line.need_count("seeds", "seeds")
    line.take_words(SEED)
    line.remark(f"the book had {chosen.there}")
    return line.reading(
        line.draft(
            "seed counted", packet=chosen.code, count=count, expected=max(chosen.there, 0), ref=chosen.made_by
        )
    )


# which lines are of seed


def _claims_named(line: Line, token: Token) -> int:
    """What is counted is of seed where a packet is named."""
    return first_or_sure(line, token) + 6 if has_packet(line) else NOT


def _claims_lost(line: Line, token: Token) -> int:
    return lost_claim(line, token) + 6 if has_packet(line) else NOT


def _claims_bought(line: Line, token: Token) -> int:
    """ "bought 200 seeds zinnia", "bought 2 packets zinnia": what is not so called is a supply or a tuber."""
    if any(t.is_word and t.low in SEED_WARES for t in line.words):
        return NOT
    is_of_seed = any(t.unit == "seeds" or (t.is_word and t.low in PACKETS) for t in line.words)
    return first_or_sure(line, token) + 6 if is_of_seed else NOT


def _claims_test(line: Line, token: Token) -> int:
    """A snap test is of a lot."""
    return NOT if has_lot(line) else first_or_sure(line, token) + 1


def _packets(line: Line, farm: Farm) -> list[str]:
    return [] if has_packet(line) else [p.code for p in farm.packets.live()][::-1]


def _causes(line: Line, farm: Farm) -> tuple[str, ...]:
    return usual_causes(farm, CAUSES) if has_packet(line) else ()


_JOB = "The seed drawer"

VERBS = (
    Verb(
        "packet",
        packet,
        _JOB,
        (
            (
                "packet zinnia lime 200 seeds 2026",
                "a packet comes in, with its year; its code is given by the book",
            ),
            (
                "packet statice 5 g lot 44B 85% from 'Hill Seed'",
                "by weight, with the seller's lot; or: packet own nigella 2 g",
            ),
        ),
        (crops, varieties, words("seeds", "g", "lot", "from", "own")),
        follow=("lot", "from", "yesterday"),
    ),
    Verb("bought", packet, offers=(crops, varieties, words("seeds")), claims=_claims_bought),
    Verb(
        "test",
        test,
        _JOB,
        (("test seed K012 42 of 50", "42 came up of 50 tried; sowings and orders go by it from then on"),),
        (_packets, crops, words("of")),
        claims=_claims_test,
    ),
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost all K012 old", "thrown out; or: lost 40 seeds K012 mice"),),
        (_packets, _causes, words("seeds")),
        claims=_claims_lost,
        take=take_loss,
    ),
    Verb(
        "count",
        counted,
        _JOB,
        (("count 120 seeds K012", "what is really in it; or: count K012 2 g"),),
        (_packets, words("seeds")),
        claims=_claims_named,
    ),
)

CHANGES = {"packet": change, "seed tested": change_test}
