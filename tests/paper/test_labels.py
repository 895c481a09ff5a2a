"""Labels: on the millimetre, every code read by a reader of codes, every name whole."""

from __future__ import annotations

import sys
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.paper.label_sheets import A4, LETTER, SHEETS, LabelSheet, roll_called, sheet_called
from core.paper.labels import AT_EDGE, INSIDE, Label, labels_of, pages, trial
from core.paper.marks import Page, Text
from core.paper.pdf import fitted, pdf
from core.problems import Problem
from tests.cases import cases, first_of
from tests.farms import guide_farm, sample_farm
from tests.paper.printed import DPI, Scanned, drawn, scanned, seen
from tests.shell import Shell

SLACK = 0.05
"""Millimetres by which a label may be off."""


def made(labels: list[Label], sheet: LabelSheet, **more: object) -> bytes:
    laid = pages(labels, sheet, **more)  # type: ignore[arg-type]
    assert not isinstance(laid, Problem), laid
    data = pdf(laid)
    assert isinstance(data, bytes), data
    return data


def full(sheet: LabelSheet, count: int = 0) -> list[Label]:
    lines = ("strawflower apricot", "cut 23 Jun 2026, b3", "dry, bunch 1 of 12, 10 stems")
    return [Label(f"L{n:03}", lines) for n in range(1, (count or sheet.each) + 1)]


# the sheets

PUBLISHED = {
    "a4-24": (140, 259.5),
    "a4-21": (139.2, 243.75),
    "a4-14": (106.25, 243.75),
    "a4-8": (106.25, 216.2),
    "a4-65": (167.15, 265.1),
    "a4-40": (157.5, 267.3),
    "letter-30": (144.4625, 241.3),
    "letter-20": (110.33, 241.3),
    "letter-10": (110.33, 215.9),
}
"""Corner of the last label, in mm, reckoned by hand from the sizes that makers and public template lists give."""


@pytest.mark.parametrize("name", SHEETS)
def test_a_common_sheet_adds_up_to_its_page(name: str) -> None:
    sheet = SHEETS[name]
    assert (sheet.width, sheet.height) in (A4, LETTER) and sheet.source
    assert sheet.right + sheet.left == pytest.approx(sheet.width, abs=0.11)
    assert sheet.bottom + sheet.top == pytest.approx(sheet.height, abs=0.11)
    assert [*sheet.corners()][-1] == pytest.approx(PUBLISHED[name], abs=0.01)
    assert sheet.each == int(name.split("-")[1])


@pytest.mark.parametrize("name", first_of(["a4-24", "letter-30", *SHEETS], 2))
def test_on_every_sheet_each_code_is_read_and_each_word_lies_on_its_own_label(name: str) -> None:
    sheet = SHEETS[name]
    data = made(full(sheet), sheet)
    (page,) = seen(data)
    assert (page.width, page.height) == pytest.approx((sheet.width, sheet.height), abs=0.01)
    codes = {code.text: code for code in scanned(data, dpi=150)}
    assert len(codes) == sheet.each and len(page.words) >= 2 * sheet.each
    for n, (x, y) in enumerate(sheet.corners(), 1):
        code = codes[f"L{n:03}"]
        to_x, to_y = x + sheet.label_width, y + sheet.label_height
        mine = [w for w in page.words if x <= w.x <= to_x and y <= w.y <= to_y]
        assert code.text in " ".join(w.text for w in mine).split()
        for left, top, right, bottom in [code[1:], *(w[1:] for w in mine)]:
            assert x + INSIDE - 0.3 <= left and right <= to_x - INSIDE + 0.3
            assert y + 1 <= top and bottom <= to_y - 1
            assert left >= AT_EDGE - 0.3 and right <= sheet.width - AT_EDGE + 0.3


def test_labels_repeat_on_the_millimetre() -> None:
    """On a sheet of 3 by 8 labels of 70 by 37 mm; those at the edge of the page keep off it."""
    sheet = SHEETS["a4-24"]
    (page,) = seen(made(full(sheet), sheet))
    at = {word.text: word for word in page.words if word.text.startswith("L0")}
    middle = [at[f"L{n:03}"] for n in (5, 8, 11, 14, 17, 20)]
    assert [b.y - a.y for a, b in pairwise(middle)] == pytest.approx([37] * 5, abs=SLACK)
    assert {round(word.x, 1) for word in middle} == {round(middle[0].x, 1)}
    assert at["L006"].x - at["L005"].x == pytest.approx(70, abs=SLACK)


@pytest.mark.parametrize("dpi", (150, 203))
def test_a_coarse_printer_still_makes_codes_that_are_read(dpi: int) -> None:
    sheet = SHEETS["a4-21"]
    assert len(scanned(made(full(sheet), sheet), dpi=dpi)) == 21


@pytest.mark.parametrize("said", ("57x32", "40x25", "30x50", "100x50", "20x40"))
def test_on_a_roll_each_label_is_a_page_of_its_own_size(said: str) -> None:
    roll = roll_called(said)
    assert isinstance(roll, LabelSheet)
    data = made(full(roll, 3), roll)
    found = seen(data)
    width, height = map(float, said.split("x"))
    assert [(p.width, p.height) for p in found] == [pytest.approx((width, height), abs=0.01)] * 3
    for n, page in enumerate(found):
        (code,) = scanned(data, n)
        assert code.text == f"L{n + 1:03}" and code.text in page.text
        assert all(w.x > 0 and w.to_x < width and w.y > 0 and w.to_y < height for w in page.words)


def test_four_modules_around_a_code_stay_blank() -> None:
    """ISO/IEC 18004 asks for four, as the maker's guide tells; looked at on the drawn page, dot by dot."""
    for name in ("a4-65", "letter-30"):
        data = made(full(SHEETS[name], 7), SHEETS[name])
        page = drawn(data)
        for code in scanned(data)[:3]:
            module = (code.to_x - code.x) / 21
            assert module >= 0.45
            around, inner = (
                page.crop(tuple(round(v * DPI / 25.4) for v in _grown(code, by)))
                for by in (3.8 * module, 0.3)
            )
            dark = around.histogram()[:128], inner.histogram()[:128]
            assert sum(dark[0]) == sum(dark[1]) > 0, name


def _grown(code: Scanned, by: float) -> tuple[float, float, float, float]:
    return code.x - by, code.y - by, code.to_x + by, code.to_y + by


@pytest.mark.parametrize("said", ("57x12.7", "14x14", "12x40"))
def test_a_label_too_small_for_its_code_is_refused_with_the_reason(said: str) -> None:
    roll = roll_called(said)
    assert isinstance(roll, LabelSheet)
    refused = pages(full(roll, 1), roll)
    assert isinstance(refused, Problem) and "too small" in refused.sentence and "14.5 mm" in refused.sentence


def test_a_sheet_given_by_its_millimetres_is_the_named_one() -> None:
    given_ = sheet_called("210x297,3x7,63.5x38.1,7.2x15.15,2.5x0")
    assert isinstance(given_, LabelSheet)
    assert [*given_.corners()] == [*SHEETS["a4-21"].corners()]


@pytest.mark.parametrize(
    "said",
    (
        "a4-22",
        "",
        "210x297",
        "210x297,3x8",
        "210x297,3x8,80x37",
        "210x297,0x8,70x37",
        "210x297,1.5x8,70x37",
        "9999x297,3x8,70x37",
        "axb,3x8,70x37",
        "210x297,9999x9999,1x1",
        "210x297,3x8,70x37,0x0,0x0,0x0",
        "210x297,3x8,0x37",
    ),
)
def test_a_sheet_that_cannot_be_is_refused(said: str) -> None:
    assert isinstance(sheet_called(said), Problem)


def test_a_sheet_half_used_begins_where_she_says_and_is_moved_as_it_lies_askew() -> None:
    sheet = SHEETS["letter-30"]
    straight = scanned(made(full(sheet, 4), sheet))
    later = scanned(made(full(sheet, 4), sheet, start=29))
    assert [c.text for c in later] == ["L001", "L002"]
    assert len(seen(made(full(sheet, 4), sheet, start=29))) == 2
    moved = scanned(made(full(sheet, 4), sheet, shift=(1.5, -0.5)))
    for a, b in zip(straight, moved, strict=True):
        assert (b.x - a.x, b.y - a.y) == pytest.approx((1.5, -0.5), abs=0.12)
    assert isinstance(pages(full(sheet), sheet, start=31), Problem)


def test_the_trial_sheet_has_the_outlines_and_a_rule_of_100_mm() -> None:
    for sheet in SHEETS.values():
        data = pdf([trial(sheet)])
        assert isinstance(data, bytes)
        (page,) = seen(data)
        assert len(page.frames) == sheet.each
        for frame, corner in zip(page.frames, sheet.corners(), strict=True):
            assert (frame.x, frame.y) == pytest.approx(corner, abs=SLACK)
            assert frame.to_x - frame.x == pytest.approx(sheet.label_width, abs=SLACK)
        rule = max(page.lines, key=lambda line: line.to_x - line.x)
        assert rule.to_x - rule.x == pytest.approx(100, abs=SLACK)
        assert "actual size" in page.text


# letters

NAMES = (
    "Łódź – 9 €",
    "Žluťoučký kůň, Škoda",
    "Ångström & Ærø “quoted” …",
    "Ğüneş İstanbul ŞŢ ţș",
    "Οδυσσέας Ελύτης",
    "Їжак, Ђорђе, Ёлка, Щука",
    "Այգի ծաղիկ",
    "საქართველო",
    "Ħal Għaxaq, Ŵyth, Þórður",
    "café au lait",
)


@pytest.mark.parametrize("name", NAMES)
def test_a_name_in_any_european_letters_is_printed_whole(name: str) -> None:
    sheet = SHEETS["a4-8"]
    assert name in seen(made([Label("L001", (name,))], sheet))[0].text


def test_letters_made_of_two_signs_are_printed_as_one() -> None:
    assert "Škoda" in seen(made([Label("L001", ("S\u030ckoda",))], SHEETS["a4-8"]))[0].text


def test_a_letter_that_no_font_of_ours_has_is_refused_by_name() -> None:
    refused = pdf([Page(50, 30, (Text(2, 10, 9, "zinnia 百日草"),))])
    assert isinstance(refused, Problem) and "百 (U+767E)" in refused.sentence


@cases(60)
@given(
    st.text(st.sampled_from("abcdefgMWil .,'äŁЖ"), min_size=1, max_size=90),
    st.floats(8, 120),
    st.floats(6, 16),
)
def test_what_is_too_wide_is_made_smaller_then_cut_and_never_reaches_further(
    text: str, room: float, size: float
) -> None:
    points, told = fitted(text, size, room)
    assert fitted(told, points, 0) == (points, told)
    whole = pdf([Page(300, 20, (Text(5, 10, size, f"{text}|", room),))])
    assert isinstance(whole, bytes)
    assert all(word.to_x <= 5 + room + SLACK for word in seen(whole)[0].words)
    assert points >= min(7, size) - 1e-9 and (told == text or told.endswith(".."))


def test_a_long_name_stays_whole_in_40_mm() -> None:
    roll = roll_called("62x30")
    assert isinstance(roll, LabelSheet)
    (page,) = seen(made([Label("L001", ("Chrysanthemum Double Decorative Apricot",))], roll))
    assert "Chrysanthemum Double Decorative Apricot" in " ".join(page.text.replace("L001", "").split())


# the command


def test_labels_of_lots_one_a_bunch_and_of_trays(tmp_path: Path) -> None:
    found = labels_of(sample_farm(), ["l3", "L001", "S02"])
    assert not isinstance(found, Problem)
    assert [label.code for label in found] == ["L003"] * 4 + ["L001"] * 4 + ["S02"]
    told = [" / ".join(label.lines) for label in found]
    assert told[1:3] == [
        "statice / cut 13 Jun 2026, b4 / dry, bunch 1 of 3, 10 stems",
        "statice / cut 13 Jun 2026, b4 / dry, bunch 2 of 3, 10 stems",
    ]
    assert told[0] == "statice / cut 13 Jun 2026, b4 / hanging"
    assert told[8] == "zinnia / sown 20 May 2026 / 72 cells"
    bed = labels_of(sample_farm(), ["p5"])
    assert bed == [Label("P05", ("strawflower white", "b4, since 18 May 2026"))]
    pieces = labels_of(guide_farm(), ["M001"])
    assert pieces == [Label("M001", ("crown-b", "made 22 Jun 2026"))] * 2
    hung = labels_of(sample_farm(), ["L001"])
    assert not isinstance(hung, Problem)
    assert [label.lines[2] for label in hung] == [
        *(f"hanging, bunch {n} of 4, 10 stems" for n in (1, 2, 3)),
        "hanging, bunch 4 of 4, 6 stems",
    ]
    (picked,) = labels_of(guide_farm(), ["O014"])
    assert picked.code == "L035" and picked.lines[2:] == (
        "dry, bunch 1 of 1, 10 stems",
        "for O014 Fern Hollow",
    )
    each = labels_of(sample_farm(), ["L003"], 5)
    assert not isinstance(each, Problem) and len(each) == 5 and len({*each}) == 1
    refused = labels_of(sample_farm(), ["L099"])
    assert isinstance(refused, Problem) and "L099" in refused.sentence


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    days = {
        "2026-05-20": ("farm name 'Łąka & Söhne'", "bed b1 50ft", "plant strawflower 'Żółty' b1 25ft"),
        "2026-06-20": ("40 strawflower b1 fresh", "12 strawflower b1 dry"),
    }
    return Shell(tmp_path / "farm", capsys, "2026-06-20").begin(days)


def test_the_command_writes_them_and_the_same_again_gives_the_same_bytes(
    shell: Shell, tmp_path: Path
) -> None:
    file = tmp_path / "labels.pdf"
    answer = shell.json("labels", str(file), "--lots", "L001", "L002")
    assert (answer["pages"], answer["labels"]) == (1, 2)
    first = file.read_bytes()
    assert [code.text for code in scanned(first)] == ["L001", "L002"]
    (page,) = seen(first)
    assert (
        "strawflower Żółty" in page.text
        and "Łąka & Söhne" in page.text
        and "cut 20 Jun 2026, b1" in page.text
    )
    shell.json("labels", str(file), "--lots", "L001", "L002")
    assert file.read_bytes() == first


def test_what_is_none_of_ours_is_left_and_what_is_not_understood_is_refused(
    shell: Shell, tmp_path: Path
) -> None:
    hers = tmp_path / "hers.pdf"
    hers.write_bytes(b"%PDF-1.4 hers")
    for args in (
        (str(hers), "--lots", "L001"),
        (str(tmp_path / "x.pdf"),),
        (str(tmp_path / "x.pdf"), "--lots", "L009"),
        (str(tmp_path / "x.pdf"), "--lots", "L001", "--sheet", "round"),
        (str(tmp_path / "x.pdf"), "--lots", "L001", "--roll", "57"),
        (str(tmp_path / "x.pdf"), "--lots", "L001", "--start", "31"),
    ):
        status, out, err = shell("labels", *args)
        assert (status, out) == (1, "") and err.count("\n") == 1, args
    assert hers.read_bytes() == b"%PDF-1.4 hers" and not (tmp_path / "x.pdf").exists()


@pytest.mark.parametrize("library", ("reportlab", "segno"))
def test_without_the_library_one_sentence_says_how_to_get_it(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: str
) -> None:
    for name in [name for name in sys.modules if name.partition(".")[0] == library]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, library, None)
    monkeypatch.delitem(sys.modules, "core.paper.pdf", raising=False)
    status, _, err = shell("labels", str(tmp_path / "x.pdf"), "--lots", "L001")
    assert status == 1 and "pip install '.[paper]'" in err and err.count("\n") == 1
