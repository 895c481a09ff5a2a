"""A tray from seed to bed: counted at every hand-over, hardened by steps done and not by days gone."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.crops.hardening import ladder
from core.trays.rows import TrayRow, tray_rows
from tests.farms import Pencil, beds
from tests.shell import Shell


def _farm(start: str = "2026-03-20") -> Pencil:
    return beds("b1", start=start, last_frost="05-14")


def _row(pencil: Pencil, tray: str = "S01") -> TrayRow:
    return next(r for r in tray_rows(pencil.farm, pencil.today) if r.tray == tray)


def _snapdragons(pencil: Pencil) -> None:
    pencil.write("sown", tray="S01", crop="snapdragon", cells=72, seeds=80)


def test_every_seed_is_accounted_for() -> None:
    pencil = _farm()
    _snapdragons(pencil)
    pencil.later(12).write("up", tray="S01", count=64)
    pencil.write("lost", tray="S01", count=4, cause="damping off")
    pencil.later(10).write("pricked out", tray="S01", count=58, cell_size=72)
    pencil.later(20).write(
        "set out", planting="P01", crop="snapdragon", bed="b1", feet=5, plants=50, tray="S01"
    )
    tray = pencil.farm.trays.get("S01")
    assert tray is not None
    not_up = tray.seeds - (tray.up or 0)
    assert tray.seeds == not_up + tray.alive + tray.set_out + sum(tray.lost.values())
    assert (tray.alive, tray.set_out, tray.lost) == (8, 50, {"damping off": 4, "not pricked out": 2})


def test_germination_is_counted_against_the_seeds_sown() -> None:
    pencil = _farm()
    _snapdragons(pencil)
    pencil.later(12).write("up", tray="S01", count=40)
    row = _row(pencil)
    assert row.germination_pct == 50
    assert row.warning is not None and "50 % up" in row.warning


def test_more_cannot_come_up_than_was_sown_nor_leave_than_lives() -> None:
    pencil = _farm()
    _snapdragons(pencil)
    assert pencil.refusal("up", tray="S01", count=81) is not None
    pencil.write("up", tray="S01", count=60)
    refused = pencil.refusal("lost", tray="S01", count=61, cause="slugs")
    assert refused is not None and "60 living" in refused.sentence


def test_one_step_a_day_and_none_out_of_order() -> None:
    pencil = _farm()
    _snapdragons(pencil)
    pencil.later(30).write("step", tray="S01", step=1)
    again = pencil.refusal("step", tray="S01", step=2)
    assert again is not None and "written for that day already" in again.sentence
    back = pencil.refusal("held", on="2026-04-10", tray="S01", cause="wind")
    assert back is not None


def test_a_held_step_moves_the_day_to_set_out() -> None:
    """Snapdragon climbs the hardy ladder, a step a day; two missed days in a row step back one (hold, not skip)."""
    pencil = _farm("2026-02-20")
    _snapdragons(pencil)
    pencil.write("up", tray="S01", count=70)
    pencil.later(60)
    for step in (1, 2, 3):
        pencil.write("step", tray="S01", step=step)
        pencil.later(1)
    due = date.fromisoformat(str(_row(pencil).set_out_on))
    pencil.write("held", tray="S01", cause="wind")
    held = date.fromisoformat(str(_row(pencil).set_out_on))
    assert (held - due).days == 1
    pencil.later(1).write("held", tray="S01", cause="low")
    row = _row(pencil)
    assert row.step == 2 and row.held_days == 2
    assert (date.fromisoformat(str(row.set_out_on)) - due).days == 3  # two days lost and one step to do again


def test_the_ladder_is_a_state_and_no_timer() -> None:
    pencil = _farm("2026-02-20")
    _snapdragons(pencil)
    pencil.later(60).write("step", tray="S01", step=1)
    pencil.later(9)
    assert _row(pencil).step == 0  # nine silent days have stepped it back, never on


def test_a_tray_that_cannot_wait_is_warned_of_before_it_is_spoiled() -> None:
    """Celosia: out of a plug at 20 to 30 days, at most 4 to 5 weeks [S140]."""
    pencil = _farm("2026-04-20")
    pencil.write("sown", tray="S01", crop="celosia, plume", cells=72, seeds=72)
    pencil.write("up", tray="S01", count=70)
    assert _row(pencil).warning is None
    pencil.later(22)
    assert "cannot wait" in str(_row(pencil).warning)
    pencil.later(16)
    assert "past 35 days" in str(_row(pencil).warning)
    pencil.write("potted on", tray="S01", count=70, cell_size=50)
    assert _row(pencil).warning is None


def test_without_a_frost_date_the_row_says_what_is_missing() -> None:
    pencil = Pencil("2026-03-20")
    _snapdragons(pencil)
    row = _row(pencil)
    assert row.set_out_on is None
    assert "last frost" in " ".join(row.because)


def test_a_tray_set_out_whole_is_finished() -> None:
    pencil = _farm()
    _snapdragons(pencil)
    pencil.later(40).write(
        "set out", planting="P01", crop="snapdragon", bed="b1", feet=6, plants=72, tray="S01"
    )
    assert tray_rows(pencil.farm, pencil.today) == []
    refused = pencil.refusal("step", tray="S01", step=1)
    assert refused is not None and "finished" in refused.sentence


def test_a_tray_left_over_is_told_to_be_ended_and_not_hardened_for_ever() -> None:
    pencil = _farm()
    _snapdragons(pencil)
    pencil.later(12).write("up", tray="S01", count=64)
    pencil.today = date(2026, 7, 1)
    assert _row(pencil).ask.startswith("begin step")
    pencil.today = date(2026, 12, 1)
    assert _row(pencil).ask == "compost?" and "lost S01 other" in _row(pencil).ask_because


def test_a_step_on_a_tray_just_sown_is_a_slip_of_the_key(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-04-24").begin(
        {"2026-04-10": ("last frost 14 may", "sow 72 zinnia")}
    )
    status, _, why = shell("write", "step S01", on="2026-04-11")
    assert status == 1 and "S01 was sown 1 day ago, too young to be hardened off" in why and "anyway" in why
    shell.write("step S01", on="2026-04-24")


def test_a_tray_that_was_never_set_out_is_not_brought_in_the_next_winter() -> None:
    pencil = Pencil("2026-04-10")
    pencil.write("frost", season="spring", threshold_f=32, risk_pct=50, month_day="05-14")
    pencil.write("sown", tray="S01", crop="cosmos", cells=72, seeds=72)
    pencil.today = date(2026, 5, 1)
    for step in range(1, len(ladder("half-hardy")) + 1):
        pencil.write("step", tray="S01", step=step)
        pencil.later(1)
    pencil.write("tonight", f=28)
    (row,) = tray_rows(pencil.farm, pencil.today)
    assert row.tonight == "bring in"
    pencil.today = date(2027, 2, 10)
    pencil.write("tonight", f=-4)
    (row,) = tray_rows(pencil.farm, pencil.today)
    assert (row.does, row.tonight) == ("compost?", "")
