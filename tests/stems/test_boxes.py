"""Boxes in store: how long what lies in them keeps, when they are looked into, and what is done about moth and damp."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from core.boxes.kinds import ASKS, CARE, CHECK_DAYS, CHECK_DAYS_WORST, BoxRow, box_rows
from core.fold import check, fold
from core.language.complete import complete
from core.language.read import Reading, read_line
from core.places import BENCH, BUCKET
from core.problems import Problem
from core.stems.rows import StockRow, months_on, stock_rows
from tests.farms import TODAY, Pencil, frozen, guide_farm, page_of, sample_farm, small_farm


def boxed(
    pencil: Pencil,
    box: str = "box 7",
    *,
    lot: str = "L001",
    crop: str = "strawflower",
    bunches: int = 4,
    **more: Any,
) -> Pencil:
    """40 stems cut for drying, hung, snapped and boxed 12 days later."""
    pencil.write("cut", lot=lot, crop=crop, bed="b1", use="dry", stems=40, stage="2 rows open")
    pencil.write("hung", lot=lot, source=BUCKET, line="line 2", stems=40, per=10)
    pencil.later(12).write("tested", lot=lot, result="snaps")
    pencil.write("boxed", lot=lot, source="line 2", box=box, bunches=bunches, per=10, **more)
    return pencil


def only(pencil: Pencil, box: str = "box 7") -> BoxRow:
    return next(row for row in box_rows(pencil.farm, pencil.today) if row.box == box)


def in_box(pencil: Pencil, on: str | None = None) -> StockRow:
    day = date.fromisoformat(on) if on else pencil.today
    return next(row for row in stock_rows(pencil.farm, day) if row.place.startswith("box"))


def test_a_box_in_the_freezer_is_asked_for_on_the_day_it_may_come_out_until_it_was_looked_into() -> None:
    pencil = boxed(small_farm().later(74))
    pencil.write("box treated", box="box 7", how="frozen", days=7)
    assert [(pencil.later(1), only(pencil).ask)[1] for _ in range(8)] == [
        "",
        "",
        "",
        "",
        "",
        "",
        "take out",
        "take out",
    ]
    pencil.write("box checked", box="box 7", result="sound")
    assert only(pencil).ask == ""


# how long it keeps


@pytest.mark.parametrize(
    ("on", "status", "changes_in"),
    [
        ("2026-08-14", "prime", 366),
        ("2027-08-14", "prime", 1),
        ("2027-08-15", "sell first", 184),
        ("2028-02-14", "sell first", 1),
        ("2028-02-15", "discount", 182),
        ("2028-08-14", "discount", 1),
        ("2028-08-15", "compost", None),
    ],
)
def test_a_box_is_prime_for_a_year_then_sells_first_then_at_a_discount(
    on: str, status: str, changes_in: int | None
) -> None:
    # 12 months prime, 18 to 24 at a discount, then compost or potpourri (common practice); dried arrangements keep
    # a year or more [S106]
    row = in_box(boxed(small_farm().later(74)), on)
    assert row.boxed_on == "2026-08-14"
    assert (row.prime_until, row.discount_after, row.compost_after) == (
        "2027-08-14",
        "2028-02-14",
        "2028-08-14",
    )
    assert (row.status, row.changes_in_days) == (status, changes_in)
    assert row.store_days == (date.fromisoformat(on) - date(2026, 8, 14)).days
    assert "S106" in row.because and "common practice" in row.because


@pytest.mark.parametrize(
    ("crop", "source"),
    [
        ("hydrangea", "S93"),  # colour up to a year, then beige
        ("statice", "S161"),  # colour a year or more out of the sun
    ],
)
def test_a_crop_whose_store_life_was_published_says_so(crop: str, source: str) -> None:
    row = in_box(boxed(small_farm().later(74), crop=crop))
    assert row.prime_until == "2027-08-14" and f"{crop}: 12 months of prime ({source}" in row.because


def test_her_own_figures_stand_in_place_of_the_usual_ones() -> None:
    pencil = boxed(small_farm().later(74))
    pencil.write("sheet", crop="strawflower", figure="prime_months", value="9", source="own record")
    row = in_box(pencil)
    assert (row.prime_until, row.discount_after, row.compost_after) == (
        "2027-05-14",
        "2027-11-14",
        "2028-05-14",
    )
    assert "9 months of prime (own sheet: own record)" in row.because
    pencil.write("sheet", crop="strawflower", figure="discount_months", value="30", source="own record")
    row = in_box(pencil)
    assert (row.discount_after, row.compost_after) == ("2029-02-14", "2029-02-14")


def test_months_end_with_the_month() -> None:
    assert months_on(date(2026, 8, 31), 6) == date(2027, 2, 28)
    assert months_on(date(2027, 8, 31), 6) == date(2028, 2, 29)
    assert months_on(date(2026, 12, 15), 12) == date(2027, 12, 15)
    assert months_on(date(2026, 1, 1), 0.5) == date(2026, 1, 16)
    assert months_on(date(2026, 1, 1), 1e9).year == 2126  # a slip of the pen


def test_what_is_not_boxed_has_no_store_life() -> None:
    pencil = small_farm().later(74)
    pencil.write("cut", lot="L001", crop="strawflower", bed="b1", use="dry", stems=40)
    (row,) = stock_rows(pencil.farm, pencil.today)
    assert (row.status, row.boxed_on, row.store_days, row.prime_until, row.because) == (
        "",
        None,
        None,
        None,
        "",
    )


def test_the_stage_and_the_grade_are_known_in_the_box() -> None:
    pencil = boxed(small_farm().later(74), grade="second")
    assert (in_box(pencil).stage, in_box(pencil).grade) == ("2 rows open", "second")
    pencil.write("moved", lot="L001", source="box 7", place="box 8", stems=40)
    assert (in_box(pencil).place, in_box(pencil).grade, in_box(pencil).boxed_on) == (
        "box 8", "second", pencil.today.isoformat(),
    )  # fmt: skip


def test_one_box_holds_a_lot_in_one_grade() -> None:
    pencil = boxed(small_farm().later(74), bunches=2, grade="first")
    again = {"lot": "L001", "source": "line 2", "bunches": 1, "per": 10}
    refused = pencil.refusal("boxed", **again, box="box 7", grade="second")
    assert refused is not None and "first grade: use another box" in refused.sentence
    pencil.write("boxed", **again, box="box 8", grade="second")
    refused = pencil.refusal("moved", lot="L001", source="box 8", place="box 7", stems=10)
    assert refused is not None and refused.code == "impossible"
    refused = pencil.refusal("boxed", **again, box="box 9", grade="best")
    assert refused is not None and "no grade best" in refused.sentence
    pencil.write("boxed", **again, box="box 7", grade="first")


def test_a_box_in_the_light_is_said_to_fade() -> None:
    pencil = boxed(small_farm().later(74))
    assert in_box(pencil).light is None
    pencil.write("box", box="box 7", where="shop window", light=True)
    assert in_box(pencil).light is True
    assert (only(pencil).where, only(pencil).light) == ("shop window", True)
    pencil.write("box", box="box 7", light=False)
    assert (only(pencil).where, only(pencil).light) == ("shop window", False)


# looked into


def test_a_box_is_looked_into_every_30_days() -> None:
    """Common practice."""
    pencil = boxed(small_farm().later(74))
    assert (only(pencil).next_check, only(pencil).ask) == ("2026-09-13", "")
    assert only(pencil.later(CHECK_DAYS - 1)).ask == ""
    row = only(pencil.later(1))
    assert (row.ask, row.says) == ("look", "look for moth and damp") and "every 30 days" in row.because
    pencil.write("box checked", box="box 7", result="sound")
    row = only(pencil)
    assert (row.ask, row.last_check, row.last_result, row.next_check) == (
        "", "2026-09-13", "sound", "2026-10-13",
    )  # fmt: skip


@pytest.mark.parametrize("crop", ["sunflower", "safflower", "broom corn"])
def test_what_moths_eat_first_is_looked_at_oftener(crop: str) -> None:
    # grain heads, safflower and sunflower are the worst [S56]
    pencil = boxed(small_farm().later(74), crop=crop)
    row = only(pencil.later(CHECK_DAYS_WORST))
    assert row.ask == "look" and f"moths take {crop} first [S56]" in row.because


def test_a_box_filled_anew_is_not_judged_by_its_last_filling() -> None:
    pencil = boxed(small_farm().later(74))
    pencil.write("box checked", box="box 7", result="damp")
    pencil.write("sold", lot="L001", source="box 7", stems=40)
    row = only(pencil)
    assert (row.ask, row.next_check, row.stems, row.because) == ("", None, 0, "it is empty")


@pytest.mark.parametrize(
    "line", ["sold 10 L001", "used 10 L001 for wreath", "move 10 L001 box 8", "sold all L001"]
)
def test_who_takes_out_of_a_box_with_moth_is_told_and_what_to_do(line: str) -> None:
    pencil = boxed(small_farm())
    day = pencil.today

    def told() -> list[str]:
        found = read_line(line, pencil.farm, day)
        assert isinstance(found, Reading), found
        return [remark for remark in found.remarks if remark.startswith("!")]

    assert told() == []
    pencil.write("box checked", box="box 7", result="moth")
    assert len(told()) == 1 and "moth in box 7" in told()[0] and "freeze it a week" in told()[0]
    pencil.write("box treated", box="box 7", how="frozen", days=7)
    assert told() == []
    pencil.write("box checked", box="box 7", result="sound")
    assert told() == []


def test_moth_asks_for_a_week_in_the_freezer_or_three_warm_hours() -> None:
    # freeze 1 week [S139]; 125 to 130 F for 3 hours [S57]
    pencil = boxed(small_farm().later(74))
    pencil.write("box checked", box="box 7", result="moth")
    row = only(pencil)
    assert row.ask == "treat" and "[S139]" in row.because and "[S57]" in row.because and row.care
    pencil.write("box treated", box="box 7", how="frozen", days=3)
    row = only(pencil)
    assert row.ask == "treat" and "frozen 3 days from 14 Aug 2026 was too short" in row.because
    pencil.write("box treated", box="box 7", how="frozen", days=7)
    row = only(pencil)
    assert (row.ask, row.treated) == ("", "frozen 7 days from 14 Aug 2026")
    # looked into again a fortnight after it came out of the freezer
    assert row.next_check == "2026-09-04"
    pencil.later(21)
    assert only(pencil).ask == "look"
    pencil.write("box checked", box="box 7", result="moth")
    assert only(pencil).ask == "treat"
    pencil.write("box treated", box="box 7", how="warmed", hours=2)
    assert only(pencil).ask == "treat"
    pencil.write("box treated", box="box 7", how="warmed", hours=3)
    assert (only(pencil).ask, only(pencil).treated) == ("", "warmed 3 h on 4 Sep 2026")


@pytest.mark.parametrize(("result", "ask"), [("damp", "dry"), ("mice", "close")])
def test_damp_and_mice_stand_until_it_is_looked_into_again(result: str, ask: str) -> None:
    pencil = boxed(small_farm().later(74))
    pencil.write("box checked", box="box 7", result=result)
    assert only(pencil).ask == ask
    pencil.later(3).write("box checked", box="box 7", result="sound")
    assert only(pencil).ask == ""


def test_what_is_asked_for_never_names_a_pesticide() -> None:
    words = " ".join((*ASKS.values(), *CARE.values())).lower()
    assert not any(
        word in words for word in ("spray", "pyreth", "naphthal", "insecticide", "pesticide", "fumig")
    )


def test_a_box_says_what_it_holds() -> None:
    pencil = boxed(small_farm().later(74))
    boxed(pencil, lot="L002", crop="statice")
    pencil.write("cut", lot="L003", crop="strawflower", bed="b1", use="wire", stems=24)
    pencil.write("wired", lot="L003", source=BUCKET, heads=24, gauge=22, wires=24)
    pencil.write("boxed", lot="L003", source=BENCH, box="box 7", bunches=24, per=1)
    row = only(pencil)
    assert (row.lots, row.crops) == (("L001", "L002", "L003"), ("strawflower", "statice"))
    assert (row.bunches, row.heads, row.stems) == (8, 24, 104)


def test_the_brief_tells_boxes_together_and_what_was_found_first() -> None:
    pencil = boxed(small_farm().later(74))
    boxed(pencil, "box 9", lot="L002")

    def lines() -> list[str]:
        page = [line.text for line in page_of(pencil, lines=5, opened=())]
        return [text.removeprefix("ALSO").split("; ")[-1].strip() for text in page if " box " in text]

    assert lines() == []
    pencil.later(40)
    assert lines() == ["look for moth and damp box 7 box 9"]
    pencil.write("box checked", box="box 9", result="moth")
    assert lines()[0].split() == ["box", "9", "strawflower", "40", "box", "moth", "or", "beetles:", "treat"]
    assert lines()[1] == "look for moth and damp box 7"
    pencil.write("box treated", box="box 9", how="frozen", days=7)
    pencil.write("box checked", box="box 7", result="sound")
    assert lines() == []


def test_many_boxes_still_take_one_line() -> None:
    pencil = small_farm().later(74)
    for n in range(1, 20):
        boxed(pencil, f"box {n}", lot=f"L{n:03d}")
        pencil.later(-12)
    pencil.later(80)
    pencil.write("box checked", box="box 3", result="damp")
    pencil.write("box checked", box="box 12", result="moth")
    page = [line.text for line in page_of(pencil, lines=12, opened=())]
    assert [line.split()[:2] for line in page if " box " in line][:2] == [["box", "12"], ["box", "3"]]
    (line,) = (line for line in page if "look for moth and damp" in line)
    assert all(f"box {n}" in line for n in (1, 2, 4))


def test_an_unknown_box_cannot_be_looked_into() -> None:
    pencil = boxed(small_farm().later(74))
    refused = pencil.refusal("box checked", box="box 70", result="sound")
    assert (
        refused is not None and refused.sentence == "There is no box 70; there is box 7." and refused.nearest
    )
    pencil.write("box", box="box 70", light=False)
    assert pencil.refusal("box checked", box="box 70", result="sound") is None
    refused = pencil.refusal("box treated", box="box 7", how="frozen", days=0)
    assert refused is not None and "How long" in refused.sentence


def test_looks_and_treatments_are_blind_to_the_order_of_arrival() -> None:
    pencil = boxed(small_farm().later(74))
    for result in ("sound", "moth", "sound", "damp"):
        pencil.later(10).write("box checked", box="box 7", result=result)
        pencil.write("box treated", box="box 7", how="frozen", days=7)
        pencil.write("box", box="box 7", where=f"shelf {result}", light=result == "moth")
    assert frozen(fold(pencil.entries[::-1])) == frozen(pencil.farm)


# lines


@pytest.mark.parametrize(
    ("text", "kind", "fields"),
    [
        ("check box 7 sound", "box checked", {"box": "box 7", "result": "sound"}),
        ("look box 7 moths", "box checked", {"box": "box 7", "result": "moth"}),
        ("check 7 moldy", "box checked", {"box": "box 7", "result": "damp"}),
        ("mice box 7 checked", "box checked", {"box": "box 7", "result": "mice"}),
        ("freeze box 7 7 days", "box treated", {"box": "box 7", "how": "frozen", "days": 7}),
        ("freeze box 7 for 2 weeks", "box treated", {"box": "box 7", "how": "frozen", "days": 14}),
        ("freeze box 7", "box treated", {"box": "box 7", "how": "frozen", "days": 7}),
        ("warm box 7 3h", "box treated", {"box": "box 7", "how": "warmed", "hours": 3}),
        ("warm box 7", "box treated", {"box": "box 7", "how": "warmed", "hours": 3}),
        ("box 7 is in the light", "box", {"box": "box 7", "light": True}),
        ("box 7 dark attic", "box", {"box": "box 7", "where": "attic", "light": False}),
        ("dark box 7", "box", {"box": "box 7", "light": False}),
    ],
)
def test_a_line_about_a_box(text: str, kind: str, fields: dict[str, Any]) -> None:
    farm = guide_farm()
    reading = read_line(text, farm, TODAY)
    assert isinstance(reading, Reading), reading.sentence
    (draft,) = reading.drafts
    assert (draft.kind, dict(draft.fields)) == (kind, fields)
    assert check(farm, draft, TODAY.isoformat()) is None


@pytest.mark.parametrize("grade", ["second", "seconds", "second-grade"])
def test_bunches_are_boxed_in_their_grade(grade: str) -> None:
    for text in (f"box L038 3x10 box 7 {grade}", f"{grade} L038 box 7 boxed 3x10"):
        reading = read_line(text, guide_farm(), TODAY)
        assert isinstance(reading, Reading), reading.sentence
        (draft,) = reading.drafts
        assert (draft.kind, draft.fields["grade"], draft.fields["box"]) == ("boxed", "second", "box 7")


def test_several_boxes_are_looked_into_in_one_line() -> None:
    reading = read_line("check box 4 box 7 sound", sample_farm(), TODAY)
    assert isinstance(reading, Reading)
    assert [draft.fields["box"] for draft in reading.drafts] == ["box 4", "box 7"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("check box 7", "What was found in box 7: sound, moth, beetles, damp or mice?"),
        ("check box 7 sound moth", "sound and moth: write one line for each."),
        ("check", "Which box? Write its number, such as box 7."),
        ("check line 2 sound", "line 2 is no box: write its number, such as box 7."),
        ("box 7 light dark", "Light and dark: which is it?"),
        ("freeze box 7 0 days", "How long? A week in the freezer, or 3 hours at 125 to 130 F."),
        ("box L038 3x10 box 7 first second", "first and second: write one line for each grade."),
    ],
)
def test_a_line_that_leaves_something_open_asks_for_it(text: str, says: str) -> None:
    found = read_line(text, guide_farm(), TODAY)
    assert isinstance(found, Problem) and found.sentence == says


def test_boxing_everything_is_still_two_words() -> None:
    """ "box" begins several kinds of line: a box alone takes what is dry."""
    reading = read_line("box 7", guide_farm(), TODAY)
    assert isinstance(reading, Reading) and reading.drafts[0].kind == "boxed"


@pytest.mark.parametrize(
    ("text", "ghost"),
    [
        ("check b", "ox 7"),
        ("check box 7 m", "oth"),
        ("box 7 d", "ark"),
        ("box L038 3x10 box 7 s", "econd"),
        ("lost 1 L035 m", "oth"),  # in the box
        ("lost 1 L041 w", "ilted"),  # in the bucket
        ("lost 1 L038 m", "old"),  # on a line
    ],
)
def test_tab_knows_boxes_and_the_causes_of_the_place(text: str, ghost: str) -> None:
    assert complete(text, guide_farm(), TODAY).ghost == ghost


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("lost 1 L035 ", ("moth", "damp", "faded", "mice", "shatter")),
        ("lost 1 L041 ", ("wilted", "unsold", "gray mold", "blown", "broken")),
        ("lost 1 L038 ", ("mold", "shatter", "brown", "brittle", "blown")),
    ],
)
def test_the_causes_offered_are_those_of_the_place(text: str, first: tuple[str, ...]) -> None:
    assert complete(text, guide_farm(), TODAY).offers[:5] == first


def test_the_cause_she_writes_most_is_offered_first() -> None:
    pencil = boxed(small_farm().later(74))
    for _ in range(2):
        pencil.write("lost", lot="L001", source="box 7", count=1, cause="faded")
    assert complete("lost 1 L001 ", pencil.farm, pencil.today).offers[:2] == ("faded", "moth")


def test_a_soft_colour_is_no_cause_and_a_dropped_bunch_no_plan() -> None:
    reading = read_line("30 zin b4 fresh soft pink culls 3", guide_farm(), TODAY)
    assert isinstance(reading, Reading)
    assert reading.drafts[0].fields["variety"] == "soft pink" and "cull_cause" not in reading.drafts[0].fields
    for text in ("lost 2 dropped L038", "2 dropped L038 lost"):
        reading = read_line(text, guide_farm(), TODAY)
        assert isinstance(reading, Reading) and reading.drafts[0].fields["cause"] == "dropped"


def test_what_was_boxed_damp_is_hung_again_and_dries_anew() -> None:
    pencil = boxed(small_farm().later(74), grade="second")
    pencil.write("box checked", box="box 7", result="damp")
    reading = read_line("hang 3 bu L001 box 7 line 1", pencil.farm, pencil.today)
    assert isinstance(reading, Reading), reading.sentence
    (draft,) = reading.drafts
    pencil.write(draft.kind, **draft.fields)
    lot = pencil.farm.lots.get("L001")
    assert lot is not None
    assert lot.holdings["line 1"] == (30, 10, pencil.today.isoformat(), "hanging", "")
    assert lot.holdings["box 7"].stems == 10
    assert lot.entered["hanging"] == 70  # a hand-over of its own
    everything = read_line("hang L001 box 7", pencil.farm, pencil.today)
    assert isinstance(everything, Reading) and everything.drafts[0].fields["stems"] == 10
    elsewhere = read_line("hang L001 box 9", pencil.farm, pencil.today)
    assert isinstance(elsewhere, Problem)


def test_wired_heads_in_a_box_are_not_hung() -> None:
    pencil = small_farm().later(74)
    pencil.write("cut", lot="L003", crop="strawflower", bed="b1", use="wire", stems=24)
    pencil.write("wired", lot="L003", source=BUCKET, heads=24, gauge=22, wires=24)
    pencil.write("boxed", lot="L003", source=BENCH, box="box 7", bunches=24, per=1)
    refused = pencil.refusal("hung", lot="L003", source="box 7", line="line 1", stems=24)
    assert refused is not None and "standing up" in refused.sentence
