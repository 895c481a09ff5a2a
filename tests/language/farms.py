"""An invented farm for the tests of lines: made of entries, as every farm is."""

from __future__ import annotations

from datetime import date
from typing import Any

from core.book.entry import Entry
from core.farm import Farm
from core.fold import fold

TODAY = date(2026, 6, 23)
"""A Tuesday."""


def farm_of(*entries: tuple[str, str, dict[str, Any]]) -> Farm:
    """The farm made by (day, kind, fields), one entry after the other; the first has id "id-001"."""
    made = [
        Entry(f"id-{n:03d}", on, f"{on}T12:{n // 60:02d}:{n % 60:02d}.000Z", "KA", kind, fields)
        for n, (on, kind, fields) in enumerate(entries, start=1)
    ]
    farm = fold(made)
    assert not farm.matters, farm.matters
    return farm


def sample_farm() -> Farm:
    """Four beds, three trays, five plantings, five lots: in the bucket, on lines, on the bench and in boxes.

    S01 strawflower (set out), S02 zinnia (hardening, step 2), S03 statice. P01 strawflower apricot in b3,
    P02 zinnia in b3, P03 statice in b4, P04 larkspur in b5, P05 strawflower white in b4.
    L001 strawflower hung on line 2 in 10s, L002 zinnia fresh in the bucket, L003 statice in box 4 and line 1,
    L004 strawflower heads on the bench, L005 strawflower apricot, dry, in the bucket; L005 is the last.
    """
    bed: dict[str, Any] = {"feet": 50, "width_in": 36}
    apricot: dict[str, Any] = {"crop": "strawflower", "variety": "apricot"}
    white: dict[str, Any] = {"crop": "strawflower", "variety": "white"}
    return farm_of(
        ("2026-01-05", "bed", {"bed": "b3", **bed}),
        ("2026-01-05", "bed", {"bed": "b4", **bed}),
        ("2026-01-05", "bed", {"bed": "b5", **bed}),
        ("2026-01-05", "bed", {"bed": "north", "feet": 30, "width_in": 48}),
        ("2026-02-20", "sown", {"tray": "S01", **apricot, "way": "early", "cells": 72, "seeds": 72}),
        ("2026-05-20", "sown", {"tray": "S02", "crop": "zinnia", "cells": 72, "seeds": 80, "cell_size": 72}),
        ("2026-05-22", "sown", {"tray": "S03", "crop": "statice", "cells": 128, "seeds": 128}),
        (
            "2026-03-28",
            "set out",
            {
                "planting": "P01",
                **apricot,
                "bed": "b3",
                "feet": 20,
                "plants": 72,
                "tray": "S01",
                "ref": "id-005",
            },
        ),
        (
            "2026-05-16",
            "set out",
            {"planting": "P02", "crop": "zinnia", "bed": "b3", "feet": 20, "plants": 80},
        ),
        ("2026-05-16", "set out", {"planting": "P03", "crop": "statice", "bed": "b4", "feet": 20}),
        ("2026-04-10", "drilled", {"planting": "P04", "crop": "larkspur", "bed": "b5", "feet": 30}),
        ("2026-05-18", "set out", {"planting": "P05", **white, "bed": "b4", "feet": 20, "plants": 60}),
        ("2026-06-01", "up", {"tray": "S02", "count": 64, "ref": "id-006"}),
        ("2026-06-21", "step", {"tray": "S02", "step": 1, "ref": "id-006"}),
        ("2026-06-22", "step", {"tray": "S02", "step": 2, "ref": "id-006"}),
        ("2026-06-10", "bought", {"making": "wire 22", "count": 500}),
        ("2026-06-10", "bought", {"making": "tape", "count": 4}),
        (
            "2026-06-12",
            "cut",
            {
                "lot": "L001",
                **apricot,
                "planting": "P01",
                "bed": "b3",
                "use": "dry",
                "stems": 36,
                "ref": "id-008",
            },
        ),
        ("2026-06-12", "hung", {"lot": "L001", "stems": 36, "source": "bucket", "line": "line 2", "per": 10}),
        (
            "2026-06-20",
            "cut",
            {"lot": "L002", "crop": "zinnia", "planting": "P02", "bed": "b3", "use": "fresh", "stems": 50},
        ),
        (
            "2026-06-13",
            "cut",
            {"lot": "L003", "crop": "statice", "planting": "P03", "bed": "b4", "use": "dry", "stems": 60},
        ),
        ("2026-06-13", "hung", {"lot": "L003", "stems": 60, "source": "bucket", "line": "line 1"}),
        (
            "2026-06-21",
            "boxed",
            {"lot": "L003", "source": "line 1", "box": "box 4", "bunches": 3, "per": 10},
        ),
        (
            "2026-06-21",
            "cut",
            {
                "lot": "L004",
                **white,
                "planting": "P05",
                "bed": "b4",
                "use": "wire",
                "stems": 24,
                "ref": "id-012",
            },
        ),
        ("2026-06-21", "wired", {"lot": "L004", "heads": 24, "source": "bucket", "gauge": 22, "wires": 24}),
        (
            "2026-06-22",
            "cut",
            {
                "lot": "L005",
                **apricot,
                "planting": "P01",
                "bed": "b3",
                "use": "dry",
                "stems": 40,
                "ref": "id-008",
            },
        ),
    )


def guide_farm() -> Farm:
    """The farm of the guide's examples: frost dates, tray S12, lots L035 in a box, L038 on a line, L041 in the
    bucket, plan N01, recipe crown-b and two pieces M001 made by it."""
    bed: dict[str, Any] = {"feet": 50, "width_in": 36}
    straw: dict[str, Any] = {"crop": "strawflower", "variety": "apricot"}
    cut: dict[str, Any] = {**straw, "planting": "P01", "bed": "b3", "use": "dry"}
    return farm_of(
        *(("2026-01-05", "bed", {"bed": f"b{n}", **bed}) for n in (3, 4, 5)),
        ("2026-05-10", "set out", {"planting": "P01", **straw, "bed": "b3", "feet": 20, "plants": 60}),
        (
            "2026-05-20",
            "set out",
            {"planting": "P02", "crop": "zinnia", "bed": "b4", "feet": 20, "plants": 90},
        ),
        ("2026-05-20", "sown", {"tray": "S12", "crop": "zinnia", "cells": 72, "seeds": 72}),
        ("2026-06-10", "bought", {"making": "wire 22", "count": 500}),
        ("2026-06-10", "cut", {"lot": "L035", **cut, "stems": 40}),
        ("2026-06-10", "hung", {"lot": "L035", "stems": 40, "source": "bucket", "line": "line 1"}),
        ("2026-06-21", "boxed", {"lot": "L035", "source": "line 1", "box": "box 7", "bunches": 4, "per": 10}),
        ("2026-06-14", "cut", {"lot": "L038", **cut, "stems": 36}),
        ("2026-06-14", "hung", {"lot": "L038", "stems": 36, "source": "bucket", "line": "line 2", "per": 10}),
        ("2026-06-23", "cut", {"lot": "L041", **cut, "stems": 40}),
        (
            "2026-06-01",
            "frost",
            {"season": "spring", "threshold_f": 32, "risk_pct": 50, "month_day": "05-14"},
        ),
        (
            "2026-06-01",
            "frost",
            {"season": "autumn", "threshold_f": 32, "risk_pct": 50, "month_day": "10-01"},
        ),
        (
            "2026-06-01",
            "planned",
            {"plan": "N01", "crop": "cosmos", "use": "fresh", "stems": 50, "due_on": "2026-08-20"},
        ),
        ("2026-06-01", "recipe", {"recipe": "crown-b", "sort": "crown", "size_in": 23}),
        ("2026-06-01", "part", {"recipe": "crown-b", "what": "strawflower", "count": 4, "form": "dry"}),
        ("2026-06-22", "made", {"piece": "M001", "recipe": "crown-b", "count": 2}),
    )


def empty_farm() -> Farm:
    """A farm on its first morning."""
    return Farm()
