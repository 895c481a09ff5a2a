"""A snap test speaks for what it was tried on: for one line of two, and not for what came damp out of a box."""

from __future__ import annotations

from datetime import date

from core.drying.rows import ShelfRow, shelf_rows
from tests.farms import Pencil, beds


def hanging_on_two_lines() -> Pencil:
    pencil = beds("b1", start="2026-07-01")
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", use="dry", stems=60)
    pencil.write("hung", lot="L001", stems=40, source="bucket", line="line 1", per=8)
    pencil.write("hung", lot="L001", stems=20, source="bucket", line="line 2", per=10)
    return pencil.later(9)


def rows(pencil: Pencil, day: date | None = None) -> dict[str, ShelfRow]:
    return {row.line: row for row in shelf_rows(pencil.farm, day or pencil.today)}


def test_the_thin_bunches_snap_and_the_thick_ones_are_not_called_dry() -> None:
    pencil = hanging_on_two_lines()
    pencil.write("tested", lot="L001", result="snaps", place="line 1")
    assert {line: row.status for line, row in rows(pencil).items()} == {"line 1": "dry", "line 2": "test"}
    pencil.write("tested", lot="L001", result="bends", place="line 2")
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=5, per=8)
    refused = pencil.refusal("boxed", lot="L001", source="line 2", box="box 2", bunches=2, per=10)
    assert refused is not None and "still bent on 10 Jul" in refused.sentence


def test_a_test_without_a_line_speaks_for_all_that_hangs() -> None:
    pencil = hanging_on_two_lines()
    pencil.write("tested", lot="L001", result="snaps")
    assert {row.status for row in rows(pencil).values()} == {"dry"}


def test_what_was_tried_on_its_line_has_been_tried_on_the_next() -> None:
    pencil = hanging_on_two_lines()
    pencil.write("tested", lot="L001", result="snaps", place="line 1")
    pencil.write("moved", lot="L001", stems=16, source="line 1", place="line 3")
    pencil.write("moved", lot="L001", stems=24, source="line 1", place="line 4")
    assert {line: row.status for line, row in rows(pencil).items()} == {
        "line 2": "test",
        "line 3": "dry",
        "line 4": "dry",
    }


def test_a_damp_box_hung_again_is_not_dry_because_it_once_snapped() -> None:
    """Even on the day of the snap, and beside bunches of its lot that hang there yet."""
    pencil = hanging_on_two_lines()
    pencil.write("tested", lot="L001", result="snaps", place="line 1")
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=4, per=8)
    pencil.write("box checked", box="box 1", result="damp")
    pencil.write("hung", lot="L001", stems=32, source="box 1", line="line 1", per=8)
    found = rows(pencil)["line 1"]
    assert (found.stems, found.status, found.days_hung) == (40, "hanging", 0)
    assert found.test_from == "2026-07-12" and "came damp out of a box on 2026-07-10" in found.because
    refused = pencil.refusal("boxed", lot="L001", source="line 1", box="box 1", bunches=5, per=8)
    assert (
        refused is not None
        and "came damp out of a box" in refused.sentence
        and "snap L001" in refused.sentence
    )
    assert rows(pencil, date(2026, 7, 12))["line 1"].status == "test"
    pencil.later(2)
    pencil.write("tested", lot="L001", result="snaps", place="line 1")
    assert rows(pencil)["line 1"].status == "dry"
    pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=5, per=8)
