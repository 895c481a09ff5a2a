"""Seeds conserved: whatever is sown, tested, lost, counted, struck, corrected and merged, in whatever order it came."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from core.book.entry import Entry
from core.cache import freeze, thaw
from core.fold import fold
from tests.cases import cases
from tests.farms import Pencil, frozen

PACKETS = ("K001", "K002", "K003")
COUNT = st.integers(0, 90)
DID = st.one_of(
    st.tuples(st.just("sown"), st.sampled_from(PACKETS), COUNT, st.integers(0, 30)),
    st.tuples(st.just("drilled"), st.sampled_from(PACKETS), COUNT, st.just(0)),
    st.tuples(st.just("seed tested"), st.sampled_from(PACKETS), COUNT, st.integers(1, 30)),
    st.tuples(st.just("seed lost"), st.sampled_from(PACKETS), COUNT, st.just(0)),
    st.tuples(st.just("seed counted"), st.sampled_from(PACKETS), COUNT, st.just(0)),
)
Did = tuple[str, str, int, int]


def _fields(n: int, did: Did, letter: str = "") -> dict[str, Any]:
    kind, packet, count, more = did
    of = {"packet": packet, "ref": _made(packet)}
    if kind == "sown":
        elsewhere = {"packet_seeds": count} if more else {}
        return {
            **of,
            "tray": f"S{n + 1:02d}{letter}",
            "crop": "zinnia",
            "cells": 10,
            "seeds": count + more,
            **elsewhere,
        }
    if kind == "drilled":
        return {
            **of,
            "planting": f"P{n + 1:02d}{letter}",
            "crop": "zinnia",
            "bed": "b1",
            "feet": 1,
            "seeds": count,
        }
    if kind == "seed tested":
        return {**of, "count": min(count, more), "tested": more}
    return {**of, "count": count, **({"cause": "mice"} if kind == "seed lost" else {})}


def _made(packet: str) -> str:
    return f"0195{int(packet[1:]) + 1:08x}-0000-7000-8000-000000000000"


def _drawer() -> Pencil:
    pencil = Pencil("2026-03-01")
    pencil.write("bed", bed="b1", feet=500, width_in=36)
    for code, count in zip(PACKETS, (100, 60, 250), strict=True):
        assert pencil.write("packet", packet=code, crop="zinnia", count=count, year=2026).id == _made(code)
    return pencil


def _ledger(entries: list[Entry]) -> Counter[str]:
    """What each packet holds, by a ledger of its own that knows nothing of the fold."""
    there: Counter[str] = Counter()
    for entry in sorted(entries, key=lambda e: e.key):
        f = entry.fields
        if entry.kind == "packet":
            there[f["packet"]] += f["count"]
        elif entry.kind in ("sown", "drilled"):
            there[f["packet"]] -= f.get("packet_seeds", f["seeds"])
        elif entry.kind == "seed tested":
            there[f["packet"]] -= f["tested"]
        elif entry.kind == "seed lost":
            there[f["packet"]] -= f["count"]
        elif entry.kind == "seed counted":
            there[f["packet"]] = f["count"]
    return there


@given(st.lists(DID, max_size=20), st.lists(DID, max_size=8), st.data())
@cases(30)
def test_no_seed_appears_and_none_goes_untold(here: list[Did], there: list[Did], data: st.DataObject) -> None:
    """On one machine nothing is overdrawn; what another brings may be, and is told; strikes give everything back."""
    pencil = _drawer()
    for n, did in enumerate(here):
        before = _ledger(pencil.entries)[did[1]]
        refused = pencil.refusal(did[0], **_fields(n, did))
        takes = did[2] if did[0] != "seed tested" else did[3]
        if refused is None:
            pencil.write(did[0], **_fields(n, did))
        elif did[0] != "seed counted" and 0 < takes <= before:
            raise AssertionError(refused.sentence)
        assert _ledger(pencil.entries)[did[1]] >= 0
    assert not fold(pencil.entries).matters
    brought = [
        pencil.made(did[0], **_fields(n + 50, did, "b"))
        for n, did in enumerate(there)
        if did[0] != "sown" or did[2] + did[3]
    ]
    written = [entry for entry in [*pencil.entries, *brought] if entry.kind not in ("bed", "packet")]
    gone = (
        data.draw(st.lists(st.sampled_from(written), unique_by=lambda e: e.id, max_size=5)) if written else []
    )
    strikes = [pencil.made("strike", entry=entry.id) for entry in gone]
    every = [*pencil.entries, *brought, *strikes]
    counting = [e for e in [*pencil.entries, *brought] if e.id not in {one.id for one in gone}]
    farm, wanted = fold(every), _ledger(counting)
    for packet in farm.packets.all():
        assert packet.there == wanted[packet.code]
        sums = packet.sown + packet.tested + sum(packet.lost.values())
        assert packet.seeds == packet.there + sums
        overdrawn = any(matter.key[:2] == ("seeds overdrawn", packet.code) for matter in farm.matters)
        assert overdrawn or packet.there >= 0
    mixed = list(every)
    data.draw(st.randoms(use_true_random=False)).shuffle(mixed)
    assert frozen(fold(mixed)) == frozen(farm)
    restored = [*every, *(pencil.made("strike", entry=strike.id) for strike in strikes)]
    again = {p.code: p.there for p in fold(restored).packets.all()}
    assert again == {p.code: p.there for p in fold([*pencil.entries, *brought]).packets.all()}


@given(st.lists(DID, max_size=12), st.integers(0, 20), st.integers(0, 90))
@cases(20)
def test_a_corrected_sowing_takes_what_it_says_now_and_the_cached_fold_is_the_full_one(
    did: list[Did], cut: int, seeds: int
) -> None:
    pencil = _drawer()
    for n, one in enumerate(did):
        if pencil.refusal(one[0], **_fields(n, one)) is None:
            pencil.write(one[0], **_fields(n, one))
    ordered = sorted(pencil.entries, key=lambda e: e.key)
    cut = min(cut, len(ordered))
    thawed = thaw(*freeze(fold(ordered[:cut])))
    assert frozen(fold(ordered[cut:], onto=thawed)) == frozen(fold(ordered))
    sown = next((e for e in ordered if e.kind == "sown" and "packet_seeds" not in e.fields), None)
    if sown is None:
        return
    now = {"seeds": seeds, "cells": 10}
    corrected = pencil.made("correct", entry=sown.id, of="sown", now=now)
    changed = [
        e if e is not sown else Entry(e.id, e.on, e.at, e.by, e.kind, {**e.fields, **now}) for e in ordered
    ]
    farm = fold([*ordered, corrected])
    assert {p.code: p.there for p in farm.packets.all()} == dict(_ledger(changed))
