"""How what was counted, waited for and made is told: more found is not less than nothing lost."""

from __future__ import annotations

from datetime import date

from core.fresh.rows import fresh_rows
from core.language.read import Reading, read_line
from core.lot_page import lot_page
from core.pieces.bench import bench_rows
from core.pieces.wiring import wire_name
from core.stems.losses import loss_rows
from tests.farms import Pencil, beds
from tui.subjects.drying import asks
from tui.subjects.stems import LOSSES


def boxed() -> Pencil:
    pencil = beds("b1", start="2026-07-01")
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", use="dry", stems=40)
    pencil.write("hung", lot="L001", stems=40, source="bucket", line="line 1", per=10)
    pencil.later(9)
    pencil.write("tested", lot="L001", result="snaps")
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=4, per=10)
    return pencil


def test_more_found_than_was_cut_stands_beside_the_cut() -> None:
    pencil = boxed()
    pencil.write("counted", lot="L001", source="box 1", stems=47, expected=40)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None
    page = lot_page(pencil.farm, lot, pencil.today)
    assert page.balanced and page.cut == page.on_hand + page.sold + page.used + page.lost
    assert page.adds_up == "40 cut + 7 found = 47 on hand + 0 sold + 0 used + 0 lost"
    (row,) = loss_rows(pencil.farm.lots.all())
    assert (row.stems, row.share_pct) == (-7, None)
    assert [column.cell(row) for column in LOSSES[2:6]] == ["miscounted: found", -7, 40, ""]


def test_a_count_that_found_fewer_is_a_loss() -> None:
    pencil = boxed()
    pencil.write("counted", lot="L001", source="box 1", stems=36, expected=40)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None
    assert (
        lot_page(pencil.farm, lot, pencil.today).adds_up == "40 cut = 36 on hand + 0 sold + 0 used + 4 lost"
    )
    assert loss_rows(pencil.farm.lots.all())[0].share_pct == 10


def test_hours_out_of_water_are_not_called_hours_in_the_bucket() -> None:
    pencil = beds("b1", start="2026-07-01")
    pencil.write(
        "cut", lot="L001", crop="zinnia", bed="b1", use="fresh", stems=40, clock="06:00", dry_hours=3
    )
    pencil.write("cut", lot="L002", crop="zinnia", bed="b1", use="fresh", stems=40, dry_hours=26)
    waited, lost = fresh_rows(pencil.farm, date(2026, 7, 1), "07:00")[::-1]
    assert waited.because.endswith("4 h in the bucket, 68 F taken; 3 h of it out of water")
    assert list(asks([waited, lost])) == [
        "  L002: out of water for 24 h or more: zinnia never recovers [S20]"
    ]


def test_heads_on_two_gauges_take_one_short_word() -> None:
    pencil = beds("b1", start="2026-07-01")
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", use="wire", stems=24)
    for gauge in (22, 24):
        pencil.write("bought", making=wire_name(gauge), count=100)
        pencil.write("wired", lot="L001", heads=12, source="bucket", gauge=gauge, wires=12)
    (row,) = bench_rows(pencil.farm, pencil.today).heads
    assert (row.heads, row.gauge) == (24, "22 or 24 gauge")


def test_a_piece_is_sold_by_what_it_is_called_the_first_made_first() -> None:
    pencil = boxed()
    pencil.write("recipe", recipe="posy", sort="bouquet")
    pencil.write("made", piece="M001", recipe="posy", count=2)
    pencil.write("made", piece="M002", recipe="posy", count=2)
    reading = read_line("sold 1 posy to J", pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading
    (draft,) = reading.drafts
    assert (draft.kind, draft.fields["piece"], draft.fields["count"]) == ("piece sold", "M001", 1)
    assert reading.remarks == ("M001 is the posy made first",)


def test_a_piece_made_from_a_box_with_moth_is_remarked() -> None:
    pencil = boxed()
    pencil.write("box checked", box="box 1", result="moth")
    pencil.write("recipe", recipe="posy", sort="bouquet")
    pencil.write("part", recipe="posy", what="strawflower", count=8, form="dry")
    reading = read_line("make 1 posy", pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading
    assert any(said.startswith("some are from box 1, moth") for said in reading.remarks), reading.remarks


def test_what_is_no_more_in_a_box_is_told_where_it_is() -> None:
    pencil = boxed()
    pencil.write("hung", lot="L001", stems=40, source="box 1", line="line 1", per=10)
    problem = read_line("hang 2 L001 box 1 line 2", pencil.farm, pencil.today)
    assert not isinstance(problem, Reading)
    assert problem.sentence == "L001 has nothing in box 1; it has 40 stems on line 1."
