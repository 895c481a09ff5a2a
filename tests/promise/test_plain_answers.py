"""Whatever is asked, the answer is at most ten lines and begins with surely, likely or no, or is one clear sentence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from time import process_time

import pytest

from core.problems import Problem
from core.promising import field
from core.promising.asked import EATEN
from core.promising.telephone import ask
from core.promising.told import MOST_LINES, SAYS, reply_lines
from core.session import Session, Written
from tests.cases import first_of
from tests.farms import farm_in
from tests.promise.demo_orders import demo_with

ORDERS = (
    "order Ann 60 zinnia fresh weekly from 7-10 for 8 weeks",
    "order Dee 300 strawflower dry, 12 yarrow or larkspur dry by 10-1",
    "order Cal 40 peony fresh by 2027-06-10",
)


@pytest.fixture(scope="module")
def demo() -> Iterator[Session]:
    with demo_with(*ORDERS) as session:
        yield session


def told(session: Session, text: str) -> list[str]:
    replies = ask(session.farm, session.today, text)
    return [replies.sentence] if isinstance(replies, Problem) else reply_lines(replies)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        # nobody grows it
        ("20 tulip fresh 10-15", "none of it is there, growing or planned"),
        ("20 sunflower wired 8-1", "none of it is there, growing or planned; there is some dry and fresh"),
        # out of season
        ("30 peony fresh 9-1", "nothing of it for that day: P01 in e1 is cut about 1 Jun to "),
        # of no use to her
        (
            "10 mirabellum fresh 8-1",
            "'mirabellum' is no crop of the library or the farm, and no piece of a recipe",
        ),
        ("20 zinnia fresh 6-1", "Mon 1 Jun 2026 has gone by"),
        # to be eaten
        (
            "10 foxglove fresh 8-1 for a cake",
            "not for food or a cake: foxglove: All parts are poisonous if eaten",
        ),
        ("10 snapdragon fresh edible 8-1", "nothing in the book says that it may be eaten"),
        # what cannot be counted
        ("10 lavender fresh 7-20", "not counted: P04 in e3: The sheet of lavender has no stems a plant"),
        # an annual is over with its year
        ("20 zinnia fresh 2027-08-01", "nothing of it for that day: P76 in b11 is cut about "),
    ],
)
def test_what_cannot_be_is_said_in_a_sentence(demo: Session, text: str, says: str) -> None:
    lines = told(demo, text)
    assert says in " ".join(line.strip() for line in lines)
    assert len(lines) == 1 or lines[0].startswith("no (")


def test_nothing_is_to_be_cut_where_nothing_stands_for_the_day(demo: Session) -> None:
    assert not any("cut peony" in line for line in told(demo, "30 peony fresh 9-1"))
    assert any("cut zinnia" in line for line in told(demo, "3000 zinnia fresh 8-20"))


def test_what_is_to_be_eaten_is_never_promised(demo: Session) -> None:
    for word in EATEN:
        (line,) = told(demo, f"10 larkspur {word} fresh 8-1")
        assert "poisonous if eaten" in line


QUESTIONS = [
    f"{count} {crop} {form} {day}"
    for crop in (
        "zinnia",
        "strawflower",
        "peony",
        "yarrow",
        "sunflower",
        "corsage",
        "wreath",
        "lavender",
        "statice",
    )
    for form, count in (("fresh", 30), ("dry", 200), ("wired", 40))
    for day in ("6-23", "8-15", "10-1", "2027-06-10")
    if crop not in ("corsage", "wreath") or form == "fresh"
]


def asked(text: str) -> str:
    """Pieces have no form."""
    return text.replace(" fresh", "").replace("30 ", "6 ") if "corsage" in text or "wreath" in text else text


@pytest.mark.parametrize("questions", first_of((QUESTIONS[::16], QUESTIONS), 1))
def test_every_answer_can_be_said_into_the_telephone(demo: Session, questions: list[str]) -> None:
    for text in map(asked, questions):
        lines = told(demo, text)
        assert len(lines) <= MOST_LINES, text
        assert max(map(len, lines)) < 80, text
        assert lines[0].startswith(tuple(f"{said} (" for said in SAYS.values())), text


def slowest(session: Session, questions: Sequence[str]) -> list[tuple[float, str]]:
    """Every question of them by the processor's seconds it takes, each as the first of a session; the slowest first."""
    found = []
    for text in questions:
        field._grown.cache_clear()
        began = process_time()
        ask(session.farm, session.today, text)
        found.append((process_time() - began, text))
    return sorted(found, reverse=True)


def test_an_order_says_what_the_promise_says_of_what_stands_and_cannot_be_counted(tmp_path: Path) -> None:
    session = farm_in(
        tmp_path / "farm",
        {
            "2026-03-01": ("last frost 05-14", "bed b2 50ft", "crop 'tea rose' perennial woody, fresh"),
            "2026-05-20": ("plant tea rose b2 10ft 10 plants",),
        },
    )
    asked = " ".join(line.strip() for line in told(session, "20 tea rose fresh 06-10"))
    written = session.write("order Lane 20 tea rose fresh by 06-10", answer=True)
    assert isinstance(written, Written)
    (remark,) = (said for said in written.remarks if "20 tea rose" in said)
    for says in (remark, asked):
        assert "not counted: P01 in b2" in says and "write, with yours, 'crop tea rose" in says
        assert "none of it is there" not in says and "none of it can be counted on" in says
