"""What is sent to the terminal: whatever was shown before, it shows what it would show if all were drawn anew."""

from __future__ import annotations

from collections.abc import Iterator

import pyte
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.bench.least import least_bytes, picture
from tests.cases import cases
from tests.tui.terminal import Screen
from tui.look import DIM, LOOKS, Ground, ground
from tui.paint import Piece, Shown, looked
from tui.table import Line

COLUMNS, ROWS = 22, 5
GROUNDS = (
    Ground(),
    Ground(instead={"31": "", "32": ""}),
    Ground(("30", "47"), {"1": "4", "2": "", "31": ""}),
)

_TEXTS = st.text("ab    0.\u2500\u00e9\u754c\u0301", max_size=9)
_LINES = st.lists(st.tuples(_TEXTS, st.sampled_from(list(LOOKS))), max_size=5).map(tuple)
_PICTURES = st.lists(_LINES, min_size=ROWS, max_size=ROWS)


class Seen:
    """A terminal emulator that takes what is sent."""

    def __init__(self) -> None:
        self.screen = Screen(COLUMNS, ROWS)
        self.stream = pyte.Stream(self.screen)

    def takes(self, sent: str) -> int:
        """Its bytes."""
        self.stream.feed("\x1b[?7l" + sent)
        return len(sent.encode())


def _pieces(lines: list[Line]) -> Iterator[Piece]:
    for y, line in enumerate(lines):
        yield Piece(y, 0, COLUMNS, looked(line))


def _new(ground: Ground) -> Shown:
    shown = Shown(ground)
    shown.forget(COLUMNS, ROWS)
    return shown


@cases(300)
@given(st.lists(_PICTURES, min_size=1, max_size=4), st.sampled_from(GROUNDS))
def test_the_terminal_shows_what_it_would_show_if_all_were_drawn_anew(
    pictures: list[list[Line]], ground: Ground
) -> None:
    followed, shown = Seen(), _new(ground)
    for lines in pictures:
        followed.takes(shown.draw(_pieces(lines)))
        anew = Seen()
        anew.takes(_new(ground).draw(_pieces(lines)))
        assert picture(followed.screen) == picture(anew.screen)


@cases(300)
@given(_PICTURES, st.integers(0, ROWS - 1), st.integers(0, COLUMNS - 1), _LINES)
def test_a_piece_changes_its_columns_and_no_others(lines: list[Line], y: int, x: int, line: Line) -> None:
    seen, shown = Seen(), _new(Ground())
    seen.takes(
        shown.draw(_pieces([((text.replace("\u754c", "w"), look),) for (text, look), *_ in _full(lines)]))
    )
    before = picture(seen.screen)
    seen.takes(shown.draw([Piece(y, x, COLUMNS - x, looked(line))]))
    after = picture(seen.screen)
    assert after[:y] == before[:y] and after[y + 1 :] == before[y + 1 :] and after[y][:x] == before[y][:x]


def _full(lines: list[Line]) -> list[Line]:
    return [line or (("", ""),) for line in lines]


@cases(200)
@given(_PICTURES, _PICTURES)
def test_what_is_sent_is_hardly_more_than_the_least_that_shows_it(
    before: list[Line], after: list[Line]
) -> None:
    plain = [tuple((text.encode("ascii", "ignore").decode(), look) for text, look in line) for line in before]
    then = [tuple((text.encode("ascii", "ignore").decode(), look) for text, look in line) for line in after]
    seen, shown = Seen(), _new(Ground())
    seen.takes(shown.draw(_pieces(plain)))
    was = picture(seen.screen)
    sent = seen.takes(shown.draw(_pieces(then)))
    assert sent <= 1.2 * least_bytes(was, picture(seen.screen)) + 8


def test_what_stands_there_already_is_not_sent_again() -> None:
    shown = _new(Ground())
    lines: list[Line] = [(("40 strawflower", "bold"),)] * ROWS
    assert shown.draw(_pieces(lines))
    assert shown.draw(_pieces(lines)) == ""


def test_one_letter_costs_its_place_and_itself() -> None:
    shown = _new(Ground())
    shown.draw(_pieces([(("low 41", ""),)]))
    assert shown.draw(_pieces([(("low 42", ""),)])) == "\x1b[1;6H2"


@pytest.mark.parametrize("in_sun", [False, True])
def test_where_no_color_is_wanted_no_look_has_one(monkeypatch: pytest.MonkeyPatch, in_sun: bool) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    here = ground(in_sun=in_sun)
    sent = {number for look in LOOKS.values() for number in here.sent(look).split(";") if number}
    assert sent and all(int(number) < 30 for number in sent)


def test_in_the_sun_nothing_is_dim_and_every_look_that_means_something_differs_from_plain(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    here = ground(in_sun=True)
    for name, look in LOOKS.items():
        assert DIM not in here.sent(look).split(";")
        assert name in ("", "quiet") or here.sent(look) != here.sent(())


def test_no_look_is_told_from_another_by_color_alone() -> None:
    colorless = Ground(instead={"31": "", "32": ""})
    assert all(colorless.sent(look) for name, look in LOOKS.items() if name)
