"""Entries no shedbook would write, in a log a file copier or a stranger brought: told, left out, and harmless."""

from __future__ import annotations

import math
from typing import Any

import pytest

from core.book.entry import Entry
from core.fold import as_of, check, fold
from core.kinds import sentence
from core.stems.rows import unbalanced
from core.subject import kind_of
from core.text import is_clean
from tests.cases import some_of
from tests.farm.every_kind import season, views
from tests.farms import Pencil, frozen, small_farm

pytestmark = pytest.mark.usefixtures("reckoned_once")

SEASON = season()
OLDER = {"bed", "frost", "set out", "farm", "capacity", "tested", "sold", "wired"}
KINDS_WRITTEN = sorted({e.kind for e in SEASON.entries} - OLDER)
VALUES: tuple[Any, ...] = (
    None, True, 0, -1, 7, 1.5, 10**7, -(10**7), 10**30, 1e308, math.nan, math.inf, -math.inf, "", "x", "25:99",
    "2026-13-45", "0001-01-01", "9999-12-31", "\x1b[31mred\x07", "\u202edog", "a" * 10_000, "=1+1", "{lot}[x]",
    "cooler", "bucket", "line ", "line 99", "box 99", "any", "L001", "M001'", "L999999", [], ["x"], {"a": 1},
)  # fmt: skip


def _with(at: int, entry: Entry | None) -> list[Entry]:
    """The season with one of its entries replaced, or left out."""
    put = [] if entry is None else [entry]
    return [*SEASON.entries[:at], *put, *SEASON.entries[at + 1 :]]


def _overdrawn(farm: Any) -> bool:
    return (
        any(held.stems < 0 for lot in farm.lots.all() for held in lot.holdings.values())
        or any(piece.on_hand < 0 for piece in farm.pieces.all())
        or any(count < 0 for count in farm.makings.values())
    )


@pytest.mark.part
@pytest.mark.parametrize("kind", KINDS_WRITTEN)
def test_whatever_stands_in_a_field_is_told_or_shown_and_never_breaks_a_view(kind: str) -> None:
    at, good = next((i, e) for i, e in enumerate(SEASON.entries) if e.kind == kind)
    without = fold(_with(at, None))
    known = kind_of(kind, good.fields)
    assert known is not None
    for number, name in enumerate(known.fields, KINDS_WRITTEN.index(kind)):
        for value in some_of(VALUES, number, len(VALUES)):
            odd = Entry(good.id, good.on, good.at, good.by, kind, {**good.fields, name: value})
            assert is_clean(sentence(odd))
            farm = fold(_with(at, odd))
            assert unbalanced(farm) == []
            assert not _overdrawn(farm) or farm.matters
            assert all(is_clean(matter.sentence) for matter in farm.matters)
            if [m for m in farm.matters if m.entry == odd.id and "could not be read" in m.sentence]:
                farm.matters, farm.count = list(without.matters), without.count
                assert frozen(farm) == frozen(without), "left out, and nothing of it is left"
                continue
            for _, shown in views(farm):
                shown()


@pytest.mark.parametrize(
    "day", ["", "today", "2026-13-45", "2026-7-1", "0001-01-01", "9999-12-31", "2026-07-01T00"]
)
def test_an_entry_of_no_day_is_a_matter_and_moves_no_other(day: str) -> None:
    cut = SEASON.made("cut", crop="zinnia", lot="L009", bed="b1", use="fresh", stems=5)
    farm = fold([*SEASON.entries, Entry(cut.id, day, cut.at, "ml", "cut", cut.fields)])
    assert [m.entry for m in farm.matters] == [cut.id]
    assert farm.last_on == SEASON.today.isoformat() and farm.lots.get("L009") is None


@pytest.mark.parametrize("named", [None, 7, ["x"], {"a": 1}, ""])
def test_a_strike_that_names_nothing_strikes_nothing(named: Any) -> None:
    strike = SEASON.made("strike", entry=named)
    farm = fold([*SEASON.entries, strike])
    assert [m.entry for m in farm.matters] == [strike.id]
    assert farm.lots.get("L001") is not None
    assert strike in as_of([*SEASON.entries, strike], strike.on)


def test_what_the_fold_would_leave_out_is_not_written_either() -> None:
    pencil = SEASON
    for kind, fields in (
        ("box treated", {"box": "box 1", "how": "frozen", "days": 9_999_999}),
        ("stocktake", {"making": "wire 22", "count": -3, "expected": 0}),
        ("planned", {"plan": "N01", "crop": "zinnia", "use": "fresh", "stems": 5, "due_on": "9999-12-31"}),
    ):
        refused = pencil.refusal(kind, **fields)
        assert refused is not None and refused.sentence


def test_what_went_below_nothing_can_be_counted_again() -> None:
    """The number the book had may be negative: that is when a count is wanted most."""
    pencil = small_farm()
    pencil.write("bought", making="ribbon", count=2)
    pencil.entries.append(pencil.made("spent", making="ribbon", count=5))
    assert pencil.farm.makings == {"ribbon": -3} and pencil.farm.matters
    pencil.write("stocktake", making="ribbon", count=1, expected=-3)
    assert pencil.farm.makings == {"ribbon": 1}


def test_pieces_of_none_are_a_matter() -> None:
    pencil = _with_recipe()
    none = pencil.made("made", piece="M001", recipe="posy", count=0, minutes=30)
    farm = fold([*pencil.entries, none])
    assert [m.entry for m in farm.matters] == [none.id] and farm.pieces.get("M001") is None


def _with_recipe() -> Pencil:
    pencil = small_farm()
    pencil.write("recipe", recipe="posy", sort="bouquet")
    return pencil


def test_a_field_of_a_newer_shedbook_does_not_lose_the_stems_beside_it() -> None:
    pencil = small_farm().later(40)
    cut = pencil.made(
        "cut", lot="L001", crop="zinnia", bed="b2", planting="P02", use="fresh", stems=25, scent="faint"
    )
    farm = fold([*pencil.entries, cut])
    lot = farm.lots.get("L001")
    assert lot is not None and lot.on_hand == 25
    refused = check(pencil.farm, _draft(cut), cut.on)
    assert refused is not None and "no field 'scent'" in refused.sentence


def _draft(entry: Entry) -> Any:
    from core.book.entry import Draft

    return Draft(entry.kind, entry.on, entry.fields)


def test_a_lot_below_nothing_is_counted_by_a_line() -> None:
    """What two machines sold twice is settled by counting: the line for it must be taken."""
    from core.language.read import Reading, read_line

    pencil = small_farm().later(40)
    pencil.write("cut", lot="L001", crop="zinnia", bed="b2", use="fresh", stems=10)
    pencil.entries += [pencil.made("sold", lot="L001", source="bucket", stems=8) for _ in range(2)]
    read = read_line("count 2 L001 bucket", pencil.farm, pencil.today)
    assert isinstance(read, Reading), read.sentence
    for draft in read.drafts:
        pencil.write(draft.kind, draft.on, **draft.fields)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None and lot.on_hand == 2 and unbalanced(pencil.farm) == []
