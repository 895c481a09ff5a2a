"""The morning page: what matters today, on one calm screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.asks import Asked
from core.language.read import read_line
from core.page import page
from core.problems import Problem
from core.today import Morning
from tests.farms import STRAW, Pencil, asked_of, beds, page_of, small_farm
from tests.shell import Shell


def _page(pencil: Pencil, width: int = 78) -> list[str]:
    return [line.text for line in page_of(pencil, width)]


def _text(pencil: Pencil) -> str:
    return "\n".join(_page(pencil))


def test_a_new_book_says_what_to_write_first() -> None:
    pencil = Pencil("2026-03-01")
    assert "last frost 14 may" in _text(pencil) and "bed b1 50ft" in _text(pencil)
    pencil.write("frost", season="spring", threshold_f=32, risk_pct=50, month_day="05-14")
    pencil.write("bed", bed="b1", feet=50, width_in=36)
    assert "sow 72 strawflower" in _text(pencil) and "bed b1 50ft" not in _text(pencil)
    pencil.write("sown", tray="S01", crop="snapdragon", cells=72, seeds=72)
    assert "To begin" not in _text(pencil)


def test_a_quiet_morning_says_so() -> None:
    assert "Nothing asks for you this morning." in _text(small_farm())


def test_a_frost_night_is_a_caution_and_asks_for_covers() -> None:
    pencil = small_farm()
    pencil.write("tonight", f=33)
    text = _text(pencil)
    assert "! frost may come (forecast 33 F), low ground first: cover b1, b2." in text
    (alert,) = [line.text for line in page_of(pencil, opened=()) if line.text.startswith("!")]
    assert alert == "! cover b1 b2 tonight"


def test_frost_is_not_spoken_of_where_nothing_is_out_that_it_hurts() -> None:
    pencil = beds("b1", start="2026-12-03", last_frost="05-14")
    pencil.write("set out", "2024-09-20", planting="P01", crop="peony", bed="b1", feet=20)
    pencil.write("tonight", f=8)
    assert "!" not in _text(pencil)


def test_a_hot_day_is_a_caution() -> None:
    pencil = small_farm()
    pencil.write("high", f=91)
    assert "! heat (91 F)" in _text(pencil)
    pencil.later(2)
    assert "heat" not in _text(pencil)


def test_mold_is_spoken_of_while_its_dust_may_be_about() -> None:
    pencil = small_farm().later(60)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=40)
    pencil.write("lost", lot="L001", source="bucket", count=4, cause="mold")
    assert "! mold" in _text(pencil)
    pencil.later(15)
    assert "! mold" not in _text(pencil)


def test_trays_say_their_step_and_why_to_hold_it() -> None:
    """Guard of tender crops 50 F, wind over 15-20 mph holds any step (practice section 5, common practice)."""
    pencil = small_farm("2026-04-20")
    pencil.write("sown", tray="S01", crop="zinnia", cells=72, seeds=72)
    pencil.later(10).write("up", tray="S01", count=66)
    pencil.later(10)
    assert "begin step 1 of 10: 1-2 h out" in _text(pencil)
    for step in range(1, 8):
        pencil.write("step", tray="S01", step=step)
        pencil.later(1)
    pencil.write("tonight", f=47)
    assert "hold step 8 of 10: 47 F tonight: stays at step 7" in _text(pencil)
    pencil.write("wind", mph=22)
    assert "hold step 8 of 10: wind 22 mph" in _text(pencil)


def test_one_lot_from_the_bucket_to_the_box_and_what_each_morning_says_of_it() -> None:
    """Strawflower hung dries in 7 to 14 days [S50]; dry when the stem snaps [S100]."""
    pencil = small_farm().later(80)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=40)
    assert any("L001" in line and "bucket  hang" in line for line in _page(pencil))
    pencil.write("hung", lot="L001", source="bucket", line="line 2", stems=40, per=10)
    assert "L001" not in _text(pencil)
    pencil.later(7)
    assert "line 2  snap test" in _text(pencil)
    pencil.write("tested", lot="L001", result="bends")
    assert "L001" not in _text(pencil)
    pencil.later(2)
    assert "line 2  snap test" in _text(pencil)
    pencil.later(6)
    assert "1 day late" in _text(pencil)
    pencil.write("tested", lot="L001", result="snaps")
    assert "line 2  box" in _text(pencil)
    pencil.write("boxed", lot="L001", source="line 2", box="box 1", bunches=4, per=10)
    assert "L001" not in _text(pencil)


def test_unsold_fresh_stems_are_rescued_while_young_and_sold_before_they_are_old() -> None:
    """Zinnia lasts about 4 to 13 days in the vase (crop table); only young flowers dry well (common practice)."""
    pencil = small_farm().later(60)
    pencil.write("cut", lot="L001", crop="zinnia", bed="b2", planting="P02", use="fresh", stems=40)
    assert "L001" not in _text(pencil)
    pencil.later(1)
    assert "sell or hang     too old tomorrow" in _text(pencil)
    pencil.later(3)
    assert "sell or compost" in _text(pencil)
    pencil.later(10)
    assert "bucket  compost" in _text(pencil)


def test_a_job_in_many_beds_takes_one_line() -> None:
    pencil = small_farm("2026-05-20")
    for n in range(3, 6):
        pencil.write("bed", bed=f"b{n}", feet=50, width_in=36)
        pencil.write("set out", planting=f"P0{n}", crop="cosmos", bed=f"b{n}", feet=25)
    pencil.later(14)
    (line,) = [line.text for line in page_of(pencil, lines=5, opened=()) if "net" in line.text]
    assert line.startswith("ALSO  net b2 b3 b4 b5")


def test_no_line_is_wider_than_the_page() -> None:
    pencil = small_farm().later(80)
    pencil.write("tonight", f=33)
    pencil.write("high", f=95)
    long = "bright apricot blush with a very long name indeed"
    pencil.write(
        "cut", lot="L001", crop="strawflower", variety=long, bed="b1", planting="P01", use="dry", stems=4
    )
    for width in (78, 60, 40):
        assert max(map(len, _page(pencil, width))) <= width


def test_bunches_sold_twice_stand_at_the_head_of_the_page() -> None:
    pencil = small_farm().later(60)
    pencil.write("cut", lot="L001", crop="zinnia", bed="b2", planting="P02", use="fresh", stems=40)
    pencil.entries += [pencil.made("sold", lot="L001", source="bucket", stems=30) for _ in range(2)]
    assert "To settle (1)" in _text(pencil)
    pencil.write("counted", lot="L001", source="bucket", stems=0, expected=0)
    assert "To settle" not in _text(pencil), "she has counted what is there"


PLANNED = STRAW | {"bed": "b1"}


def _planned() -> Pencil:
    pencil = beds("b1", start="2026-03-18", last_frost="05-14")
    pencil.write("planned", plan="N01", **PLANNED)
    return pencil


def test_a_plan_is_on_the_page_when_its_sowing_is_due_and_counts_the_days_it_is_behind() -> None:
    pencil = _planned()
    assert "PROMISED" not in _text(pencil)
    assert "  N01   strawflower apricot   sow 78 seeds: today" in _page(pencil.later(1))
    assert "  N01   strawflower apricot   sow 78 seeds: 3 days late" in _page(pencil.later(3))
    (task,) = asked_of(pencil, "plans")
    assert task.because == "planned for 120 stems, dry, by 19 Sep"
    assert task.line == "sow 78 strawflower 'apricot' 128s 78 seeds"


def test_the_line_of_a_plan_is_one_the_book_takes_and_then_the_plan_is_quiet() -> None:
    pencil = _planned().later(2)
    while (tasks := asked_of(pencil, "plans")) or pencil.today.isoformat() < "2026-05-30":
        for task in tasks:
            read = read_line(task.line, pencil.farm, pencil.today)
            assert not isinstance(read, Problem), read
            for draft in read.drafts:
                pencil.write(draft.kind, **draft.fields)
        pencil.later(1)
    assert [e.kind for e in pencil.entries[3:]] == ["sown", "set out"]


def test_a_cut_that_is_late_is_a_plan_behind_and_one_begun_is_not() -> None:
    pencil = _planned()
    pencil.write("sown", tray="S01", crop="strawflower", variety="apricot", cells=78, seeds=78)
    pencil.later(58).write(
        "set out", planting="P01", tray="S01", crop="strawflower", bed="b1", feet=13.9, plants=50
    )
    pencil.later(100)
    (task,) = asked_of(pencil, "plans")
    assert task.what.startswith("cut: behind by ") and (task.line, task.asks_count) == ("P01 dry", True)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", planting="P01", use="dry", stems=20)
    assert asked_of(pencil, "plans") == ()


def test_makings_are_to_buy_from_their_number_down() -> None:
    pencil = small_farm()
    pencil.write("bought", making="wire 22", count=300)
    pencil.write("reorder", making="wire 22", count=200)
    assert "buy" not in _text(pencil)
    pencil.write("spent", making="wire 22", count=100)
    assert "ALSO  buy wire 22 (200 left)" in [line.text for line in page_of(pencil, lines=2, opened=())]
    assert "Nothing asks" not in _text(pencil)


def test_what_is_held_back_is_told_by_its_codes_even_where_many_are_told_in_one_line() -> None:
    asked = tuple(
        Asked(("hanging", f"L{n:03}"), None, f"L{n:03}", "snap test", place=f"line {n % 9}", zone="spoils")
        for n in range(27)
    )
    found = Morning("2026-09-01", "Tuesday 1 September 2026", "", "", "", (), (), (), {}, (), asked=asked)
    lines = [line.text for line in page(found, lines=8)]
    (more,) = (text for text in lines if text.startswith("  and "))
    shown = [text for text in lines if text.startswith("  line")]
    assert more.startswith(f"  and {27 - 3 * len(shown)} more (Enter): L")
    assert "line" not in more


@pytest.mark.parametrize(
    ("crops", "named"),
    [(("garden rose",), "mind garden rose: 1"), (("garden rose", "yarrow", "lavender"), "mind crops: 3")],
)
def test_crops_to_take_care_with_are_named_where_they_are_few(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], crops: tuple[str, ...], named: str
) -> None:
    planted = [f"plant {crop} b1 5ft 12 plants on 2024-05-01" for crop in crops]
    lines = ("last frost 05-14", "bed b1 50ft", *planted)
    shell = Shell(tmp_path / "farm", capsys, "2026-06-20").begin({"2026-06-20": lines})
    assert f"! {named} (" in shell.text("today")
