"""Lines as they are typed, and the entries they make."""

from __future__ import annotations

from typing import Any

import pytest

from core.farm import Farm
from core.language.line import Known
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import TODAY, farm_of, on, sample_farm


@pytest.fixture(scope="module")
def farm() -> Farm:
    return sample_farm()


def read(farm: Farm, text: str) -> Reading:
    reading = read_line(text, farm, TODAY)
    assert isinstance(reading, Reading), reading.sentence
    return reading


def fields_of(farm: Farm, text: str) -> tuple[str, dict[str, Any]]:
    (draft,) = read(farm, text).drafts
    assert draft.on == TODAY.isoformat()
    return draft.kind, dict(draft.fields)


P01 = {"planting": "P01", "ref": "id-008"}
APRICOT_B3 = {"lot": "L006", "crop": "strawflower", "variety": "apricot", "bed": "b3", "stems": 40, **P01}

LINES: dict[str, tuple[str, dict[str, Any]]] = {
    # the cut
    "40 strawflower b3 dry": ("cut", {**APRICOT_B3, "use": "dry"}),
    "dry 40 b3 straw": ("cut", {**APRICOT_B3, "use": "dry"}),
    "B3, 40 STRAWFLOWER dried.": ("cut", {**APRICOT_B3, "use": "dry"}),
    "40 helichrysum b3 fresh": ("cut", {**APRICOT_B3, "use": "fresh"}),
    "40 stems of straw from bed b3 for wire": ("cut", {**APRICOT_B3, "use": "wire"}),
    "cut 40 straw b3 fresh apricot culls 3 blown 12min stage 3 rows open": (
        "cut",
        {
            **APRICOT_B3,
            "use": "fresh",
            "culls": 3,
            "cull_cause": "blown",
            "minutes": 12,
            "stage": "3 rows open",
        },
    ),
    "40 straw b3 dry 3 culled brown 12 minutes": (
        "cut",
        {**APRICOT_B3, "use": "dry", "culls": 3, "cull_cause": "brown", "minutes": 12},
    ),
    "straw b3 dry 40 culls 3 brown": ("cut", {**APRICOT_B3, "use": "dry", "culls": 3, "cull_cause": "brown"}),
    "straw b3 dry brown 3 culled 40": (
        "cut",
        {**APRICOT_B3, "use": "dry", "culls": 3, "cull_cause": "brown"},
    ),
    "40 straw b3 dry stage '2 rows, centre shut'": (
        "cut",
        {**APRICOT_B3, "use": "dry", "stage": "2 rows, centre shut"},
    ),
    "40 straw b3 dry 'Apricot Blush'": ("cut", {**APRICOT_B3, "use": "dry", "variety": "Apricot Blush"}),
    "40 straw b3 dry deep rose": ("cut", {**APRICOT_B3, "use": "dry", "variety": "deep rose"}),
    "40 P01 dry": ("cut", {**APRICOT_B3, "use": "dry"}),
    "0 straw b3 dry culls 9 broken": (
        "cut",
        {**APRICOT_B3, "use": "dry", "stems": 0, "culls": 9, "cull_cause": "broken"},
    ),
    "sow 1,200 statice lavender": (
        "sown",
        {"tray": "S04", "crop": "statice", "variety": "lavender", "cells": 1200, "seeds": 1200},
    ),
    "12 snap north fresh": (
        "cut",
        {"lot": "L006", "crop": "snapdragon", "bed": "north", "stems": 12, "use": "fresh"},
    ),
    # bucket, line, bench, box
    "hang L005 line 3 10s": (
        "hung",
        {"lot": "L005", "stems": 40, "source": "bucket", "line": "line 3", "per": 10, "ref": "id-026"},
    ),
    "l5 line2 hang 30": (
        "hung",
        {"lot": "L005", "stems": 30, "source": "bucket", "line": "line 2", "ref": "id-026"},
    ),
    "hang zinnia line 3": (
        "hung",
        {"lot": "L002", "stems": 50, "source": "bucket", "line": "line 3", "ref": "id-020"},
    ),
    # one 24-inch length a head; a roll of tape does about 70 (from memory), so 24 heads take 24/70 = 0.343
    "wire 24 L005 24g": (
        "wired",
        {
            "lot": "L005",
            "heads": 24,
            "source": "bucket",
            "gauge": 24,
            "wires": 24,
            "tape": 0.343,
            "ref": "id-026",
        },
    ),
    "snap L001": ("tested", {"lot": "L001", "result": "snaps", "place": "line 2", "ref": "id-018"}),
    "L001 bends": ("tested", {"lot": "L001", "result": "bends", "place": "line 2", "ref": "id-018"}),
    "box L001 3x10 box 7": (
        "boxed",
        {"lot": "L001", "source": "line 2", "box": "box 7", "bunches": 3, "per": 10, "ref": "id-018"},
    ),
    "box 2 bu L003 15s box 7": (
        "boxed",
        {"lot": "L003", "source": "line 1", "box": "box 7", "bunches": 2, "per": 15, "ref": "id-021"},
    ),
    "box L004 box 9": (
        "boxed",
        {"lot": "L004", "source": "bench", "box": "box 9", "bunches": 24, "per": 1, "ref": "id-024"},
    ),
    # stock: a bare number is stems, wherever they lie
    "lost 6 mold L001": (
        "lost",
        {"lot": "L001", "source": "line 2", "count": 6, "cause": "mold", "ref": "id-018"},
    ),
    "lost 2b mold box 4 L003": (
        "lost",
        {"lot": "L003", "source": "box 4", "count": 20, "cause": "mold", "ref": "id-021"},
    ),
    "lost 2 stems moths box 4 L003": (
        "lost",
        {"lot": "L003", "source": "box 4", "count": 2, "cause": "moth", "ref": "id-021"},
    ),
    "sold 2 bunches L003 box 4 to sun valley florist": (
        "sold",
        {"lot": "L003", "source": "box 4", "stems": 20, "who": "sun valley florist", "ref": "id-021"},
    ),
    "sold 20 L002": ("sold", {"lot": "L002", "source": "bucket", "stems": 20, "ref": "id-020"}),
    "used 10 L004 for crown, early order": (
        "used",
        {"lot": "L004", "source": "bench", "stems": 10, "purpose": "crown, early order", "ref": "id-024"},
    ),
    "move 10 L001 line 3": (
        "moved",
        {"lot": "L001", "source": "line 2", "place": "line 3", "stems": 10, "ref": "id-018"},
    ),
    "move L003 from box 4 to box 7": (
        "moved",
        {"lot": "L003", "source": "box 4", "place": "box 7", "stems": 30, "ref": "id-021"},
    ),
    "move L003 box 7": (
        "moved",
        {"lot": "L003", "source": "box 4", "place": "box 7", "stems": 30, "ref": "id-021"},
    ),
    "count 42 L002": (
        "counted",
        {"lot": "L002", "source": "bucket", "stems": 42, "expected": 50, "ref": "id-020"},
    ),
    "count 2bu L003 box 4": (
        "counted",
        {"lot": "L003", "source": "box 4", "stems": 20, "expected": 30, "ref": "id-021"},
    ),
    "count 480 wire 22": ("stocktake", {"making": "wire 22", "count": 480, "expected": 476}),
    "bought wire 24 250": ("bought", {"making": "wire 24", "count": 250}),
    "bought 12 ribbon rolls": ("bought", {"making": "ribbon rolls", "count": 12}),
    # trays
    "sow 72 strawflower early apricot 128s 144 seeds": (
        "sown",
        {
            "tray": "S04",
            "crop": "strawflower",
            "variety": "apricot",
            "way": "early",
            "cells": 72,
            "seeds": 144,
            "cell_size": 128,
        },
    ),
    "sow 50 cells sweet pea": ("sown", {"tray": "S04", "crop": "sweet pea", "cells": 50, "seeds": 50}),
    "sow 72 pot marigold": ("sown", {"tray": "S04", "crop": "calendula", "cells": 72, "seeds": 72}),
    "up 60 S02": ("up", {"tray": "S02", "count": 60, "ref": "id-006"}),
    "60 up zinnia": ("up", {"tray": "S02", "count": 60, "ref": "id-006"}),
    "prick 58 S02 72s": ("pricked out", {"tray": "S02", "count": 58, "cell_size": 72, "ref": "id-006"}),
    "potted on S02 50s": ("potted on", {"tray": "S02", "count": 64, "cell_size": 50, "ref": "id-006"}),
    "step S02": ("step", {"tray": "S02", "step": 3, "ref": "id-006"}),
    "hold s2 wind": ("held", {"tray": "S02", "cause": "wind", "ref": "id-006"}),
    "hold S02 'frame full'": ("held", {"tray": "S02", "cause": "frame full", "ref": "id-006"}),
    "lost 4 damping off S03": ("lost", {"tray": "S03", "count": 4, "cause": "damping off", "ref": "id-007"}),
    # beds
    "bed b6 50ft": ("bed", {"bed": "b6", "feet": 50, "width_in": 36}),
    "bed b6 50 ft 30 in": ("bed", {"bed": "b6", "feet": 50, "width_in": 30}),
    "bed north 25ft": ("bed", {"bed": "north", "feet": 25, "width_in": 48}),
    "set out S02 b5 20ft 60 plants": (
        "set out",
        {
            "planting": "P06",
            "crop": "zinnia",
            "bed": "b5",
            "feet": 20,
            "plants": 60,
            "tray": "S02",
            "ref": "id-006",
        },
    ),
    # 64 plants of zinnia at 9 in: a bed of 48 in has 5 rows, so 5 x 12 / 9 = 6.67 a foot, 9.6 ft
    "set out S02 north": (
        "set out",
        {
            "planting": "P06",
            "crop": "zinnia",
            "bed": "north",
            "feet": 9.6,
            "plants": 64,
            "tray": "S02",
            "ref": "id-006",
        },
    ),
    "plant peony north 10ft 12 plants": (
        "set out",
        {"planting": "P06", "crop": "peony", "bed": "north", "feet": 10, "plants": 12},
    ),
    "drill larkspur blue north 12ft": (
        "drilled",
        {"planting": "P06", "crop": "larkspur", "variety": "blue", "bed": "north", "feet": 12},
    ),
    "pinch b3 zinnia": ("pinched", {"planting": "P02", "ref": "id-009"}),
    "pinch b5": ("pinched", {"planting": "P04", "ref": "id-011"}),
    "lost 5 slugs b3 zinnia": ("lost", {"planting": "P02", "count": 5, "cause": "slugs", "ref": "id-009"}),
    "cover b3": ("covered", {"bed": "b3"}),
    "uncover b3": ("uncovered", {"bed": "b3"}),
    "clear b3 zinnia": ("cleared", {"planting": "P02", "ref": "id-009"}),
    "clear P04": ("cleared", {"planting": "P04", "ref": "id-011"}),
    # weather, frost, the book
    "low 34F": ("low", {"f": 34}),
    "low -5": ("low", {"f": -5}),
    "tonight 38.5": ("tonight", {"f": 38.5}),
    "wind 18": ("wind", {"mph": 18}),
    "last frost 05-14": (
        "frost",
        {"season": "spring", "threshold_f": 32, "risk_pct": 50, "month_day": "05-14"},
    ),
    "last frost 14 may": (
        "frost",
        {"season": "spring", "threshold_f": 32, "risk_pct": 50, "month_day": "05-14"},
    ),
    "first frost 10-01": (
        "frost",
        {"season": "autumn", "threshold_f": 32, "risk_pct": 50, "month_day": "10-01"},
    ),
    "frost spring 28F 10% 04-28": (
        "frost",
        {"season": "spring", "threshold_f": 28, "risk_pct": 10, "month_day": "04-28"},
    ),
    "last frost 24F 30 mar": (
        "frost",
        {"season": "spring", "threshold_f": 24, "risk_pct": 50, "month_day": "03-30"},
    ),
    "sheet strawflower spacing 9": ("sheet", {"crop": "strawflower", "figure": "spacing_in", "value": "9"}),
    "sheet straw early drying_days 14-21 own record": (
        "sheet",
        {
            "crop": "strawflower",
            "way": "early",
            "figure": "drying_days",
            "value": "14-21",
            "source": "own record",
        },
    ),
    "sheet straw drying days 14 to 21": (
        "sheet",
        {"crop": "strawflower", "figure": "drying_days", "value": "14 to 21"},
    ),
    "farm latitude 44.1 longitude -72.6 zone America/New_York": (
        "farm",
        {"latitude": 44.1, "longitude": -72.6, "zone": "America/New_York"},
    ),
    "farm name 'Low Barn'": ("farm", {"name": "Low Barn"}),
    "farm name Low Barn latitude 44": ("farm", {"name": "Low Barn", "latitude": 44}),
    "note b3 slugs along the north edge": ("note", {"about": "b3", "text": "slugs along the north edge"}),
    "note L005 rain on 40 stems, mon": ("note", {"about": "L005", "text": "rain on 40 stems, mon"}),
    "note market is cancelled": ("note", {"text": "market is cancelled"}),
    "strike 0190a3": ("strike", {"entry": "0190a3"}),
}


@pytest.mark.parametrize("text", LINES)
def test_a_line_makes_its_entry(farm: Farm, text: str) -> None:
    assert fields_of(farm, text) == LINES[text]


def test_a_number_alone_is_the_last_cut_again(farm: Farm) -> None:
    reading = read(farm, "35")
    assert dict(reading.drafts[0].fields) == {**APRICOT_B3, "use": "dry", "stems": 35}
    assert reading.lot == "L006"
    assert reading.remarks == ("as L005: strawflower apricot from bed b3 for dry",)


def test_the_last_cut_again_for_another_use(farm: Farm) -> None:
    assert read(farm, "35 fresh").drafts[0].fields["use"] == "fresh"


def test_a_use_left_out_is_that_of_the_planting_before(farm: Farm) -> None:
    reading = read(farm, "40 straw b4")
    assert reading.drafts[0].fields["use"] == "wire"
    assert reading.remarks == ("for wire, as L004",)


def test_a_bed_left_out_is_the_only_one_with_the_crop(farm: Farm) -> None:
    reading = read(farm, "20 lark fresh")
    assert reading.drafts[0].fields["bed"] == "b5"
    assert reading.remarks[:1] == ("larkspur stands in bed b5 alone",)


def test_a_crop_on_record_nowhere_is_counted_without_a_sowing(farm: Farm) -> None:
    reading = read(farm, "40 cosmos north fresh")
    assert reading.remarks[:1] == ("bed north has no cosmos on record: counted without a sowing",)
    assert "planting" not in reading.drafts[0].fields


def test_culls_without_a_cause_are_remarked(farm: Farm) -> None:
    reading = read(farm, "40 straw b3 dry culls 3")
    assert "cull_cause" not in reading.drafts[0].fields
    assert reading.remarks == ("no cause was said for the culls",)


def test_insisting_on_another_bed_is_recorded(farm: Farm) -> None:
    for insist in ("anyway", "!"):
        cut, note = read(farm, f"40 larkspur b3 dry {insist}").drafts
        assert cut.kind == "cut"
        assert dict(note.fields) == {"about": "L006", "text": "anyway: larkspur stands in bed b5, not in b3"}


def test_hang_takes_the_newest_lot_for_drying_and_the_line_used_last(farm: Farm) -> None:
    reading = read(farm, "hang")
    assert dict(reading.drafts[0].fields) == {
        "lot": "L005", "stems": 40, "source": "bucket", "line": "line 1", "ref": "id-026",
    }  # fmt: skip
    assert reading.lot == "L005"
    assert reading.remarks == ("L005: strawflower cut 22 Jun", "line 1, as last time")


def test_boxing_takes_all_whole_bunches_and_leaves_the_rest(farm: Farm) -> None:
    reading = read(farm, "box L001")
    assert dict(reading.drafts[0].fields) == {
        "lot": "L001", "source": "line 2", "box": "box 4", "bunches": 3, "per": 10, "ref": "id-018",
    }  # fmt: skip
    assert reading.remarks[:2] == ("6 loose stay on line 2", "box 4, as last time")


def test_boxing_what_was_hung_loose_takes_the_bunch_of_the_crop_sheet(farm: Farm) -> None:
    reading = read(farm, "box L003 box 5")
    assert (reading.drafts[0].fields["bunches"], reading.drafts[0].fields["per"]) == (3, 10)
    assert reading.remarks[:1] == ("bunches of 10, as the statice sheet has it",)


def test_insisting_on_the_wire_says_what_was_overruled(farm: Farm) -> None:
    fields = read(farm, "wire 6 L001 18g anyway").drafts[0].fields
    assert fields["insisted"] == "from line 2, cut 11 days before, 18 gauge"
    assert "insisted" not in read(farm, "wire 6 L005 anyway").drafts[0].fields


def test_low_and_high_are_two_entries(farm: Farm) -> None:
    drafts = read(farm, "low 34 high 61").drafts
    assert [(d.kind, dict(d.fields)) for d in drafts] == [("low", {"f": 34}), ("high", {"f": 61})]


def test_several_trays_take_their_step_in_one_line(farm: Farm) -> None:
    drafts = read(farm, "step S02 S03").drafts
    assert [(d.fields["tray"], d.fields["step"]) for d in drafts] == [("S02", 3), ("S03", 1)]


def test_a_net_lies_over_the_whole_bed(farm: Farm) -> None:
    reading = read(farm, "net b3")
    assert [d.fields["planting"] for d in reading.drafts] == ["P01", "P02"]
    assert reading.remarks == ("over strawflower, zinnia",)


def test_undo_asks_for_the_last_line_back(farm: Farm) -> None:
    assert read(farm, "undo") == Reading((), undo=True)


def test_new_codes_end_with_the_mark_of_the_machine(farm: Farm) -> None:
    for text, name, code in (
        ("40 strawflower b3 dry", "lot", "L006b"),
        ("sow 72 zinnia", "tray", "S04b"),
        ("drill larkspur north 10ft", "planting", "P06b"),
    ):
        reading = read_line(text, farm, TODAY, Known("b"))
        assert isinstance(reading, Reading)
        assert reading.drafts[0].fields[name] == code


def test_the_first_lines_of_a_new_farm() -> None:
    farm = Farm()
    for text in (
        "bed b3 50ft",
        "low 34",
        "sow 72 strawflower early",
        "last frost 14 may",
        "farm name 'Low Barn'",
    ):
        read(farm, text)
    refused = read_line("40 strawflower b3 dry", farm, TODAY)
    assert isinstance(refused, Problem)
    assert refused.sentence == "There is no bed b3 yet: write 'bed b3 50ft' to make it."


def test_trays_of_one_crop_are_told_apart_by_the_variety_named() -> None:
    farm = farm_of(
        on("2026-03-01", "sown", tray="S01", crop="zinnia", variety="lime", cells=72, seeds=72),
        on("2026-03-01", "sown", tray="S02", crop="zinnia", variety="deep red", cells=72, seeds=72),
    )
    for line, tray in {"up 60 zinnia lime": "S01", "zinnia deep red 60 up": "S02"}.items():
        (draft,) = read(farm, line).drafts
        assert draft.fields["tray"] == tray
    asked = read_line("up 60 zinnia", farm, TODAY)
    assert isinstance(asked, Problem) and "Which tray of zinnia" in asked.sentence


def test_what_is_not_potted_on_is_named_before_enter() -> None:
    farm = farm_of(
        on("2026-03-01", "sown", tray="S01", crop="zinnia", cells=72, seeds=72),
        on("2026-03-12", "up", tray="S01", count=60),
    )
    assert read(farm, "pot 50 S01 50s").remarks == ("the other 10 of S01 are done with: not potted on",)
    assert read(farm, "pot S01 50s").remarks == ()
