"""What cannot be read is refused in one sentence that says what to do, with the nearest that would do."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from core.farm import Farm
from core.language.read import Reading, read_line
from core.language.words import SAID_OTHERWISE
from core.problems import Problem
from core.subject import loose_words, sure_words
from tests.farms import TODAY, farm_in, farm_of, on, sample_farm, write

CODES = {"unknown", "ambiguous", "impossible", "unreadable"}


@pytest.fixture(scope="module")
def farm() -> Farm:
    return sample_farm()


def refused(farm: Farm, text: str) -> Problem:
    problem = read_line(text, farm, TODAY)
    assert isinstance(problem, Problem), problem
    assert problem.code in CODES
    assert problem.sentence.endswith((".", "?"))
    assert "\n" not in problem.sentence
    return problem


REFUSALS = {
    "40 straw dry": ("ambiguous", "From which bed? strawflower stands in b3 and b4.", ("b3", "b4")),
    "40 larkspur b5": (
        "unreadable",
        "For which use is the larkspur: fresh, dry or wire?",
        ("fresh", "dry", "wire"),
    ),
    "40 straw b9 dry": (
        "unknown",
        "There is no bed b9; there is b3, b4 and b5. 'bed b9 50ft' makes one.",
        ("b3", "b4", "b5"),
    ),
    "40 straw b5 dry": (
        "impossible",
        "strawflower stands in bed b3 and b4, not in b5. Add 'anyway' to insist.",
        ("b3", "b4"),
    ),
    "40 cel b3 dry": (
        "ambiguous",
        "'cel' may be celosia, crested; celosia, plume or celosia, wheat: write more of it.",
        ("celosia, crested", "celosia, plume", "celosia, wheat"),
    ),
    "40 b3 dry": (
        "ambiguous",
        "Bed b3 has strawflower and zinnia: name the crop.",
        ("strawflower", "zinnia"),
    ),
    "40 zinnia straw b3 dry": ("ambiguous", "'zinnia' and 'straw' are both crops: write one to a line.", ()),
    "40 straw b3 dry apricott": (
        "unknown",
        "'apricott' is no variety or color known for strawflower. Did you mean apricot? A new variety is "
        "written in quotes: 'apricott'.",
        ("apricot",),
    ),
    "40 straw b3 dry 'apricot": (
        "unreadable",
        "A quote is opened and not closed: close it, or leave it out.",
        (),
    ),
    "40 straw b3 dry fresh": (
        "ambiguous",
        "dry and fresh: which use? Write one line for each.",
        ("fresh", "dry", "wire"),
    ),
    "40 30 straw b3 dry": ("ambiguous", "40 and 30: which is the number of stems? Write one.", ()),
    "straw b3 dry": ("unreadable", "How many stems of strawflower? Write the number.", ()),
    "-5 straw b3 dry": ("impossible", "-5 stems: a count begins at 0.", ()),
    "4.5 straw b3 dry": ("impossible", "4.5 is no whole number of stems.", ()),
    "0 straw b3 dry": ("impossible", "A cut needs at least one stem, or culls.", ()),
    "40 straw b3 dry 20ft": ("unreadable", "What is 20ft here? Leave it out, or say what it counts.", ()),
    "lost 6 L001": (
        "unreadable",
        "What was the cause? Mold, shatter, brown, brittle, blown, broken, dropped or other.",
        ("mold", "shatter", "brown", "brittle", "blown", "broken", "dropped", "other"),
    ),
    "lost 6 mold L003": (
        "ambiguous",
        "L003 has 30 stems on line 1 and 3 bunches of 10 in box 4: say which place.",
        ("line 1", "box 4"),
    ),
    "lost 6 mold L099": (
        "unknown",
        "There is no lot L099; there is L002, L004 and L005.",
        ("L002", "L004", "L005"),
    ),
    "lost mold L001": (
        "unreadable",
        "How many of L001? Write the number, or 'all': it has 36 stems on line 2.",
        (),
    ),
    "lost 3 mold L001 zinnia": ("ambiguous", "L001 is strawflower, not zinnia: which is meant?", ("L001",)),
    "lost 5 slugs b3": (
        "ambiguous",
        "Bed b3 has strawflower and zinnia: name the crop.",
        ("strawflower", "zinnia"),
    ),
    "lost 6 mold": (
        "unreadable",
        "Lost from what? Name a lot, a tray, or a bed and its crop: lost 6 mold L041.",
        ("L005", "L004", "L002"),
    ),
    "hang L001": (
        "impossible",
        "L001 has nothing in the bucket: 36 stems on line 2. 'move L001 line 3' takes it to another line.",
        ("move",),
    ),
    "hang larkspur": (
        "impossible",
        "Nothing of larkspur is in the bucket to hang: write the cut first, such as 40 straw b3 dry.",
        (),
    ),
    "hang L005 box 3": (
        "unreadable",
        "Stems are hung on a line, not in box 3: write 'line 2'.",
        ("line 1", "line 2"),
    ),
    "sold 2 L001 box 9": ("impossible", "L001 has nothing in box 9; it has 36 stems on line 2.", ("line 2",)),
    "snap L002": ("impossible", "L002 has nothing on a line to test: 50 stems in the bucket.", ()),
    "step S99": ("unknown", "There is no tray S99; there is S02 and S03.", ("S02", "S03")),
    "step": ("unreadable", "Which tray? Write its code, such as S03.", ("S02", "S03")),
    "hold S02": (
        "unreadable",
        "What was the cause? Wind, rain, low, cold, heat, no time or other.",
        ("wind", "rain", "low", "cold", "heat", "no time", "other"),
    ),
    "set out S02": (
        "unreadable",
        "Into which bed is S02 set out? Write its code.",
        ("b3", "b4", "b5", "north"),
    ),
    "plant zinnia b5": ("unreadable", "How many feet of bed b5 has the zinnia? Write it: 25ft.", ("25ft",)),
    "pinch b3": ("ambiguous", "Bed b3 has strawflower and zinnia: name the crop.", ("strawflower", "zinnia")),
    "pinch b3 larkspur": (
        "unknown",
        "larkspur is not on record in bed b3. It stands in b5.",
        ("b5",),
    ),
    "bed s12 50ft": (
        "impossible",
        "S12 would be a tray, planting, lot or order: call the bed bs12, or something like b3.",
        ("bs12",),
    ),
    "bed dry 50ft": (
        "impossible",
        "'dry' means something else in a line: call the bed something like b3.",
        (),
    ),
    "bed straw 50ft": (
        "impossible",
        "'straw' means something else in a line: call the bed something like b3.",
        (),
    ),
    "bed b7": ("unreadable", "How long is bed b7? Write its feet: bed b7 50ft.", ("50ft",)),
    "low": ("unreadable", "Low how much? Write the number after it: low 34.", ()),
    "low 61 high 34": ("impossible", "A low of 61 is above a high of 34: which is which?", ()),
    "frost 05-14": (
        "unreadable",
        "Last frost or first frost? Write 'last frost 05-14' or 'first frost 10-01'.",
        ("last", "first"),
    ),
    "last frost 31 april": (
        "impossible",
        "There is no day 31 april: write it as 6/20, 2026-06-20 or 20 june.",
        (),
    ),
    "sheet straw drying 9": (
        "ambiguous",
        "Which figure: drying method or drying days?",
        ("drying method", "drying days"),
    ),
    "sheet straw spacing wide": (
        "unreadable",
        '"wide" is not a number: write spacing, in as one number.',
        (),
    ),
    "count 40 stamps": (
        "unknown",
        "Count which lot or supply? No stamps is in the book; there is tape.",
        ("tape",),
    ),
    "strike L001": ("unknown", "'L001' is no entry's id: it begins like 0190a3.", ()),
    "hagn L001": ("unknown", "'hagn' is not understood. Did you mean hang or handed?", ("hang", "handed")),
    "40 strawflwer b3 dry": (
        "unknown",
        "No crop is called 'strawflwer'. Did you mean strawflower, starflower or safflower?",
        ("strawflower", "starflower", "safflower"),
    ),
    "note b3": (
        "unreadable",
        "What is the note? Write it after the word: note b3 slugs along the north edge.",
        (),
    ),
}


@pytest.mark.parametrize("text", REFUSALS)
def test_a_refusal_says_what_to_do(farm: Farm, text: str) -> None:
    problem = refused(farm, text)
    assert (problem.code, problem.sentence, problem.nearest) == REFUSALS[text]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "\t\n",
        "x" * 10_000,
        "40 " * 3_000,
        "\x1b[31mred\x1b[0m",
        "\x00\x07\x1b]0;title\x07",
        "🌻🌻🌻",
        "40 🌻 b3 dry",
        "9" * 300 + " straw b3 dry",
        "low " + "9" * 300,
        "-" * 50,
        "'''\"\"\"'",
        "L041",
        "''",
        "！",
        "４０ straw b3 dry",
        "‮40 straw‬ qqq",
        "anyway",
        "yesterday",
        "line",
        "line 2",
        "box",
        "stage",
        "culls",
        "to",
    ],
)
def test_junk_is_one_clear_sentence(farm: Farm, text: str) -> None:
    problem = refused(farm, text)
    assert len(problem.sentence) < 200
    assert problem.sentence.isprintable()


def test_a_lot_that_is_all_gone_is_named_as_such() -> None:
    farm = farm_of(
        on("2026-06-01", "bed", bed="b3", feet=50, width_in=36),
        on("2026-06-20", "cut", lot="L001", crop="zinnia", bed="b3", use="fresh", stems=20),
        on("2026-06-21", "sold", lot="L001", stems=20, source="bucket"),
    )
    problem = refused(farm, "lost 2 wilted L001")
    assert problem.sentence == "L001 (zinnia) has nothing on hand: all of it is sold, used or lost."


@pytest.mark.parametrize("crop", ["dahlia", "celosia, crested", "peony"])
def test_who_has_no_tray_of_a_crop_is_told_lines_that_hold_for_that_crop(farm: Farm, crop: str) -> None:
    sentence = refused(farm, f"set 20 {crop} b3").sentence
    assert sentence.startswith(f"There is no living tray of {crop}: ")
    said = re.findall("'([^']+)'", sentence)
    assert len(said) == 2
    for line in said:
        assert isinstance(read_line(line, farm, TODAY), Reading), line


def test_no_word_that_writes_something_is_called_one_that_does_not() -> None:
    assert not SAID_OTHERWISE.keys() & {*sure_words(), *loose_words()}


@pytest.mark.parametrize(
    ("line", "how"),
    [
        ("promise zinnia 60 fresh 9-12", "shedbook promise in the shell, or P on the screen."),
        ("orders", "shedbook orders in the shell, or O on the screen."),
        ("takings", "shedbook takings in the shell."),
    ],
)
def test_what_asks_the_book_is_told_how_it_is_asked(farm: Farm, line: str, how: str) -> None:
    assert refused(farm, line).sentence == f"'{line.split()[0]}' asks the book: {how}"


def test_the_name_offered_for_a_bed_is_taken(tmp_path: Path) -> None:
    book = farm_in(tmp_path / "farm", {"2026-06-23": ("farm zone UTC",)})
    for name in ("p1", "s1", "l2", "k4"):
        refused = book.write(f"bed {name} 50ft")
        assert isinstance(refused, Problem), name
        write(book, f"bed {refused.nearest[0]} 50ft")
    assert [*book.farm.beds] == ["bp1", "bs1", "bl2", "bk4"]
    write(book, "plant zinnia bp1 10ft", "water bp1 bs1 1 in")
