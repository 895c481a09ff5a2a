"""Perennials, shrubs and biennials: what stands for more than a year, by the farm's own record."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.beds.rows import PlantingRow, bed_rows
from core.drying.rows import shelf_rows
from tests.farms import Pencil
from tests.shell import Shell

Capture = pytest.CaptureFixture[str]


def _standing(crop: str, since: str, today: str, **fields: str) -> Pencil:
    pencil = Pencil(today)
    pencil.write("frost", season="spring", threshold_f=32, risk_pct=50, month_day="05-14")
    pencil.write("frost", season="autumn", threshold_f=24, risk_pct=50, month_day="10-24")
    pencil.write("bed", bed="e1", feet=50, width_in=36)
    pencil.write("set out", on=since, planting="P01", crop=crop, bed="e1", feet=25, plants=40, **fields)
    return pencil


def _row(pencil: Pencil) -> PlantingRow:
    return bed_rows(pencil.farm, pencil.today)[0].plantings[0]


def _cut(pencil: Pencil, lot: str, crop: str, use: str = "fresh") -> None:
    pencil.write("cut", lot=lot, crop=crop, bed="e1", planting="P01", use=use, stems=20)


def test_a_perennial_is_never_asked_to_be_cleared_nor_covered() -> None:
    pencil = _standing("yarrow", "2023-05-06", "2026-06-10")
    _cut(pencil, "L001", "yarrow")
    pencil.later(120).write("tonight", f=20)
    assert (_row(pencil).job, _row(pencil).at_stage) == ("", ())


def test_a_perennial_comes_to_stage_when_it_did_last_year() -> None:
    pencil = _standing("yarrow", "2023-05-06", "2025-06-10")
    # 4 to 6 weeks from the last frost on 14 May (from memory), until its own first cut is written
    assert (_row(pencil).cut_from, _row(pencil).at_stage) == ("2025-06-11", ())
    _cut(pencil, "L001", "yarrow")
    assert _row(pencil).at_stage == ("fresh", "dry")
    pencil.later(360)
    assert _row(pencil).at_stage == ()
    pencil.later(5)
    assert (_row(pencil).cut_from, _row(pencil).because) == ("2026-06-10", "first cut 10 Jun 2025")
    pencil.later(3)
    _cut(pencil, "L002", "yarrow")
    assert (_row(pencil).cut_from, _row(pencil).because) == ("2026-06-13", "first cut 13 Jun")


def test_branches_cut_bare_in_winter_hide_no_spring_bloom(tmp_path: Path, capsys: Capture) -> None:
    """Lilac flowers from two weeks before its last frost to one after [S294]; forced branches in January are none."""
    for told in ((), ("lilac blooms 25 may",)):
        shell = Shell(tmp_path / f"farm{len(told)}", capsys, "2027-05-26").begin(
            {
                "2022-05-01": ("bed e1 50ft", "last frost 05-14", "plant lilac e1 10ft 5 plants", *told),
                "2027-01-10": ("10 lilac e1 fresh",),
            }
        )
        (planting,) = shell.json("beds")["rows"][0]["plantings"]
        assert planting["cut_from"] == ("2027-05-25" if told else "2027-04-30")
        assert "136 d" in shell.text("today").partition("CHECK FOR CUTTING")[2].partition("ALSO")[0]
        shell.write("20 lilac e1 fresh")
        (planting,) = shell.json("beds")["rows"][0]["plantings"]
        assert planting["cut_from"] == "2027-05-26", "its own first cut in bloom goes before both"


def test_the_bare_stems_of_winter_go_on_over_the_new_year() -> None:
    """Red-twig dogwood is cut from late fall to early spring [S225]; its own first cut says when."""
    pencil = _standing("red-twig dogwood", "2022-05-06", "2026-12-10")
    _cut(pencil, "L001", "red-twig dogwood")
    pencil.later(31)
    assert (_row(pencil).cut_from, _row(pencil).at_stage) == ("2026-12-10", ("fresh",))


def test_a_biennial_set_out_in_summer_is_cut_the_year_after_and_then_cleared() -> None:
    pencil = _standing("Sweet William", "2025-08-20", "2025-11-10")
    assert (_row(pencil).job, _row(pencil).at_stage) == ("net", ())
    pencil.later(215)
    _cut(pencil, "L001", "Sweet William")
    assert _row(pencil).at_stage == ("fresh",)
    pencil.later(80)
    assert _row(pencil).job == "clear"


def test_a_lot_dries_by_the_sheet_of_the_way_it_was_grown() -> None:
    """Strawflower the early way hangs 14 to 21 days (common practice), the published way 7 to 14."""
    due = {}
    for way in ("early", ""):
        pencil = _standing("strawflower", "2026-04-01", "2026-06-20", **({"way": way} if way else {}))
        _cut(pencil, "L001", "strawflower", "dry")
        pencil.write("hung", lot="L001", stems=20, source="bucket", line="line 1")
        (row,) = shelf_rows(pencil.farm, pencil.today)
        due[way] = (row.test_from, row.due)
    assert due == {"early": ("2026-07-04", "2026-07-11"), "": ("2026-06-27", "2026-07-04")}


def test_a_perennial_of_her_own_is_offered_by_what_she_told_of_it() -> None:
    pencil = _standing("tea rose", "2024-05-06", "2026-06-10")
    pencil.write("crop", crop="tea rose")
    for figure, value in (("life_cycle", "perennial (shrub)"), ("uses", "fresh")):
        pencil.write("sheet", crop="tea rose", figure=figure, value=value)
    assert _row(pencil).at_stage == ()
    assert "tea rose blooms" in _row(pencil).because  # nothing is known of it: the line that tells it
    pencil.write("sheet", crop="tea rose", figure="flowers_weeks", value="2 to 6")
    # from 2 weeks after the last frost on 14 May, until its own first cut is written
    assert (_row(pencil).cut_from, _row(pencil).at_stage) == ("2026-05-28", ("fresh",))
    _cut(pencil, "L001", "tea rose")
    assert (_row(pencil).cut_from, _row(pencil).because) == ("2026-06-10", "first cut 10 Jun")
