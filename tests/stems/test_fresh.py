"""What stands in the bucket and the cooler: how much of its vase life is used, and what has to be done with it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.asks import Sight
from core.book.entry import Draft, Entry
from core.fold import apply, check, fold
from core.fresh.rows import FreshRow, fresh_rows
from core.happened import Stay
from core.language.read import Reading, read_line
from core.places import BUCKET, COOLER, FRESH_PLACES
from core.problems import Problem
from core.promising.on_hand import on_hand
from core.reckon.vase_life import used_days
from core.reckon.vase_trials import Spell
from core.stems.whereabouts import hours_warm
from core.today import morning
from tests.cases import cases
from tests.farms import Pencil, asked_of, frozen, page_of, small_farm

ROOM_C, COOLER_C = 20.0, (36 - 32) / 1.8
"""68 F and 36 F: what is taken where no reading is near."""


def cut(pencil: Pencil, lot: str = "L001", crop: str = "zinnia", **more: Any) -> None:
    bed, planting = ("b1", "P01") if crop == "strawflower" else ("b2", "P02")
    place = {"planting": planting} if crop in ("strawflower", "zinnia") else {}
    fields = {"stems": 40, "use": "fresh", **more}
    pencil.write("cut", lot=lot, crop=crop, bed=bed, **place, **fields)


def move(pencil: Pencil, lot: str, source: str, place: str, stems: int = 40, **more: Any) -> None:
    pencil.write("moved", lot=lot, source=source, place=place, stems=stems, **more)


def the_row(pencil: Pencil, lot: str = "L001", clock: str | None = None) -> FreshRow:
    (row,) = (row for row in fresh_rows(pencil.farm, pencil.today, clock) if row.lot == lot)
    return row


# degree-time


def test_a_bucket_ages_a_day_a_day_where_nothing_was_read() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    pencil.later(2)
    row = the_row(pencil)
    assert row.used_days == pytest.approx(2)
    # of 4 to 13 days: half of them, 15 % more or less (48 h at 68 F left 6.5 of 13 [S20])
    assert row.left_days == pytest.approx((4 * (1 - 0.575), 13 * (1 - 0.425)), abs=0.01)
    assert row.expires == (pencil.today + timedelta(days=1)).isoformat()
    assert "48 h in the bucket, 68 F taken" in row.warmth
    assert "about 2 to 7 days left of 4 to 13 in the vase" in row.because


def test_what_has_no_vase_life_on_its_sheet_ages_by_the_days_it_has_stood() -> None:
    """Red-twig dogwood has none; the longest of the library, curly willow, lasts six to ten weeks [S217]."""
    pencil = small_farm().later(60)
    cut(pencil, crop="red-twig dogwood")
    asked = {}
    for day in range(60):
        row = the_row(pencil)
        asked[day] = row.status
        assert (row.left_days, row.status == "fresh") == (None, not asked_of(pencil, "fresh"))
        pencil.later(1)
    changes = {day: status for day, status in asked.items() if status != asked.get(day - 1)}
    assert changes == {0: "fresh", 7: "look", 42: "old"}
    assert (
        "'sheet red-twig dogwood vase life 9'"
        in fresh_rows(pencil.farm, pencil.today - timedelta(days=40))[0].because
    )
    assert not list(on_hand(pencil.farm, pencil.today, None)), "nobody is promised what is that old"
    pencil.write("sheet", crop="red-twig dogwood", figure="vase_life_days", value="70")
    assert the_row(pencil).status == "fresh"


def test_the_cooler_slows_it_and_the_row_says_where_it_stood() -> None:
    """36 h at 36 F and 6 h at 68 F, as in the worked case."""
    pencil = small_farm().later(60)
    cut(pencil, clock="06:00")
    move(pencil, "L001", "bucket", "cooler", clock="12:00")
    pencil.later(2)
    row = the_row(pencil, clock="00:00")
    assert row.place == "cooler"
    assert row.used_days == pytest.approx(used_days([Spell(6, ROOM_C), Spell(36, COOLER_C)]), abs=0.005)
    assert row.warmth == "6 h in the bucket, 68 F taken, 36 h in the cooler, 36 F taken"


def test_what_was_read_in_the_room_is_what_counts() -> None:
    """A shed of 86 F (30 C) uses three days of 68 F in a day (Q10 = 3)."""
    pencil = small_farm().later(60)
    cut(pencil, clock="06:00")
    for clock in ("06:00", "12:00", "18:00", "23:59"):
        pencil.write("air", room="shed", f=86, clock=clock)
    pencil.later(1)
    row = the_row(pencil, clock="05:00")
    assert row.used_days == pytest.approx(3 * 23 / 24, abs=0.01)
    assert "86 F read" in row.warmth and "taken" not in row.warmth


def test_a_reading_far_away_in_time_is_no_reading() -> None:
    pencil = small_farm().later(60)
    pencil.write("air", room="room", f=95, clock="06:00")
    pencil.later(1)
    cut(pencil, clock="06:00")
    pencil.later(1)
    assert the_row(pencil, clock="06:00").used_days == pytest.approx(1)


def test_between_two_readings_the_warmth_runs_in_a_line() -> None:
    pencil = small_farm().later(60)
    cut(pencil, clock="06:00")
    pencil.write("air", room="room", f=50, clock="06:00")
    pencil.write("air", room="room", f=86, clock="12:00")
    line = [Spell(0.01, 10 + 20 * n / 600) for n in range(600)]
    row = the_row(pencil, clock="12:00")
    assert row.used_days == pytest.approx(used_days(line), abs=0.01)
    assert "50 to 86 F read" in row.warmth


def test_a_max_min_thermometer_will_do_for_a_day_without_readings() -> None:
    """59 to 95 F, 15 to 35 C: taken as 59 F at five in the morning and 95 F at three in the afternoon."""
    pencil = small_farm().later(60)
    cut(pencil, clock="05:00")
    pencil.write("air range", room="shed", low_f=59, high_f=95)
    line = [Spell(0.01, 15 + 20 * n / 1000) for n in range(1000)]
    row = the_row(pencil, clock="15:00")
    assert row.used_days == pytest.approx(used_days(line), abs=0.01)
    assert "59 to 95 F read" in row.warmth


def test_hours_out_of_water_age_too_and_are_told() -> None:
    """4 h are saved by cutting an inch off, 24 h never: zinnia, Kalinowski and others 2022 [S20]."""
    pencil = small_farm().later(60)
    cut(pencil, dry_hours=3)
    row = the_row(pencil)
    assert row.used_days == pytest.approx(3 / 24, abs=0.01)
    assert "cut an inch off" in row.flags[0]
    cut(pencil, "L002", dry_hours=24)
    lost = the_row(pencil, "L002")
    assert (lost.status, lost.left_days, lost.expires) == ("compost", (0, 0), None)
    assert "never recovers" in lost.flags[0]
    refused = pencil.refusal(
        "cut", lot="L003", crop="zinnia", planting="P02", bed="b2", use="fresh", stems=5, dry_hours=-1
    )
    assert refused is not None and "Hours out of water" in refused.sentence


def test_a_crop_nobody_has_tried_dry_is_looked_at_before_it_is_thrown_out() -> None:
    pencil = small_farm().later(60)
    cut(pencil, crop="strawflower", dry_hours=24)
    assert the_row(pencil).status == "rescue"
    assert "never recovers" in the_row(pencil).flags[0]


def test_her_own_figures_stand_in_for_those_of_the_sheet() -> None:
    """What a vase test on the farm showed is the sheet's own figure; no other entry is needed."""
    pencil = small_farm().later(60)
    cut(pencil, crop="strawflower")
    pencil.write("sheet", crop="strawflower", figure="vase_life_days", value="9 to 11", source="vase test")
    pencil.write("sheet", crop="strawflower", figure="vase_q10", value="2")
    pencil.write("air", room="room", f=50, clock="07:00")
    pencil.write("air", room="room", f=50, clock="13:00")
    row = the_row(pencil, clock="13:00")
    assert row.used_days == pytest.approx(0.125, abs=0.01)  # 6 h at half the pace, 50 F being 10 C below 68
    # the least by the worst of other crops' trials between 46 and 54 F
    assert row.left_days == pytest.approx((9 - 0.925 / 4, 11 - 0.125), abs=0.01)


@pytest.mark.parametrize("nonsense", ["0", "-3", "0.5", "40"])
def test_a_slip_in_her_own_figure_is_refused(nonsense: str) -> None:
    refused = small_farm().refusal("sheet", crop="zinnia", figure="vase_q10", value=nonsense)
    assert refused is not None and "between 1 and 6" in refused.sentence


def test_china_aster_ages_by_its_own_ratio() -> None:
    pencil = small_farm().later(60)
    cut(pencil, crop="China aster")
    move(pencil, "L001", "bucket", "cooler")
    pencil.later(4)
    assert the_row(pencil).used_days == pytest.approx(4 * 2.5 ** ((COOLER_C - 20) / 10), abs=0.01)


def test_summer_time_is_counted_by_the_sun() -> None:
    pencil = small_farm("2026-03-01")
    pencil.write("farm", zone="America/New_York")
    pencil.later(6)
    cut(pencil)  # Saturday; the clocks go forward that night
    pencil.later(1)
    assert the_row(pencil).used_days == pytest.approx(23 / 24, abs=0.005)


# what is known to be weak


def test_zinnia_says_by_which_trial_it_is_reckoned() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    cut(pencil, "L002", crop="strawflower")
    assert "look at the petals" in the_row(pencil, "L002").note
    assert "6.5 after 48 h at 68 F [S20]" in the_row(pencil).note


# what has to be done


def test_the_days_of_a_bucket_nobody_buys() -> None:
    """Zinnia, 4 to 13 days in the vase and 2 to 6 to dry (crop sheet): hung the day after the cut at the latest, sold
    while a buyer has 5 days of it, thrown out in the end (common practice)."""
    pencil = small_farm().later(60)
    cut(pencil)
    said = {}
    for age in (0, 1, 2, 3, 4, 12, 14):
        pencil.today = date.fromisoformat("2026-07-19") + timedelta(days=age)
        said[age] = the_row(pencil).status
    assert said == {0: "fresh", 1: "rescue", 2: "sell", 3: "sell", 4: "old", 12: "compost", 14: "compost"}


def test_a_cool_bucket_may_be_hung_later() -> None:
    pencil = small_farm().later(60)
    cut(pencil, crop="strawflower")
    move(pencil, "L001", "bucket", "cooler")
    pencil.later(2)
    assert the_row(pencil).status == "fresh"
    pencil.later(1)
    assert the_row(pencil).status == "rescue" and the_row(pencil).used_days < 0.5
    pencil.write("hung", lot="L001", source="cooler", line="line 1", stems=40)
    assert fresh_rows(pencil.farm, pencil.today) == []
    assert pencil.farm.lots.get("L001").stays == {}  # type: ignore[union-attr]


def test_days_in_the_cooler_come_to_an_end() -> None:
    """Zinnia: 34 F for 2 days is best, a week is ruin [S20 S21]; other sources say never [S103]."""
    pencil = small_farm().later(60)
    cut(pencil)
    move(pencil, "L001", "bucket", "cooler")
    pencil.later(1)
    assert the_row(pencil).status == "fresh"
    assert any("sources clash: never" in flag for flag in the_row(pencil).flags)
    pencil.later(1)
    row = the_row(pencil)
    assert row.status == "sell"
    assert any("2 days in the cooler, at most 2" in flag for flag in row.flags)
    # the page says what asks for it today: its days in the vase are no reason to hurry
    assert row.left_days is not None and row.left_days[1] > 3
    (told,) = (one for one in morning(Sight(pencil.farm, pencil.today)).asked if one.about[0] == "fresh")
    assert (told.do, told.when) == ("sell today", "2 days cold")
    # long over its days it is sold to nobody, though the cold has left it days in the vase
    pencil.later(3)
    row = the_row(pencil)
    assert row.left_days is not None and row.left_days[0] > 0
    assert (row.status, row.reason) == ("old", "5 days in the cooler, at most 2 [S20]")


def test_what_must_not_stand_in_the_cooler_is_called_out_of_it() -> None:
    pencil = small_farm().later(60)
    pencil.write("sheet", crop="strawflower", figure="cooler", value="never", source="own trial")
    cut(pencil, crop="strawflower")
    move(pencil, "L001", "bucket", "cooler")
    pencil.later(1)
    row = the_row(pencil)
    assert row.status == "take out"
    assert "take it out of the cooler" in row.flags[0]
    lines = [line.text for line in page_of(pencil)]
    assert any("out of the cooler" in text for text in lines)


@pytest.mark.parametrize(
    ("crop", "word"),
    [
        ("snapdragon", "upright"),  # snapdragon, gladiolus, gerbera, tulip, anemone bend [S66]
        ("tulip", "upright"),
        ("lisianthus", "in water"),  # keeps longer wet, marigold dry, zinnia neither [S21]
        ("marigold", "dry rather than in water"),
        ("zinnia", "neither wet nor dry"),
        ("larkspur", "ethylene"),
        ("stock", "7 days at most"),  # 2 weeks dry at the most, less in water [S180]
    ],
)
def test_how_a_crop_is_kept(crop: str, word: str) -> None:
    pencil = small_farm().later(60)
    cut(pencil, crop=crop)
    assert any(word in said for said in the_row(pencil).keep)


def test_what_has_least_left_stands_first() -> None:
    pencil = small_farm().later(50)
    cut(pencil, "L001", "strawflower")  # 7 to 14 days, in the cooler since the cut
    move(pencil, "L001", "bucket", "cooler")
    pencil.later(3)
    cut(pencil, "L002", "strawflower")
    pencil.later(2)
    cut(pencil, "L003", "zinnia")  # 4 to 13
    rows = fresh_rows(pencil.farm, pencil.today)
    assert [row.lot for row in rows] == ["L003", "L002", "L001"]
    left = [row.left_days[0] for row in rows if row.left_days]
    assert left == sorted(left)


def test_the_morning_says_in_a_word_what_to_do() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    pencil.later(3)
    (line,) = [t for t in (x.text for x in page_of(pencil)) if "L001" in t]
    assert "bucket  sell today" in line and line.endswith("days left")
    cut(pencil, "L002", stems=10)
    move(pencil, "L002", "bucket", "cooler", stems=10)
    pencil.later(2)
    (line,) = [t for t in (x.text for x in page_of(pencil)) if "L002" in t]
    assert "cooler  sell today" in line


# history of where it stood


def test_two_parts_of_a_lot_age_apart() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    move(pencil, "L001", "bucket", "cooler", stems=15)
    pencil.later(2)
    rows = {row.place: row for row in fresh_rows(pencil.farm, pencil.today)}
    assert rows["bucket"].stems == 25 and rows["cooler"].stems == 15
    assert rows["bucket"].used_days == pytest.approx(2)
    assert rows["cooler"].used_days < 0.5


def test_stems_that_join_others_are_as_old_as_the_older() -> None:
    """15 stood in the bucket for two days more: put to those in the cooler nobody can tell them apart."""
    pencil = small_farm().later(60)
    cut(pencil)
    move(pencil, "L001", "bucket", "cooler", stems=25)
    pencil.later(2)
    move(pencil, "L001", "bucket", "cooler", stems=15)
    assert the_row(pencil).used_days == pytest.approx(2)
    pencil.later(1)
    move(pencil, "L001", "cooler", "bucket", stems=5)
    pencil.later(1)
    move(pencil, "L001", "cooler", "bucket", stems=35)
    row = the_row(pencil)
    assert row.stems == 40
    assert row.used_days == pytest.approx(3 + used_days([Spell(24, COOLER_C)]), abs=0.02)


def test_a_count_that_finds_stems_in_an_empty_bucket_takes_them_for_as_old_as_the_cut() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    pencil.write("sold", lot="L001", source="bucket", stems=40)
    pencil.later(2)
    pencil.write("counted", lot="L001", source="bucket", stems=5, expected=0)
    assert the_row(pencil).used_days == pytest.approx(2)


def test_a_move_written_before_its_cut_takes_no_time_back() -> None:
    pencil = small_farm().later(60)
    cut(pencil, clock="12:00")
    move(pencil, "L001", "bucket", "cooler", clock="06:00")
    row = the_row(pencil, clock="18:00")
    assert row.used_days == pytest.approx(used_days([Spell(6, COOLER_C)]), abs=0.005)
    path = [Stay(BUCKET, "2026-07-19", "12:00"), Stay(COOLER, "2026-07-19", "06:00")]
    assert hours_warm(path, "2026-07-19", "18:00") == 0


# lines


def read(pencil: Pencil, line: str) -> tuple[Draft, ...]:
    found = read_line(line, pencil.farm, pencil.today)
    assert isinstance(found, Reading), found.sentence
    for draft in found.drafts:
        refused = check(pencil.farm, draft, pencil.today.isoformat())
        assert refused is None, refused.sentence
    return found.drafts


def refusal(pencil: Pencil, line: str) -> str:
    found = read_line(line, pencil.farm, pencil.today)
    assert isinstance(found, Problem), found
    return found.sentence


@pytest.mark.parametrize(
    ("said", "hours"),
    [("waited 2h", 2), ("waited 2 h", 2), ("waited 1.5 hours", 1.5), ("waited 30 min", 0.5), ("waited 3", 3)],
)
def test_hours_out_of_water_in_a_line(said: str, hours: float) -> None:
    pencil = small_farm().later(60)
    (draft,) = read(pencil, f"40 zinnia b2 fresh {said} 12min at 6:40")
    assert draft.fields["dry_hours"] == hours
    assert (draft.fields["stems"], draft.fields["minutes"], draft.fields["clock"]) == (40, 12, "06:40")
    assert draft.fields["use"] == "fresh"


def test_waited_for_how_long_is_asked() -> None:
    assert "waited 2h" in refusal(small_farm().later(60), "40 zinnia b2 fresh waited")


def test_into_the_cooler_and_out_again() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    cut(pencil, "L002", stems=10)
    cut(pencil, "L003", "strawflower", stems=20)
    assert [d.fields["lot"] for d in read(pencil, "move all zinnia cooler")] == ["L001", "L002"]
    assert len(read(pencil, "move all cooler at 7am")) == 3
    (one,) = read(pencil, "move L001 cooler")
    assert one.fields == {
        "lot": "L001",
        "stems": 40,
        "source": "bucket",
        "place": "cooler",
        "ref": one.fields["ref"],
    }
    move(pencil, "L001", "bucket", "cooler")
    (back,) = read(pencil, "move 10 L001 bucket")
    assert (back.fields["source"], back.fields["stems"]) == ("cooler", 10)
    (hung,) = read(pencil, "hang L001 line 2")
    assert (hung.fields["source"], hung.fields["stems"]) == ("cooler", 40)
    (wired,) = read(pencil, "wire 5 L001 22g")
    assert wired.fields["source"] == "cooler"
    assert "nothing of larkspur" in refusal(pencil, "move all larkspur cooler")
    assert "Name the crop" in refusal(pencil, "move all line 3")


def test_moving_into_the_cooler_tells_where_sources_clash() -> None:
    pencil = small_farm().later(60)
    cut(pencil)
    found = read_line("move L001 cooler", pencil.farm, pencil.today)
    assert isinstance(found, Reading)
    assert any("never" in remark and "S103" in remark for remark in found.remarks)


def test_a_sale_without_a_lot_takes_the_earliest_to_expire() -> None:
    """L001 is the older by its day, L002 by its hours out of the cooler: that one leaves first."""
    pencil = small_farm().later(58)
    cut(pencil, "L001")
    move(pencil, "L001", "bucket", "cooler")
    pencil.later(1)
    cut(pencil, "L002", stems=30)
    pencil.later(2)
    assert [r.lot for r in fresh_rows(pencil.farm, pencil.today)] == ["L002", "L001"]
    (few,) = read(pencil, "sold 20 zinnia to corner florist")
    assert (few.fields["lot"], few.fields["stems"], few.fields["source"]) == ("L002", 20, "bucket")
    drafts = read(pencil, "used 45 zinnia for market bouquets")
    assert [(d.fields["lot"], d.fields["stems"], d.fields["source"]) for d in drafts] == [
        ("L002", 30, "bucket"),
        ("L001", 15, "cooler"),
    ]
    (cool,) = read(pencil, "sold 10 zinnia cooler")
    assert cool.fields["lot"] == "L001"
    assert "71 stems of zinnia is more than there is" in refusal(pencil, "sold 71 zinnia")


def test_a_sale_without_a_lot_asks_where_the_lots_are_not_alike() -> None:
    pencil = small_farm().later(60)
    cut(pencil, "L001", variety="pink")
    cut(pencil, "L002", variety="white")
    assert refusal(pencil, "sold 5 zinnia").startswith("Which lot? There is L001 pink and L002 white")
    (pink,) = read(pencil, "sold 5 zinnia pink")
    assert pink.fields["lot"] == "L001"
    cut(pencil, "L003", "strawflower")
    cut(pencil, "L004", "strawflower")
    pencil.write("hung", lot="L004", source="bucket", line="line 1", stems=40)
    assert "is in the bucket and line 1" in refusal(pencil, "sold 5 strawflower")


# no order of events loses a stem or makes one

_PLACES = ("bucket", "cooler", "line 1", "bench")
_events = st.lists(
    st.tuples(
        st.sampled_from(("moved", "sold", "used", "lost", "hung", "wired", "counted", "cut")),
        st.sampled_from(("L001", "L002")),
        st.sampled_from(FRESH_PLACES),
        st.sampled_from(_PLACES),
        st.integers(0, 50),
        st.sampled_from((None, "05:00", "12:00", "23:00")),
        st.integers(0, 3),
    ),
    max_size=14,
)


def _entries(events: list[tuple[Any, ...]]) -> list[Entry]:
    """The events as entries, unchecked: as a merge of two machines may bring them."""
    pencil = small_farm().later(60)
    for lot in ("L001", "L002"):
        cut(pencil, lot)
    for kind, lot, source, place, stems, clock, days in events:
        pencil.later(days)
        fields: dict[str, Any] = {"lot": lot, "source": source, "stems": stems}
        if kind == "moved":
            fields |= {"place": place, **({"clock": clock} if clock else {})}
        elif kind == "lost":
            fields = {"lot": lot, "source": source, "count": stems, "cause": "wilted"}
        elif kind == "hung":
            fields |= {"line": "line 1"}
        elif kind == "wired":
            fields = {"lot": lot, "source": source, "heads": stems, "gauge": 22, "wires": stems}
        elif kind == "counted":
            fields |= {"expected": 0}
        elif kind == "cut":
            code = f"L{len(pencil.entries) + 10:03d}"
            fields = {"lot": code, "crop": "zinnia", "bed": "b2", "use": "fresh", "stems": stems, "culls": 1}
        pencil.entries.append(pencil.made(kind, **fields))
    return pencil.entries


@cases(60)
@given(_events, st.randoms(use_true_random=False))
def test_every_stem_is_accounted_for_and_the_order_of_arrival_is_nothing(
    events: list[tuple[Any, ...]], shuffle: Any
) -> None:
    entries = _entries(events)
    farm = fold(entries)
    for lot in farm.lots.all():
        assert lot.cut == lot.on_hand + lot.sold + lot.used + sum(lot.lost.values())
        assert set(lot.stays) <= {p for p in lot.holdings if p in FRESH_PLACES}
    mixed = list(entries)
    shuffle.shuffle(mixed)
    assert frozen(fold(mixed)) == frozen(farm)
    one_by_one = fold([])
    for entry in sorted(entries, key=lambda e: (e.on, e.at, e.id)):
        apply(one_by_one, entry)
    assert {x.code: x.stays for x in one_by_one.lots.all()} == {x.code: x.stays for x in farm.lots.all()}


@cases(60)
@given(_events, st.sampled_from((None, "06:00", "22:00")))
def test_every_row_keeps_its_bounds(events: list[tuple[Any, ...]], clock: str | None) -> None:
    entries = _entries(events)
    farm = fold(entries)
    day = date.fromisoformat(entries[-1].on) + timedelta(days=1)
    rows = fresh_rows(farm, day, clock)
    later = {(r.lot, r.place): r for r in fresh_rows(farm, day + timedelta(days=1), clock)}
    assert sum(r.stems for r in rows) == sum(
        held.stems for lot in farm.lots.live() for p, held in lot.holdings.items() if p in FRESH_PLACES
    )
    for row in rows:
        assert row.used_days >= 0
        assert (
            row.used_days <= (row.age_days + 1) * 1.01
        )  # never faster than a room of 68 F where nothing was read
        after = later[row.lot, row.place]
        assert after.used_days >= row.used_days
        if row.left_days is None:  # such cold leaves nothing of it: never a number, and it stays so
            assert row.status == "compost" and after.left_days is None
            continue
        assert 0 <= row.left_days[0] <= row.left_days[1]
        assert after.left_days is None or after.left_days[0] <= row.left_days[0]
