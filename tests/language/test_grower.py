"""Lines of a day in the shed, written in gloves: what she says short is understood, and what is amiss is remarked."""

from __future__ import annotations

from datetime import date

import pytest

from core.kinds import sentence
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import Pencil

DAY = date(2026, 7, 2)


@pytest.fixture(scope="module")
def shed() -> Pencil:
    """L001 strawflower on line 1 (fresh) and in box 1 (found damp), L002 zinnia and L003 zinnia in the bucket."""
    pencil = Pencil("2026-07-01")
    pencil.write("bed", bed="b3", feet=100, width_in=36)
    pencil.write("line", line="line 1", feet=20)
    pencil.write("line", line="line 2", feet=2)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b3", use="dry", stems=40)
    pencil.write("hung", lot="L001", stems=40, source="bucket", line="line 1", per=8)
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=2, per=8)
    pencil.write("box checked", box="box 1", result="damp")
    pencil.write("weighed", lot="L001", source="line 1", grams=350)
    pencil.write("cut", lot="L002", crop="zinnia", bed="b3", use="fresh", stems=30)
    pencil.write("cut", lot="L003", crop="zinnia", bed="b3", use="fresh", stems=20)
    pencil.write("cut", lot="L004", crop="larkspur", bed="b3", use="dry", stems=60)
    pencil.write("cut", lot="L005", crop="strawflower", bed="b3", use="wire", stems=24)
    pencil.write("wired", lot="L005", heads=24, source="bucket", gauge=22, wires=24)
    return pencil.later(1)


def read(pencil: Pencil, text: str) -> Reading:
    reading = read_line(text, pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading
    return reading


def refusal(pencil: Pencil, text: str) -> str:
    problem = read_line(text, pencil.farm, pencil.today)
    assert isinstance(problem, Problem), problem
    return problem.sentence


class TestAll:
    def test_all_of_a_crop_is_sold_lot_by_lot(self, shed: Pencil) -> None:
        drafts = read(shed, "sold all zinnia to corner florist").drafts
        assert sorted((d.fields["lot"], d.fields["stems"]) for d in drafts) == [("L002", 30), ("L003", 20)]

    @pytest.mark.parametrize(
        ("line", "kind", "amount"),
        [("sold all L002", "sold", "stems"), ("used all L002 for posies", "used", "stems"),
         ("lost all L002 wilted", "lost", "count")],
    )  # fmt: skip
    def test_all_of_a_lot(self, shed: Pencil, line: str, kind: str, amount: str) -> None:
        (draft,) = read(shed, line).drafts
        assert (draft.kind, draft.fields[amount]) == (kind, 30)

    def test_how_many_is_asked_with_what_there_is(self, shed: Pencil) -> None:
        assert refusal(shed, "lost L002 wilted") == (
            "How many of L002? Write the number, or 'all': it has 30 stems in the bucket."
        )


def test_bunches_away_from_their_number_are_not_to_be_left_out(shed: Pencil) -> None:
    """Left out, three bunches would become three stems."""
    assert refusal(shed, "sold 3 L002 bunches to market") == (
        "'bunches' stands alone: write it right after its number, such as 3 bunches."
    )


def test_a_refusal_speaks_of_the_line_she_wrote(shed: Pencil) -> None:
    assert "in a 'sold' line" in refusal(shed, "sold 5 zinnia stage")


def test_one_stem_is_one_stem(shed: Pencil) -> None:
    (draft,) = read(shed, "sold 1 L002 to J").drafts
    assert sentence(draft) == "sold 1 stem of L002 from the bucket to J"


class TestWeighing:
    def test_two_bunches_are_not_weighed_together(self, shed: Pencil) -> None:
        said = refusal(shed, "weigh L001 600g 2 bunches")
        assert said == (
            "2 bunches: its drying is told by one marked bunch, the same each time. Weigh that one alone."
        )
        assert read(shed, "weigh L001 300g 1 bunch").drafts[0].fields["grams"] == 300

    def test_a_weight_too_light_for_that_bunch_is_asked_about(self, shed: Pencil) -> None:
        """35 g for 350: a tenth, where dry strawflower keeps 17 to 21 % [S51]."""
        (said,) = [r for r in read(shed, "weigh L001 35g").remarks if "slip" in r]
        assert said.startswith("10 % of the first 350 g, where dry strawflower keeps 17 % or more")
        assert not any("slip" in r for r in read(shed, "weigh L001 70g").remarks)


class TestHangingAndBoxing:
    def test_a_line_too_short_is_told_as_it_is_filled(self, shed: Pencil) -> None:
        """60 stems are 6 bunches, 3 ft at 6 in apart [S105]; line 1 has 20 ft less 3 bunches."""
        assert (
            "line 2 is full: they take 3 ft of its 2 ft free; line 1 has 18.5 ft free"
            in read(shed, "hang L004 line 2").remarks
        )
        assert not any("full" in r for r in read(shed, "hang L004 line 1").remarks)

    def test_boxed_unsnapped_or_into_a_damp_box(self, shed: Pencil) -> None:
        remarks = " / ".join(read(shed, "box L001 3x8 box 1").remarks)
        assert "no stem of it has snapped yet" in remarks and "look at box 1 first: damp" in remarks
        tried = Pencil("2026-07-01")
        tried.entries = list(shed.entries)
        tried.later(9)
        tried.write("tested", lot="L001", result="snaps", place="line 1")
        assert read(tried, "box L001 3x8 box 2").remarks == ()

    def test_what_is_on_wire_is_not_wired_again(self, shed: Pencil) -> None:
        wires = {"heads": 12, "source": "bench", "gauge": 20, "wires": 12, "insisted": "20 gauge"}
        refused = shed.refusal("wired", lot="L005", **wires)
        assert refused is not None
        assert refused.sentence == "L005 on the bench is on wire already: 24 heads on the bench."

    def test_what_hangs_is_on_a_line(self, shed: Pencil) -> None:
        assert "24 stems on line 1 and 2 bunches of 8 in box 1" in refusal(shed, "lost 6 mold L001")
