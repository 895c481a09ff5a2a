"""What must hold for every line: words in any order say the same; nothing typed raises."""

from __future__ import annotations

from datetime import date

from hypothesis import example, given
from hypothesis import strategies as st

from core.farm import Farm
from core.kinds import problem_with
from core.language.complete import complete
from core.language.read import Reading, read_line
from core.language.words import CAUSE_OF, COLOURS, keywords
from core.problems import Problem
from core.text import is_clean
from tests.cases import cases
from tests.farms import TODAY, sample_farm
from tests.language.test_read import LINES as GOOD_LINES

FARMS: tuple[Farm, ...] = (sample_farm(), Farm())

GROUPS = {
    "cut": ("40", "strawflower", "b3", "dry"),
    "cut in full": (
        "40",
        "globe am",
        "north",
        "fresh",
        "deep rose",
        "culls 3 blown",
        "12min",
        "stage 3 rows open",
    ),
    "cut by planting, another day": ("40 stems", "P01", "wire", "'Apricot Blush'", "yesterday"),
    "cut with a date": ("lark", "b5", "15", "on 2026-06-20", "dried", "anyway"),
    "lost of a lot": ("lost", "6", "mold", "L001"),
    "lost of a box": ("lost", "2 stems", "moth", "l3", "box 4", "20 june"),
    "lost of a tray": ("lost", "4", "damping off", "S03"),
    "lost in a bed": ("lost", "5", "slugs", "b3", "zinnia"),
    "hang": ("hang", "30", "L005", "line 2", "10s"),
    "hang by crop": ("hung", "strawflower", "line 3", "mon"),
}
"""The words of lines; those that belong together (a word and its value, a name) move together."""


@given(st.sampled_from(sorted(GROUPS)), st.data())
@cases(300)
def test_words_in_any_order_say_the_same(name: str, data: st.DataObject) -> None:
    groups = GROUPS[name]
    straight = read_line(" ".join(groups), FARMS[0], TODAY)
    assert isinstance(straight, Reading), straight.sentence
    mixed = data.draw(st.permutations(groups))
    again = read_line(" ".join(mixed), FARMS[0], TODAY)
    assert isinstance(again, Reading), (mixed, again.sentence)
    assert again.drafts == straight.drafts


WORDS = st.sampled_from(
    sorted(keywords())
    + sorted(set(CAUSE_OF.values()))
    + list(COLOURS[:5])
    + [
        "b3",
        "b4",
        "b99",
        "north",
        "L001",
        "L003",
        "L005",
        "L077",
        "S02",
        "S99",
        "P01",
        "P03",
        "l1'",
        "s2b",
        "12x10",
        "0x0",
        "40",
        "4.5",
        "-3",
        "0",
        "20ft",
        "36in",
        "22g",
        "10s",
        "50%",
    ]
    + [
        "34F",
        "12min",
        "06-20",
        "05-14",
        "2026-06-20",
        "2026-02-30",
        "7-14",
        "strawflower",
        "straw",
        "s",
        "zin",
        "globe",
        "am",
        "statice",
        "early",
    ]
    + [
        "'Apricot",
        "Blush'",
        "'x",
        '"',
        "latitude",
        "name",
        "zone",
        "spacing",
        "drying_days",
        "0190a3",
        "farm",
        "!",
        ".",
        ",",
        "(",
        "$",
        "%",
        "1,000",
        "99999999999",
    ]
)


@st.composite
def slips(draw: st.DrawFn) -> str:
    """A line as it should be with a slip in it: a word left out, put in, changed or moved."""
    words = draw(st.sampled_from(sorted(GOOD_LINES))).split()
    for _ in range(draw(st.integers(1, 2))):
        at = draw(st.integers(0, len(words)))
        match draw(st.sampled_from(("out", "in", "other", "moved"))):
            case "out":
                del words[at : at + 1]
            case "in":
                words.insert(at, draw(WORDS))
            case "other":
                words[at : at + 1] = [draw(WORDS)]
            case "moved" if at < len(words):
                words.append(words.pop(at))
    return " ".join(words)


LINES = st.one_of(
    slips(),
    st.lists(WORDS, max_size=9).map(" ".join),
    st.lists(st.one_of(WORDS, st.text(max_size=6)), max_size=7).map(" ".join),
    st.text(max_size=60),
)
DAYS = st.sampled_from((TODAY, date(2026, 1, 1), date(2024, 2, 29)))


@given(LINES, st.sampled_from(FARMS), DAYS)
@example("box 12 L003", FARMS[0], TODAY)
@example("note", FARMS[0], TODAY)
@cases(1500)
def test_nothing_typed_raises_or_makes_an_ill_entry(text: str, farm: Farm, day: date) -> None:
    result = read_line(text, farm, day)
    if isinstance(result, Problem):
        assert result.sentence and is_clean(result.sentence) and "\n" not in result.sentence
        assert result.code in {"unknown", "ambiguous", "impossible", "unreadable"}
        assert all(is_clean(word) for word in result.nearest)
    else:
        assert result.drafts or result.undo
        for draft in result.drafts:
            assert problem_with(draft.kind, draft.fields) is None
            assert draft.on <= day.isoformat()
        assert all(is_clean(remark) for remark in result.remarks)


@given(LINES, st.sampled_from(FARMS), DAYS)
@cases(700)
def test_completing_never_raises_and_always_fits(text: str, farm: Farm, day: date) -> None:
    done = complete(text, farm, day)
    assert len(done.says) <= 76 and done.says and is_clean(done.says)
    assert len(done.offers) <= 6
    assert is_clean(done.ghost)


@given(LINES, st.sampled_from(FARMS))
@cases(300)
def test_reading_changes_nothing_on_the_farm(text: str, farm: Farm) -> None:
    before = repr(farm.beds), repr(list(farm.lots.live())), repr(farm.varieties), repr(farm.codes)
    read_line(text, farm, TODAY)
    complete(text, farm, TODAY)
    assert before == (repr(farm.beds), repr(list(farm.lots.live())), repr(farm.varieties), repr(farm.codes))
