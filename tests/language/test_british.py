"""A farm may have the program speak British: words, days and degrees; what is hers, and what programs read, stays."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from core.dialect import Way, in_words, keep, speak
from core.language.complete import complete
from core.language.guide import guide
from core.language.read import Reading, read_line
from core.problems import Problem
from core.session import Session, Written
from tests.farms import TODAY, farm_in
from tests.language.meaning import farm_spoken_of
from tests.shell import Shell
from tui.app import ShedApp
from tui.registry import views

SEASON = {
    "2026-03-01": (
        "farm zone UTC latitude 44.1 longitude -72.6",
        "last frost 14 may",
        "first frost 1 oct",
        "bed b1 50ft",
        "bed b2 50ft",
        "sow 72 strawflower 'silver gray'",
        "sow 72 zinnia 'early fall'",
    ),
    "2026-05-20": (
        "up 60 S01",
        "set out S01 50 b1 25ft",
        "plant statice b2 20ft 60 plants",
        "up 60 S02",
    ),
    "2026-06-10": ("60 strawflower b1 dry", "hang 60 L001 line 1", "shed 72F 55%", "cooler 45F"),
    "2026-06-22": (
        "lost 6 mold L001",
        "note b1 gray mold after 34 F nights in fall",
        "snap L001",
        "box L001 4x10 box 7",
        "check box 7 moth",
        "30 statice b2 fresh",
        "sold 5 L002 to Fall Color Stand",
        "recipe gray-day boutonniere: 1 dry strawflower",
        "bought 40 gray pots",
        "step S02",
    ),
    "2026-06-23": ("low 41 tonight 34 tomorrow 33", "dusk 52 dew 44 clear", "shed 68F 66%", "line 1 is 40ft"),
}
AMERICAN = re.compile(
    r"(?-i:\d ?F\b|, F\b|degrees F)|\b(mold|moldy|molds|gray|color|colors|colored|fall|boutonniere|sulfur)\b",
    re.IGNORECASE,
)
HERS = re.compile(
    r"silver gray|early fall|gray mold after 34 F nights in fall|gray-day|gray pots|Fall Color Stand|gray mold after"
)
PRINTED = (
    "today", "today --all", "tonight", "trays", "beds", "buckets", "shelf", "shed", "bench", "stock", "losses", "plan",
    "weather", "crop strawflower", "crop zinnia", "entries", "history L001", "history S01", "lot L001", "check",
    "help", "help frost", "help shed", "help box", "help boutonniere", "weather risk tender 2.2C 10%",
)  # fmt: skip


@pytest.fixture(autouse=True)
def _speak_again() -> Iterator[None]:
    yield
    speak()


@pytest.fixture
def british(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-23").begin(SEASON)
    shell.write("farm words british")
    return shell


# what is told


@pytest.mark.parametrize("verb", PRINTED)
def test_every_page_speaks_british_and_leaves_her_words(verb: str, british: Shell) -> None:
    _, told, refused = british(*verb.split())
    if verb.startswith("crop"):  # a source says what it says, in its own degrees
        told = told.partition("Sources clash")[0]
    rest = HERS.sub("", re.sub(r"\s+", " ", told + refused))
    assert not (found := AMERICAN.search(rest)), rest[max(found.start() - 60, 0) : found.end() + 30]


def test_her_own_words_are_told_as_she_wrote_them(british: Shell) -> None:
    _, entries, _ = british("entries")
    for hers in (
        "silver gray",
        "early fall",
        "gray mold after 34 F nights in fall",
        "Fall Color Stand",
        "gray pots",
    ):
        assert hers in re.sub(r"\s+", " ", entries), hers
    assert "lost 6 of lot L001 from line 1, mould" in entries
    _, lot, _ = british("lot", "L001")
    assert "silver gray" in lot and "mould" in lot


def test_the_default_is_north_america_and_it_comes_back(british: Shell) -> None:
    assert "1.1 C" in british("tonight")[1]
    british.write("undo yes")
    assert "34 F" in british("tonight")[1]
    british.write("farm words uk")
    assert "34 F" not in british("tonight")[1]
    british.write("farm words american")
    assert "34 F" in british("tonight")[1] and "mold" in british("losses")[1]


def test_it_is_found_in_the_help_and_a_wrong_one_is_refused(british: Shell) -> None:
    assert "farm words british" in british("help", "british")[1]
    assert "farm words british" in british("help", "american")[1]
    status, _, refused = british("write", "farm words french")
    assert status == 1 and "farm words british" in refused


def test_json_keeps_its_fields_and_units(british: Shell) -> None:
    spoken = british.json("tonight")
    british.write("farm words american")
    assert json.dumps(spoken) == json.dumps(british.json("tonight"))


# what is typed


def _means(line: str, farm_words: str) -> Reading | Problem:
    farm = farm_spoken_of()
    before, farm.settings = farm.settings, farm.settings._replace(words=farm_words)
    try:
        return read_line(line, farm, TODAY)
    finally:
        farm.settings = before


def _values(reading: Reading) -> list[tuple[str, str, dict[str, object]]]:
    """Kind, day and fields of its drafts, degrees to half a degree, in which a whole one of C is told."""
    return [
        (
            d.kind,
            d.on,
            {
                name: round(value / 2) if name in ("f", "dew_f", "low_f", "high_f") else value
                for name, value in d.fields.items()
            },
        )
        for d in reading.drafts
    ]


def _examples(way: Way) -> list[tuple[str, str]]:
    """The lines of the help, and each as a farm of that way is told it."""
    plain = [line for job in guide() for line, _ in job.examples]
    speak(way)
    told = [in_words(line) for job in guide() for line, _ in job.examples]
    return [
        pair
        for pair in zip(plain, told, strict=True)
        if isinstance(read_line(pair[0], farm_spoken_of(), TODAY), Reading)
    ]


@pytest.mark.usefixtures("reckoned_once")
def test_an_example_means_the_same_in_both() -> None:
    seen = 0
    for line, spoken in _examples(Way(british=True, celsius=True)):
        seen += spoken != line
        meant, found = _means(line, "american"), _means(spoken, "british")
        assert isinstance(meant, Reading) and isinstance(found, Reading), (line, spoken, found)
        for (kind, on, fields), (british_kind, british_on, british_fields) in zip(
            _values(meant), _values(found), strict=True
        ):
            assert (kind, on) == (british_kind, british_on), spoken
            for name, value in fields.items():
                other = british_fields[name]
                if name in ("f", "dew_f", "low_f", "high_f"):
                    assert isinstance(value, int) and isinstance(other, int) and abs(value - other) <= 1, (
                        spoken
                    )
                else:
                    assert value == other, (line, spoken)
    assert seen >= 5, "some of them are told otherwise"


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [
        ("low 3", "f", 37.4),
        ("low 3C", "f", 37.4),
        ("low 3 degrees", "f", 37.4),
        ("low 38F", "f", 38),
        ("low -2 high 12", "f", 28.4),
        ("tonight 1 sat -1", "f", 30.2),
        ("shed 22 55%", "f", 71.6),
        ("shed 22 °C 55%", "f", 71.6),
        ("cooler 4", "f", 39.2),
        ("shed 14 to 29 41 to 68%", "low_f", 57.2),
        ("dusk 11 dew 7 clear", "dew_f", 44.6),
        ("frost spring -2C 10% 28/4", "month_day", "04-28"),
        ("frost spring -2C 10% 28/4", "threshold_f", 28),
        ("last frost 5/6", "month_day", "06-05"),
        ("last frost 14-05", "month_day", "05-14"),
        ("risk tender 2C 10%", "threshold_f", 36),
        ("risk tender 2.2C 10%", "threshold_f", 35.96),
    ],
)
def test_a_bare_number_is_in_degrees_c(line: str, field: str, value: object) -> None:
    found = _means(line, "british")
    assert isinstance(found, Reading), found
    assert value in [draft.fields.get(field) for draft in found.drafts]


def test_degrees_c_are_understood_on_any_farm() -> None:
    for line in ("low 3C", "low 3 celsius", "tonight 3C"):
        found = _means(line, "american")
        assert isinstance(found, Reading), line
        assert found.drafts[0].fields["f"] == 37.4
    bare = _means("low 38 degrees", "american")
    assert isinstance(bare, Reading) and bare.drafts[0].fields["f"] == 38


def test_the_day_stands_before_the_month_and_the_preview_says_which_it_is(tmp_path: Path) -> None:
    session = farm_in(tmp_path / "farm", {**SEASON, "2026-08-01": ("farm words british",)})
    assert session.complete("5 statice b2 fresh 5/7").says.startswith("5 Jul: ")
    assert session.complete("5 statice b2 fresh 1/7").says.startswith("1 Jul: ")
    assert "the day first" in in_words(session.complete("5 statice b2 fresh 7/5").says)
    written = session.write("30 strawflower b1 dry 5/7")
    assert isinstance(written, Written) and written.entries[0].on == "2026-07-05"
    written = session.write("plan 60 zinnia fresh by 1/9/2027")
    assert isinstance(written, Written) and written.entries[0].fields["due_on"] == "2027-09-01"
    entry = session.write("low 3")
    assert isinstance(entry, Written)
    session.write(f"{entry.entries[0].id[-8:]} was 4")
    assert [e.fields["f"] for e in session.entries() if e.kind == "low"][-1] == 39.2


def test_what_tab_adds_and_offers_is_british() -> None:
    session_words = farm_spoken_of()
    speak(Way(british=True, celsius=True))
    found = complete("lost 2 L006 mou", session_words, date(2026, 6, 23))
    assert found.ghost == "ld" and "mold" not in found.offers


def test_a_refusal_quotes_her_as_she_typed(british: Shell) -> None:
    _, _, refused = british("write", "5 statice b2 gray fresh")
    assert "'gray'" in refused and "colour" in refused, refused


# the words themselves


def test_nothing_is_turned_twice() -> None:
    speak(Way(british=True, celsius=True))
    keep(("gray",))
    for text in (
        "last frost 05-14",
        "moldy: 12 F colder",
        "cut in fall, 6/20",
    ):
        assert in_words(in_words(text)) == in_words(text) != text
    for text in (
        "a range of 14-21 days",
        "10-12 days",
        "weeks that fall short",
        "zinnia, gray",
    ):
        assert in_words(text) == text


# on the screen


async def test_every_view_speaks_british(tmp_path: Path) -> None:
    session: Session = farm_in(tmp_path / "farm", {**SEASON, "2026-06-24": ("farm words british",)})
    app = ShedApp(session, None, session.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        for name in views():
            await app.run_action(f"show('{name}')")
            await pilot.pause()
            lines = [strip.text for strip in app.screen._compositor.render_strips()]
            told = HERS.sub("", re.sub(r"\s+", " ", " ".join(lines)))
            assert not (found := AMERICAN.search(told)), (
                name,
                told[max(found.start() - 60, 0) : found.end() + 30],
            )
