"""Room on the lines: what hangs takes, what is left, and whether today's cut finds room."""

from __future__ import annotations

from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from core.beds.rows import bed_rows
from core.cautions import CAUTIONS, cautions_at
from core.plans.capacity import room_of
from core.plans.room_weeks import room_weeks
from core.shed.line_room import feet_taken, line_feet, lines_room, probably_hung, room_for
from core.shed.rows import shed
from tests.farms import Pencil, small_farm

DAY = date(2026, 6, 23)


def hang(pencil: Pencil, lot: str, stems: int, line: str, on: str, per: int = 10) -> None:
    pencil.today = date.fromisoformat(on)
    pencil.write("cut", lot=lot, crop="strawflower", bed="b1", planting="P01", use="dry", stems=stems)
    pencil.write("hung", lot=lot, stems=stems, source="bucket", line=line, per=per)


def farm_with_lines() -> Pencil:
    pencil = small_farm("2026-05-20")
    pencil.write("line", line="line 1", feet=5, dark=True, fan=True)
    pencil.write("line", line="line 2", feet=40)
    return pencil


def test_bunches_hang_six_inches_apart() -> None:
    """Published: lines 6 in apart [S105]; 100 stems in tens are ten bunches, 5 ft; loose stems count in tens."""
    assert feet_taken(100, 10) == 5
    assert feet_taken(101, 10) == 5.5
    assert feet_taken(25, 0) == 1.5


def test_a_line_that_is_full_says_so_and_which_lot_could_go() -> None:
    pencil = farm_with_lines()
    hang(pencil, "L001", 60, "line 1", "2026-06-05")
    hang(pencil, "L002", 40, "line 1", "2026-06-22")
    hang(pencil, "L003", 100, "line 2", "2026-05-25")
    pencil.today = DAY
    pencil.write("tested", lot="L001", result="snaps")
    room = lines_room(pencil.farm, DAY)
    one, two = room.lines
    assert (one.line, one.taken, one.free, one.is_full) == ("line 1", 5, 0, True)
    assert (one.dark, one.fan, two.dark) == (True, True, None)
    assert [(go.lot, go.why, go.feet) for go in one.could_go] == [("L001", "dry", 3)]
    assert [(go.lot, go.why, go.do) for go in two.could_go] == [("L003", "overdue", "snap test")]
    assert (room.feet, room.taken, room.free) == (45, 10, 35)
    page = shed(pencil.farm, DAY, [])
    assert page.wrong == ("line 1 is full; L001: box (3 ft)",)
    assert [alert.short for alert in page.alerts] == ["line 1 full"]


def test_a_number_that_is_said_is_held_against_what_is_free() -> None:
    pencil = farm_with_lines()
    hang(pencil, "L001", 600, "line 2", "2026-06-20")
    room = lines_room(pencil.farm, DAY)
    assert room.free == 15
    assert room_for(room, bunches=30).says == ""
    tight = room_for(room, bunches=31)
    assert tight.short == 0.5
    assert "31 bunches to hang need 15.5 ft, 15 ft of line free" in tight.says


def test_what_will_probably_be_hung_is_the_bucket_and_as_many_as_last_time() -> None:
    pencil = farm_with_lines()
    hang(pencil, "L001", 90, "line 2", "2026-06-20")
    pencil.today = date(2026, 6, 22)
    pencil.write("cut", lot="L002", crop="statice", bed="b2", use="dry", stems=30)
    pencil.write("cut", lot="L003", crop="zinnia", bed="b2", planting="P02", use="fresh", stems=30)
    coming = probably_hung(pencil.farm, DAY, bed_rows(pencil.farm, DAY))
    known = {one.where: (one.crop, one.stems, one.bunches) for one in coming if one.stems}
    assert known["L002"] == ("statice", 30, 3)
    assert known["bed b1"] == ("strawflower", 90, 9)
    assert "L003" not in known
    assert all(one.bunches == 0 for one in coming if one.stems is None)
    cut = room_for(lines_room(pencil.farm, DAY), coming)
    assert cut.bunches == sum(one.bunches for one in coming) and cut.short == 0


def test_without_feet_nothing_is_short() -> None:
    pencil = small_farm("2026-05-20")
    hang(pencil, "L001", 90, "line 2", "2026-06-20")
    room = lines_room(pencil.farm, DAY)
    assert (room.feet, room.free, room.lines[0].is_full) == (None, None, False)
    cut = room_for(room, bunches=1000)
    assert cut.short is None and cut.says == ""
    assert shed(pencil.farm, DAY, []).alerts == ()


def test_lines_described_stand_for_the_feet_said_of_all() -> None:
    pencil = small_farm("2026-05-20")
    pencil.write("capacity", what="line", count=120)
    assert line_feet(pencil.farm) == room_of(pencil.farm).line == 120
    pencil.write("line", line="line 1", feet=5)
    pencil.write("line", line="line 2", feet=40)
    assert line_feet(pencil.farm) == room_of(pencil.farm).line == 45
    (row,) = [row for row in room_weeks(pencil.farm, DAY, 1).rows if row.what == "line"]
    assert row.total == 45


def test_a_line_keeps_what_is_not_said_again() -> None:
    pencil = farm_with_lines()
    pencil.write("line", line="line 1", feet=6, fan=False)
    assert pencil.farm.lines["line 1"] == (6, True, False)


@given(
    st.lists(
        st.tuples(st.integers(1, 300), st.integers(0, 30), st.sampled_from(["line 1", "line 2", "line 3"]))
    )
)
def test_feet_taken_are_those_of_all_that_hangs(hung: list[tuple[int, int, str]]) -> None:
    pencil = farm_with_lines()
    for n, (stems, per, line) in enumerate(hung[:6], start=1):
        hang(pencil, f"L{n:03d}", stems, line, "2026-06-20", per)
    room = lines_room(pencil.farm, DAY)
    assert room.taken == sum(feet_taken(stems, per) for stems, per, _ in hung[:6])
    assert all(
        row.free == row.feet - row.taken
        for row in room.lines
        if row.feet is not None and row.free is not None
    )
    assert room.free is not None and 0 <= room.free <= 45


# the morning and the cautions


def test_the_morning_says_nothing_while_nothing_is_wrong() -> None:
    pencil = farm_with_lines()
    pencil.today = DAY
    pencil.write("air", room="shed", f=75, rh_pct=45, clock="06:40")
    assert shed(pencil.farm, DAY, []).alerts == ()


def test_the_morning_says_what_is_wrong_the_cooler_first() -> None:
    pencil = farm_with_lines()
    pencil.today = DAY
    pencil.write("air", room="shed", f=62, rh_pct=70, clock="03:00")
    pencil.write("air", room="shed", f=62, rh_pct=74, clock="06:40")
    pencil.write("air", room="cooler", f=41, clock="06:40")
    pencil.write("tonight", f=48)
    assert shed(pencil.farm, DAY, []).wrong == (
        "the cooler stood at 41 F, over 38 F: see to it before all else",
        "74 % RH at 06:40, 65 or over for 4 h: drying is slow",
        "tonight bunches pick up damp (95 % RH at 55 F): close up",
    )


def test_mold_is_spoken_of_after_a_day_at_75_percent_and_not_before() -> None:
    """Spores are held back below 65 % [S176]; from 75 % they grow (from memory)."""
    pencil = farm_with_lines()
    pencil.today = DAY
    for hour in range(7):
        pencil.write("air", room="shed", f=70, rh_pct=80, clock=f"{hour:02}:00")
    assert not any("mold" in said for said in shed(pencil.farm, DAY, []).wrong)
    before = "2026-06-22"
    for hour in range(7, 24):
        pencil.write("air", before, room="shed", f=70, rh_pct=80, clock=f"{hour:02}:00")
    assert any("mold may begin" in said for said in shed(pencil.farm, DAY, []).wrong)


def test_every_caution_is_short_has_a_source_and_a_place() -> None:
    for caution in CAUTIONS:
        assert caution.source and caution.places
        assert len(caution.says) <= 230 and caution.says.endswith(".")
        assert caution.about in {c.about for c in cautions_at(caution.places[0])}
    assert {"heat and fire", "ladders", "moldy dust"} <= {c.about for c in cautions_at("shed")}
    assert "N95" in next(c.says for c in CAUTIONS if c.about == "moldy dust")
