"""Recipes and pieces: parts leave the ledger oldest first, a piece comes into being, nothing is lost on the way."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from core.farm import Farm, Piece
from core.fold import check, fold
from core.pieces.bench import bench_rows
from core.pieces.making import drafts_of
from core.pieces.orders import Order, short_for
from core.pieces.recipes import LIBRARY
from core.pieces.taking import most_that_can_be_made, needs, take_for
from core.pieces.tracing import trace
from core.places import BENCH, BUCKET
from core.problems import Problem
from core.stems.rows import balance, unbalanced
from tests.farms import Pencil, small_farm

DAY = date(2026, 8, 20)


def shed() -> Pencil:
    """In the shed on 20 August: statice boxed in July (L002) and snapped on its line (L003), not snapped (L004),
    strawflower apricot boxed (L001), heads on the bench (L005), zinnia in the bucket (L006), wire, rings."""
    pencil = small_farm()
    pencil.write("set out", planting="P03", crop="statice", bed="b1", feet=20, plants=60)

    def dried(on: str, lot: str, crop: str, stems: int, line: str, **more: Any) -> None:
        pencil.today = date.fromisoformat(on)
        pencil.write("cut", lot=lot, crop=crop, bed="b1", use="dry", stems=stems, **more)
        pencil.write("hung", lot=lot, source=BUCKET, line=line, stems=stems)

    dried("2026-07-01", "L001", "strawflower", 40, "line 1", planting="P01", variety="apricot")
    dried("2026-07-02", "L002", "statice", 60, "line 1", planting="P03")
    dried("2026-07-20", "L003", "statice", 30, "line 2")
    dried("2026-08-15", "L004", "statice", 50, "line 2")
    pencil.today = date(2026, 8, 5)
    for lot in ("L001", "L002", "L003"):
        pencil.write("tested", lot=lot, result="snaps")
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=4, per=10)
    pencil.write("boxed", lot="L002", source="line 1", box="box 2", bunches=6, per=10)
    pencil.today = DAY
    pencil.write("bought", making="wire 22", count=100)
    pencil.write("bought", making="ring 12in", count=5)
    pencil.write("cut", lot="L005", crop="strawflower", bed="b1", planting="P01", use="wire", stems=24)
    pencil.write("wired", lot="L005", heads=24, source=BUCKET, gauge=22, wires=24)
    pencil.write("cut", lot="L006", crop="zinnia", bed="b2", planting="P02", use="fresh", stems=25)
    return pencil


def recipe(pencil: Pencil, *parts: tuple[str, float, str], name: str = "winter-wreath", **more: Any) -> None:
    pencil.write("recipe", recipe=name, **({"sort": "wreath", "size_in": 12, "minutes": 60} | more))
    for what, count, form in parts:
        pencil.write("part", recipe=name, what=what, count=count, form=form)


def make(pencil: Pencil, count: int = 1, name: str = "winter-wreath", **more: Any) -> Problem | Piece:
    """Make pieces, as one line does; the pieces."""
    drafted = drafts_of(pencil.farm, pencil.farm.recipes[name], count, pencil.today, **more)
    if isinstance(drafted, Problem):
        return drafted
    for draft in drafted[0]:
        pencil.write(draft.kind, draft.on, **draft.fields)
    made = pencil.farm.pieces.get(drafted[0][0].fields["piece"])
    assert made is not None
    return made


def on_hand(farm: Farm) -> dict[tuple[str, str], int]:
    return {(lot.code, at): held.stems for lot in farm.lots.live() for at, held in lot.holdings.items()}


def test_a_wreath_takes_its_parts_out_of_the_ledger_and_is_on_hand() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 30, "dry"), ("strawflower apricot", 5, "dry"), ("ring 12in", 1, "making"))
    piece = make(pencil, 2, minutes=130)
    assert isinstance(piece, Piece)
    assert (piece.code, piece.count, piece.on_hand, piece.sort) == ("M001", 2, 2, "wreath")
    assert piece.stems == [("L001", "box 1", 10), ("L002", "box 2", 60)]
    assert piece.makings == [("ring 12in", 2)]
    farm = pencil.farm
    assert on_hand(farm)["L001", "box 1"] == 30 and ("L002", "box 2") not in on_hand(farm)
    assert farm.makings["ring 12in"] == 3
    assert farm.matters == [] and unbalanced(farm) == []
    lot = farm.lots.get("L002")
    assert lot is not None and balance(lot).used == 60


def test_the_earliest_cut_goes_first_and_what_has_not_snapped_only_when_she_insists() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 100, "dry"))
    refused = make(pencil)
    assert isinstance(refused, Problem)
    assert "10 dry statice short for 1 winter-wreath (100 needed, 90 there)" in refused.sentence
    assert "50 that hang and have not snapped" in refused.sentence and refused.nearest == ("anyway",)
    piece = make(pencil, insists=True)
    assert isinstance(piece, Piece)
    assert piece.stems == [("L002", "box 2", 60), ("L003", "line 2", 30), ("L004", "line 2", 10)]
    said = [e.fields.get("purpose") for e in pencil.entries if e.kind == "used"]
    assert said == [None, None, "winter-wreath, though not snapped"]


def test_a_stem_that_still_bent_is_not_dry() -> None:
    pencil = shed()
    pencil.write("tested", lot="L003", result="bends")
    recipe(pencil, ("statice", 1, "dry"))
    assert most_that_can_be_made(pencil.farm, pencil.farm.recipes["winter-wreath"], DAY)[0] == 60  # type: ignore[index]


def test_wired_heads_come_from_the_bench_and_fresh_stems_from_the_bucket() -> None:
    pencil = shed()
    recipe(pencil, ("strawflower", 3, "wired"), ("zinnia", 5, "fresh"), name="posy", sort="bouquet")
    piece = make(pencil, 2, "posy")
    assert isinstance(piece, Piece)
    assert piece.stems == [("L005", BENCH, 6), ("L006", BUCKET, 10)]


def test_fresh_stems_past_their_vase_life_are_left_out() -> None:
    pencil = shed().later(40)
    recipe(pencil, ("zinnia", 5, "fresh"), name="posy", sort="bouquet")
    refused = make(pencil, 1, "posy")
    assert isinstance(refused, Problem) and "past their vase life" in refused.sentence
    assert isinstance(make(pencil, 1, "posy", insists=True), Piece)


def test_a_wide_part_leaves_the_narrow_one_its_stems() -> None:
    """ "any" would take the oldest, the apricot strawflower, which another part must have."""
    pencil = shed()
    recipe(pencil, ("any", 90, "dry"), ("strawflower apricot", 40, "dry"))
    piece = make(pencil)
    assert isinstance(piece, Piece) and sum(stems for _, _, stems in piece.stems) == 130
    assert most_that_can_be_made(pencil.farm, pencil.farm.recipes["winter-wreath"], DAY)[0] == 0  # type: ignore[index]


def test_any_filler_takes_fillers_alone() -> None:
    pencil = shed()
    recipe(pencil, ("any filler", 80, "dry"))
    piece = make(pencil)
    assert isinstance(piece, Piece) and {lot for lot, _, _ in piece.stems} == {"L002", "L003"}


def test_the_first_part_short_is_named_with_what_would_do() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 20, "dry"), ("ring 12in", 1, "making"))
    refused = make(pencil, 6)
    assert isinstance(refused, Problem) and refused.nearest == ("make 4 winter-wreath", "anyway")
    recipe(pencil, ("strawflower", 1, "wired"), ("ring 12in", 1, "making"), name="ringed")
    refused = make(pencil, 7, "ringed")
    assert isinstance(refused, Problem)
    assert "2 ring 12in short for 7 ringed (7 needed, 5 there): make 5" in refused.sentence
    assert len(pencil.farm.matters) == 0 and pencil.farm.makings["ring 12in"] == 5


def test_a_making_that_is_not_counted_limits_nothing_and_is_said() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 30, "dry"), ("ribbon", 2, "making"))
    piece = make(pencil)
    assert isinstance(piece, Piece) and piece.makings == [("ribbon", 2)]
    assert "ribbon" not in pencil.farm.makings
    (row,) = bench_rows(pencil.farm, DAY).recipes
    assert row.uncounted == ("ribbon",)


def test_makeable_names_the_part_that_ends_it() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 20, "dry"), ("strawflower", 5, "wired"), ("wire 22", 3, "making"))
    found = most_that_can_be_made(pencil.farm, pencil.farm.recipes["winter-wreath"], DAY)
    assert not isinstance(found, Problem)
    count, limit = found
    assert (
        count == 4 and limit is not None and (limit.what, limit.needed, limit.there) == ("statice", 100, 90)
    )
    (row,) = bench_rows(pencil.farm, DAY).recipes
    assert (row.can_make, row.limited_by) == (4, "dry statice")


def test_a_recipe_with_no_part_that_is_counted_has_no_limit() -> None:
    pencil = shed()
    recipe(pencil, ("ribbon", 2, "making"))
    found = most_that_can_be_made(pencil.farm, pencil.farm.recipes["winter-wreath"], DAY)
    assert not isinstance(found, Problem) and found[1] is None
    pencil.write("recipe", recipe="bare", sort="crown")
    assert isinstance(most_that_can_be_made(pencil.farm, pencil.farm.recipes["bare"], DAY), Problem)
    assert [(r.recipe, r.can_make) for r in bench_rows(pencil.farm, DAY).recipes] == [("winter-wreath", None)]


def test_pieces_are_sold_and_lost_and_never_more_than_there_are() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 10, "dry"))
    make(pencil, 3)
    pencil.write("piece sold", piece="M001", count=1, who="corner florist")
    pencil.write("piece lost", piece="M001", count=1, cause="broken")
    refused = pencil.refusal("piece sold", piece="M001", count=2)
    assert (
        refused is not None and "M001 has 1 winter-wreath" in refused.sentence and refused.nearest == ("1",)
    )
    pencil.write("piece sold", piece="M001", count=1)
    piece = pencil.farm.pieces.get("M001")
    assert piece is not None and (piece.sold, piece.lost, piece.is_live) == (2, {"broken": 1}, False)
    refused = pencil.refusal("piece lost", piece="M001", count=1, cause="moth")
    assert refused is not None and "nothing left" in refused.sentence
    assert pencil.farm.causes["broken"] == 1


@pytest.mark.parametrize(
    ("kind", "fields", "says"),
    [
        ("made", {"piece": "M001", "recipe": "garland", "count": 1}, "no recipe garland"),
        ("made", {"piece": "M001", "recipe": "winter-wreath", "count": 0}, "At least one"),
        ("piece sold", {"piece": "M009", "count": 1}, "no piece M009"),
        ("recipe", {"recipe": "Winter Wreath", "sort": "wreath"}, "one word"),
        ("recipe", {"recipe": "w", "sort": "hat"}, "no sort of piece hat"),
        ("recipe", {"recipe": "w", "sort": "wreath", "size_in": 0}, "above 0"),
        ("part", {"recipe": "w", "what": "statise", "count": 2, "form": "dry"}, "did you mean statice"),
        ("part", {"recipe": "w", "what": "any hat", "count": 2, "form": "dry"}, "any filler"),
        ("part", {"recipe": "w", "what": "statice", "count": 1.5, "form": "dry"}, "no whole number"),
        ("part", {"recipe": "w", "what": "statice", "count": -1, "form": "dry"}, "from 0"),
        ("part", {"recipe": "w", "what": "statice", "count": 1, "form": "wet"}, "no form wet"),
        ("spent", {"making": "ring 12in", "count": 6}, "5 of ring 12in"),
        ("spent", {"making": "ring 12in", "count": 0}, "more than 0"),
        ("reorder", {"making": "ring 12in", "count": -1}, "begins at 0"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(kind: str, fields: dict[str, Any], says: str) -> None:
    pencil = shed()
    recipe(pencil, ("statice", 10, "dry"))
    refused = pencil.refusal(kind, **fields)
    assert refused is not None and says in refused.sentence


def test_a_part_is_changed_in_its_place_and_taken_out_with_0() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 30, "dry"), ("any filler", 6, "dry"), ("wire 22", 3, "making"))
    pencil.write("part", recipe="winter-wreath", what="statice", count=25, form="dry")
    pencil.write("part", recipe="winter-wreath", what="any filler", count=0, form="dry")
    assert pencil.farm.recipes["winter-wreath"].parts == [("statice", 25, "dry"), ("wire 22", 3, "making")]
    pencil.write("recipe", recipe="winter-wreath", sort="wreath", minutes=45)
    assert pencil.farm.recipes["winter-wreath"].parts == [("statice", 25, "dry"), ("wire 22", 3, "making")]


# orders


def order(pencil: Pencil, count: int, **more: Any) -> Order:
    found = short_for(pencil.farm, pencil.farm.recipes["winter-wreath"], count, DAY, **more)
    assert isinstance(found, Order), found
    return found


def test_twelve_wreaths_of_12_in_by_the_published_ring() -> None:
    """100 pieces on 10 in [S74], so 120 on 12 in; a dozen of them take 1440."""
    pencil = shed()
    found = short_for(pencil.farm, LIBRARY["wreath"].as_recipe(), 12, DAY, size_in=12)
    assert isinstance(found, Order)
    assert [(p.what, p.needed) for p in found.parts] == [
        ("any", 1440),
        ("wire 26", 144),
        ("ring 12in", 12),
    ]
    dry = found.parts[0]
    assert (dry.there, dry.short, dry.unfit) == (130, 1310, 50)
    ring = found.parts[2]
    assert (ring.there, ring.short) == (5, 7)
    assert found.sentence == "Short for 12 wreath of 12 in: 1,310 dry stems of any kind, 7 ring 12in."
    assert any("wire 26" in remark for remark in found.remarks)
    assert any("turn the ends in" in caution for caution in found.cautions)


def test_a_larger_ring_takes_more_stems_and_one_ring_of_its_own() -> None:
    pencil = shed()
    recipe(
        pencil,
        ("statice", 30, "dry"),
        ("wire 22", 3, "making"),
        ("ring 12in", 1, "making"),
        ("tape", 0.1, "making"),
    )
    found = order(pencil, 2, size_in=18)
    assert [(p.what, p.needed) for p in found.parts] == [
        ("statice", 90),
        ("wire 22", 10),
        ("ring 18in", 2),
        ("tape", 0.3),
    ]
    assert found.minutes == 180


def test_spare_stems_for_wedding_work_are_on_top() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 30, "dry"), ("wire 22", 3, "making"), sort="crown", size_in=23)
    found = order(pencil, 2)
    assert any("10 to 15 %" in remark for remark in found.remarks)
    found = order(pencil, 2, spare_pct=12)
    assert [p.needed for p in found.parts] == [68, 6] and not any("wedding" in r for r in found.remarks)


def test_what_has_no_size_cannot_be_scaled() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 30, "dry"), sort="bouquet")
    refused = short_for(pencil.farm, pencil.farm.recipes["winter-wreath"], 2, DAY, size_in=14)
    assert isinstance(refused, Problem) and "no size to change" in refused.sentence
    for wrong in (0, -3, 10**9):
        assert isinstance(short_for(pencil.farm, pencil.farm.recipes["winter-wreath"], wrong, DAY), Problem)


# the bench


def test_the_bench_shows_heads_with_their_gauge_and_its_standard() -> None:
    pencil = shed()
    (heads,) = bench_rows(pencil.farm, DAY).heads
    assert (heads.crop, heads.heads, heads.gauges, heads.lots) == ("strawflower", 24, (22,), ("L005",))
    assert heads.gauge == "22 gauge: 0.71 mm if SWG, 0.64 mm if AWG"
    pencil.write("farm", wire="AWG")
    assert bench_rows(pencil.farm, DAY).heads[0].gauge == "22 gauge AWG, 0.64 mm"


def test_heads_cut_for_wire_wait_two_days_at_most() -> None:
    pencil = shed()
    pencil.write("cut", lot="L007", crop="strawflower", bed="b1", planting="P01", use="wire", stems=50)
    (row,) = bench_rows(pencil.farm, DAY).to_wire
    assert (row.lot, row.heads, row.wire_by, row.days_left) == ("L007", 50, "2026-08-21", 1)
    assert row.minutes == (30, 50)  # 60 to 100 heads an hour (common practice)
    recipe(pencil, ("any", 1, "fresh"), name="head", sort="wired head", minutes=0.8)
    (row,) = bench_rows(pencil.farm, DAY).to_wire
    assert (row.minutes, row.source) == ((40, 40), "recipe head")
    assert bench_rows(pencil.farm, date(2026, 8, 22)).to_wire == ()


def test_makings_say_buy_at_their_number() -> None:
    pencil = shed()
    pencil.write("reorder", making="wire 22", count=76)
    pencil.write("reorder", making="ring 12in", count=4)
    rows = {r.making: r for r in bench_rows(pencil.farm, DAY).makings}
    assert (rows["wire 22"].count, rows["wire 22"].status) == (76, "buy")
    assert rows["wire 22"].says.startswith("22 gauge") and rows["ring 12in"].says == ""
    assert rows["ring 12in"].status == ""
    recipe(pencil, ("ring 12in", 1, "making"), ("statice", 1, "dry"))
    make(pencil)
    rows = {r.making: r for r in bench_rows(pencil.farm, DAY).makings}
    assert rows["ring 12in"].status == "buy"
    pencil.write("reorder", making="ring 12in", count=0)
    assert "ring 12in" not in pencil.farm.reorder


def test_a_piece_is_traced_to_its_beds_and_sowings() -> None:
    pencil = shed()
    recipe(pencil, ("strawflower apricot", 5, "dry"), ("statice", 70, "dry"))
    piece = make(pencil)
    assert isinstance(piece, Piece)
    found = trace(pencil.farm, piece)
    assert [(p.lot, p.stems, p.bed, p.planting, p.cut_on) for p in found.stems] == [
        ("L001", 5, "b1", "P01", "2026-07-01"),
        ("L002", 60, "b1", "P03", "2026-07-02"),
        ("L003", 10, "b1", None, "2026-07-20"),
    ]
    (row,) = bench_rows(pencil.farm, DAY).pieces
    assert (row.piece, row.on_hand, row.stems, row.lots) == ("M001", 1, 75, ("L001", "L002", "L003"))


def test_the_minutes_of_her_own_hands_stand_beside_the_recipe() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 10, "dry"))
    make(pencil, 2, minutes=100)
    make(pencil, 1, minutes=80)
    make(pencil, 1)
    (row,) = bench_rows(pencil.farm, DAY).recipes
    assert (row.minutes, row.minutes_own) == (60, 60)


# machines apart


def test_two_machines_that_take_the_last_bunch_leave_a_matter_and_no_crash() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 90, "dry"), ("ring 12in", 4, "making"))
    farm = pencil.farm
    ours = drafts_of(farm, farm.recipes["winter-wreath"], 1, DAY)
    theirs = drafts_of(farm, farm.recipes["winter-wreath"], 1, DAY, mark="b")
    assert not isinstance(ours, Problem) and not isinstance(theirs, Problem)
    entries = [*pencil.entries, *(pencil.made(d.kind, d.on, **d.fields) for d in (*ours[0], *theirs[0]))]
    merged = fold(entries)
    assert [p.code for p in merged.pieces.live()] == ["M001", "M001b"]
    assert unbalanced(merged) == []
    said = " ".join(m.sentence for m in merged.matters)
    assert "60 more stems of L002" in said and "3 more of ring 12in" in said
    assert take_for(merged, (), DAY).stems == () and bench_rows(merged, DAY).pieces


def test_one_code_given_twice_keeps_the_parts_of_each_apart() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 10, "dry"))
    farm = pencil.farm
    drafted = drafts_of(farm, farm.recipes["winter-wreath"], 1, DAY)
    assert not isinstance(drafted, Problem)
    twice = [pencil.made(d.kind, d.on, **d.fields) for _ in range(2) for d in drafted[0]]
    merged = fold([*pencil.entries, *twice])
    assert [(p.code, p.stems) for p in merged.pieces.live()] == [
        ("M001", [("L002", "box 2", 10)]),
        ("M001-2", [("L002", "box 2", 10)]),
    ]
    assert any("given twice" in m.sentence for m in merged.matters)


def test_parts_without_their_piece_and_pieces_without_their_recipe_are_settled_not_lost() -> None:
    pencil = shed()
    stray = pencil.made("used", lot="L002", source="box 2", stems=5, piece="M009")
    wire = pencil.made("spent", making="wire 22", count=2, piece="M009")
    part = pencil.made("part", recipe="ghost", what="statice", count=2, form="dry")
    sold = pencil.made("piece sold", piece="M009", count=1)
    farm = fold([*pencil.entries, stray, wire, part, sold])
    assert len(farm.matters) == 4 and unbalanced(farm) == []
    assert farm.makings["wire 22"] == 74
    made = pencil.made("made", piece="M001", recipe="ghost", count=2)
    farm = fold([*pencil.entries, made])
    piece = farm.pieces.get("M001")
    assert farm.matters == [] and piece is not None and piece.sort == "ghost"


def test_needs_are_rounded_up_to_whole_stems_and_no_further() -> None:
    wreath = LIBRARY["wreath"].as_recipe()
    for inches, pieces in ((10, 100), (12, 120), (14, 140), (18, 180), (11, 110)):
        wants = needs(wreath, 1, size_in=inches)
        assert not isinstance(wants, Problem) and wants[0].count == pieces


def test_a_draft_of_made_pieces_is_the_right_shape_for_the_book() -> None:
    pencil = shed()
    recipe(pencil, ("statice", 10, "dry"), ("wire 22", 1, "making"))
    drafted = drafts_of(pencil.farm, pencil.farm.recipes["winter-wreath"], 2, DAY, minutes=90)
    assert not isinstance(drafted, Problem)
    assert [d.kind for d in drafted[0]] == ["made", "used", "spent"]
    assert all(check(pencil.farm, d, DAY.isoformat()) is None for d in drafted[0])


def test_parts_of_two_pieces_of_one_code_made_in_one_moment_stay_with_their_own() -> None:
    """Two machines apart: by their instants the lines lie between each other."""
    pencil = shed()
    recipe(pencil, ("wire 22", 1, "making"))
    making = {"making": "wire 22", "piece": "M001"}
    made = {"piece": "M001", "recipe": "winter-wreath", "count": 1}
    entries = [
        pencil.made("made", **made),
        pencil.made("made", **made),
        pencil.made("spent", count=1, **making),
        pencil.made("spent", count=2, **making),
    ]
    by_two = [replace(entry, by=by) for entry, by in zip(entries, ("ml", "jo", "ml", "jo"), strict=True)]
    farm = fold([*pencil.entries, *by_two])
    assert {piece.by: [of.number for of in piece.makings] for piece in farm.pieces.all()} == {
        "ml": [1],
        "jo": [2],
    }
