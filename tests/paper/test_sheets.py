"""Sheets to carry along: nothing runs off the page, and what is pencilled in is typed in as it stands."""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.order_rows import Item
from core.orders.open_items import open_items
from core.orders.pickable import pickable
from core.paper.bed_map import bed_map
from core.paper.day_sheet import day_sheet, to_write
from core.paper.flow import COUNT, MARGIN, PAGES, Flow
from core.paper.lists import pick_sheet
from core.paper.marks import Text
from core.paper.pdf import pdf
from core.problems import Problem
from core.session import Session
from tests.cases import cases
from tests.farms import write
from tests.paper.printed import Seen, scanned, seen
from tests.shell import Shell

DAYS = {
    "2026-05-01": (
        "farm name 'Low Barn'",
        "bed b1 50ft",
        "bed b2 50ft",
        "bed north 30ft",
        "last frost 14 may",
        "sow 72 cosmos",
    ),
    "2026-05-02": ("plant strawflower apricot b1 25ft", "plant zinnia b2 20ft", "plant statice b1 15ft"),
    "2026-06-20": (
        "sow 30 zinnia",
        "up S01 60",
        "40 strawflower b1 dry",
        "hang line 1",
        "60 zinnia b2 fresh",
        "25 statice b1 dry",
        "hang line 2",
    ),
    "2026-07-18": (
        "80 zinnia b2 fresh",
        "snap L001 line 1",
        "box L001 4x10 box 1",
        "30 statice b1 dry",
        "order Fern 50 zinnia, 20 strawflower dry by 7-19 at 1.50",
        "order Inn 60 zinnia, 30 strawflower dry by 7-21",
        "step S01",
    ),
    "2026-07-19": (),
}
TODAY = date(2026, 7, 19)


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, TODAY.isoformat()).begin(DAYS)


def opened(shell: Shell) -> Session:
    return Session.open(shell.farm, by="ml", on=TODAY)


def printed(shell: Shell, what: str, tmp_path: Path, *more: str) -> list[Seen]:
    file = tmp_path / f"{what}.pdf"
    status, _, err = shell("sheet", what, str(file), *more)
    assert (status, err) == (0, "")
    return seen(file.read_bytes())


def test_every_line_on_the_days_sheet_is_one_the_book_takes(shell: Shell, tmp_path: Path) -> None:
    session = opened(shell)
    lines = [line for one in to_write(session.sight()) for line in one.lines]
    heads = {one.head for one in to_write(session.sight())}
    assert {"Weather", "Cut, good stems", "Trays", "On the lines", "Bucket and cooler", "Orders"} <= heads
    for line in lines:
        read = session.understood(line.format(2))
        assert not isinstance(read, Problem), f"{line}: {read}"
        assert len(read.drafts) >= 1
    text = " ".join(" ".join(page.text.split()) for page in printed(shell, "day", tmp_path))
    for one in to_write(session.sight()):
        assert one.line.replace("{}", "..").removeprefix("..").strip() in text, one


def test_a_day_pencilled_in_is_typed_in_as_it_stands(shell: Shell) -> None:
    """A helper cuts 12 of each for its first use; in the evening the book has them."""
    session = opened(shell)
    cuts = [one for one in to_write(session.sight()) if one.head.startswith("Cut")]
    assert len(cuts) == 3
    write(session, *(one.lines[0].format(12) for one in cuts))
    today = [lot for lot in session.farm.lots.live() if lot.cut_on == TODAY.isoformat()]
    assert Counter(lot.crop for lot in today) == {"strawflower": 1, "zinnia": 1, "statice": 1}
    assert all(lot.cut == 12 for lot in today)


def test_a_box_stands_beside_every_line_on_the_sheet(shell: Shell) -> None:
    session = opened(shell)
    pages = day_sheet(session.sight(), PAGES["letter"])
    data = pdf(pages)
    assert isinstance(data, bytes)
    boxes = sum(len(page.frames) for page in seen(data))
    assert boxes == sum(len(one.lines) for one in to_write(session.sight()))
    wide = [frame.to_x - frame.x for page in seen(data) for frame in page.frames]
    assert max(wide) == pytest.approx(COUNT[0], abs=0.05)


def test_the_cut_list_and_the_slip_say_what_the_book_says(shell: Shell, tmp_path: Path) -> None:
    (page,) = printed(shell, "cutlist", tmp_path)
    for row in shell.json("cutlist")["rows"]:
        assert (
            f"{row['left'] or row['asked']} {row['crop']}" in page.text
            and f"{row['planting']} {row['use']}" in page.text
        )
    (slip,) = printed(shell, "o1", tmp_path)
    for line in shell.json("order", "O001", "--slip")["slip"]:
        for word in line.replace("-" * 60, "").split():
            assert word in slip.text, word
    (code,) = scanned((tmp_path / "o1.pdf").read_bytes())
    assert code.text == "O001" and "30.00" in slip.text and "Low Barn" in slip.text


def test_the_pick_list_tells_no_stem_twice_and_all_that_is_missing(shell: Shell, tmp_path: Path) -> None:
    (page,) = printed(shell, "picklist", tmp_path)
    lines = [line.strip() for line in page.text.splitlines()]
    told: Counter[str] = Counter()
    for line in lines:
        number, _, what = line.partition(" ")
        if number.isdigit() and (what.startswith("L0") or what == "more are not there yet"):
            told[what.split()[0]] += int(number)
    session = opened(shell)
    wanted = sum(one.wanted for one in open_items(session.farm, TODAY))
    assert sum(told.values()) == wanted == 50 + 20 + 60 + 30
    free = {
        one.code: one.free
        for item in (Item("", 1, 1, "fresh", "zinnia"), Item("", 1, 1, "dry", "strawflower"))
        for one in pickable(session.farm, item, TODAY, TODAY)
        if not one.why_not
    }
    assert free and all(told[code] <= number for code, number in free.items())
    assert told["more"] == wanted - sum(min(told[code], n) for code, n in free.items())
    assert told["L001"] == 40, "20 for the first, what is left for the second"
    assert pick_sheet(session.sight(), PAGES["a4"])[0].width == 210


def test_the_beds_are_drawn_to_length(shell: Shell) -> None:
    data = pdf(bed_map(opened(shell).sight(), PAGES["letter"]))
    assert isinstance(data, bytes)
    (page,) = seen(data)
    wide = sorted(round(frame.to_x - frame.x, 1) for frame in page.frames)
    foot = max(wide) / 50
    assert wide == pytest.approx(
        sorted([50 * foot, 50 * foot, 30 * foot, 25 * foot, 15 * foot, 20 * foot]), abs=0.15
    )
    assert "30 ft free" in page.text and "P01 strawflower apricot, 25 ft" in page.text


def test_the_season_is_drawn_as_it_was(shell: Shell, tmp_path: Path) -> None:
    (page,) = printed(shell, "season", tmp_path)
    told = shell.json("season")
    for row in told["rows"]:
        assert f"{row['cut']} {row['sold']} {row['lost']} 0.00\n{row['of']}" in page.text
    weeks = [
        (week["cut"], max(w["cut"] for w in row["weeks"])) for row in told["rows"] for week in row["weeks"]
    ]
    high = [round(frame.to_y - frame.y, 2) for frame in page.frames]
    most = max(high)
    assert high == pytest.approx([most * cut / best for cut, best in weeks if cut], abs=0.06)
    assert "Nothing was cut" in printed(shell, "2020", tmp_path)[0].text


@cases(40)
@given(
    st.lists(
        st.tuples(st.sampled_from("hlru"), st.integers(0, 4), st.text("abc Łж,", min_size=1, max_size=200)),
        max_size=120,
    ),
    st.sampled_from([*PAGES]),
)
def test_however_much_there_is_nothing_runs_off_a_page_or_is_left_out(
    rows: list[tuple[str, int, str]], page: str
) -> None:
    flow = Flow(PAGES[page], "Title", "right")
    for sort, under, text in rows:
        if sort == "h":
            flow.heading(text)
        elif sort == "l":
            flow.line(text, right=text)
        elif sort == "r":
            flow.row((0, COUNT), (22, text), (80, text), under=[text] * under)
        else:
            flow.blank()
    pages = flow.pages()
    width, height = PAGES[page]
    texts = Counter(mark.text for one in pages for mark in one.marks if isinstance(mark, Text))
    wanted = Counter(
        text for sort, under, text in rows for _ in range({"h": 1, "l": 2, "r": 2 + under, "u": 0}[sort])
    )
    assert all(texts[text] >= number for text, number in wanted.items())
    for one in pages:
        for mark in one.marks:
            assert (
                MARGIN <= mark.x <= width - MARGIN + 0.01 and MARGIN - 1 <= mark.y <= height - MARGIN + 0.01
            )
    if rows:
        data = pdf(pages)
        assert isinstance(data, bytes)
        for found in seen(data)[:2]:
            assert all(w.to_x <= width - MARGIN + 0.1 and w.to_y <= height - MARGIN + 2 for w in found.words)


def test_an_empty_farm_has_its_sheets_and_a_wrong_word_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-01").begin({})
    for what in ("cutlist", "picklist", "beds", "day", "season"):
        assert printed(shell, what, tmp_path)
    for what in ("poster", "O099"):
        status, _, err = shell("sheet", what, str(tmp_path / "no.pdf"))
        assert status == 1 and err.count("\n") == 1
    assert not (tmp_path / "no.pdf").exists()


def test_a_farm_that_speaks_british_prints_on_a4_in_its_words(shell: Shell, tmp_path: Path) -> None:
    assert printed(shell, "day", tmp_path)[0].width == pytest.approx(215.9, abs=0.01)
    shell.write("farm words british")
    assert printed(shell, "day", tmp_path)[0].width == pytest.approx(210, abs=0.01)
    assert printed(shell, "beds", tmp_path, "--page", "letter")[0].width == pytest.approx(215.9, abs=0.01)
    shell.write("farm words american")
