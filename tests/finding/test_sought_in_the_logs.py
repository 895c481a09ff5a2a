"""What is sought in the whole record is found by the bytes of the logs, and is what reading every entry would find."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given
from hypothesis import strategies as st

from core.book import sought
from core.book.book import Book
from core.book.entry import Draft, Entry
from core.book.lines import Flat, body_of, line_of, lines_of
from core.book.reader import Reader
from core.book.sought import Clue, entries_with
from core.record import Asked, Record, Steps
from core.session import Session
from core.units import ID_SHOWN
from demo_farm.open import DEMO_DAY, copy_to
from tests.cases import cases, first_of
from tests.farms import TODAY, write


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Session:
    folder = tmp_path_factory.mktemp("sought") / "farm"
    copy_to(folder)
    session = Session.open(folder, by="ml", on=DEMO_DAY)
    write(session, "note Der Kübel für Straße 7 ist leer")
    write(session, 'note a "quoted" word, a back\\slash')
    write(session, "30 snapdragon b11 fresh")
    cut = next(entry for entry in session.recent() if entry.kind == "cut")
    write(session, f"{cut.id[-8:]} was 33")
    return session


@contextmanager
def _without_clues(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    asked = Record._sought

    def without(*about: Any) -> Steps[Asked]:
        query, _ = yield from asked(*about)
        return query, None

    with monkeypatch.context() as patch:
        patch.setattr(Record, "_sought", without)
        yield


def _ids(session: Session, text: str) -> list[str]:
    return sorted(entry.id for found in session.look_back._record().sought(text) for entry in found)


WORDS = (
    *(
        "l41",
        "L041",
        "S12",
        "p7",
        "o003",
        "K01",
        "L041 cut",
        "b4",
        "B12",
        "e1",
        "b4 b12",
        "zin",
        "zinnia",
        "statice",
    ),
    *(
        "straw dry",
        "fern",
        "FERN hollow",
        "box 7",
        '"box 7"',
        '"strawflower"',
        "33",
        "2026-06-2",
        "40",
        "mold l3",
    ),
    *(
        "kübel",
        "straße",
        "STRASSE",
        "quoted",
        'quoted"',
        "back\\slash",
        "slash",
        "none",
        "no",
        "e",
        "'",
        "[",
        "true",
    ),
    *("nowhere", "ml", "jo zinnia", "correct", "strike", '"wind"', "low", "7"),
)


@pytest.mark.parametrize("words", first_of(WORDS, 14))
def test_on_the_demo_farm_nothing_is_missed(
    demo: Session, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = _ids(demo, words)
    with _without_clues(monkeypatch):
        assert _ids(demo, words) == found


def test_some_of_these_words_are_found_and_with_a_clue_too_many_they_are_not(
    demo: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The test of the test: what a clue leaves out is missed."""
    found = {words: _ids(demo, words) for words in ("zinnia", "b4", "L041", "kübel")}
    assert all(found.values())
    asked = Record._sought

    def wrongly(*about: Any) -> Steps[Asked]:
        query, _ = yield from asked(*about)
        return query, Clue((b"snapdragon",))

    monkeypatch.setattr(Record, "_sought", wrongly)
    assert _ids(demo, "zinnia") != found["zinnia"]


def test_an_entry_is_found_by_the_end_of_its_id(demo: Session) -> None:
    for entry in demo.recent():
        assert entry.id in _ids(demo, entry.id[-ID_SHOWN:].upper())


TEXT = st.text(st.characters(codec="utf-8", exclude_characters="\0"), min_size=1, max_size=12)
VALUES = st.one_of(
    TEXT, st.integers(-(2**40), 2**40), st.floats(-1e30, 1e30), st.booleans(), st.lists(TEXT, max_size=2)
)


@cases(100, least=15, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(fields=st.lists(st.tuples(VALUES, VALUES), min_size=1, max_size=6), data=st.data())
def test_whatever_stands_in_an_entry_is_found_by_any_part_of_it(
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
    fields: list[tuple[object, object]],
    data: st.DataObject,
) -> None:
    folder = tmp_path_factory.mktemp("any") / "farm"
    book = Book.create(folder, device="shed")
    drafts = [Draft("of a later shedbook", "2026-06-23", {"a": a, "b": b}) for a, b in fields]
    book.append(drafts, by="ml")
    book.close()
    session = Session.open(folder, by="ml", on=TODAY)
    told = str(data.draw(st.sampled_from([value for pair in fields for value in pair])))
    begin = data.draw(st.integers(0, max(len(told) - 1, 0)))
    words = told[begin : begin + data.draw(st.integers(1, 6))]
    found = _ids(session, words)
    with _without_clues(monkeypatch):
        assert _ids(session, words) == found
    session.close()


# logs with damage in them


def _entry(n: int, word: str) -> dict[str, object]:
    made = Entry(
        f"019f0000-0000-7000-8000-{n:012d}",
        "2026-06-23",
        "2026-06-23T05:00:00Z",
        "ml",
        "note",
        {"text": word},
    )
    return made.as_dict()


def _with(fd: int, clues: Sequence[Clue], ids: Collection[bytes]) -> list[Flat]:
    """What is found, in the order of the log: blocks come the last first."""
    blocks = [flats for _, flats in entries_with(fd, clues, ids)]
    return sorted((flat for flats in blocks for flat in flats), key=lambda flat: flat["id"])


WRITINGS = st.lists(
    st.lists(st.sampled_from(("wind", "Wind", "rain", "wínd", 'a "wind"', "L041")), min_size=1, max_size=4),
    max_size=8,
)
HARM = st.tuples(
    st.floats(0, 1), st.sampled_from((b"", b"\n", b"x", b"\0\0\0", b"\n\n", b"~cut off 20 0", b"+", b" "))
)


@cases(300, least=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example(writings=[["wind", "wind"]], harms=[(0.0, b"~cut off 20 0")], block=152)
@given(writings=WRITINGS, harms=st.lists(HARM, max_size=3), block=st.integers(150, 3000))
def test_in_a_damaged_log_an_entry_is_found_only_where_it_counts(
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
    writings: list[list[str]],
    harms: list[tuple[float, bytes]],
    block: int,
) -> None:
    n = 0
    log = b""
    for words in writings:
        bodies = [body_of(_entry(n + at, word)) for at, word in enumerate(words)]
        n += len(words)
        log += lines_of(bodies) if len(bodies) > 1 else line_of(bodies[0])
    for share, harm in harms:
        at = round(share * len(log))
        log = log[:at] + harm + log[at + (len(harm) == 1) :]
    path = tmp_path_factory.mktemp("damaged") / "shed.log"
    path.write_bytes(log)
    monkeypatch.setattr(sought, "BLOCK", block)
    fd = os.open(path, os.O_RDONLY)
    try:
        every = [flat for _, flats in Reader(fd).blocks() for flat in flats]
        some = _with(fd, [Clue((b"wind",))], ())
        of_code = _with(fd, [Clue(codes=frozenset((b"l041",)))], ())
        none = _with(fd, [Clue((b"wind",)), Clue((b"l041",))], {b"019f0000-0000-7000-8000-000000000002"})
    finally:
        os.close(fd)
    assert [flat for flat in some if "wind" in str(flat["text"]).lower()] == [
        flat for flat in every if "wind" in str(flat["text"]).lower()
    ]
    assert [flat for flat in of_code if flat["text"] == "L041"] == [
        flat for flat in every if flat["text"] == "L041"
    ]
    assert [flat for flat in none if str(flat["id"]).endswith("02")] == [
        flat for flat in every if str(flat["id"]).endswith("02")
    ]
    for found in (some, of_code, none):
        assert all(flat in every for flat in found)


def test_what_is_not_sought_is_not_decoded(tmp_path: Path) -> None:
    path = tmp_path / "shed.log"
    path.write_bytes(b"".join(line_of(body_of(_entry(n, "wind" if n == 7 else "rain"))) for n in range(50)))
    fd = os.open(path, os.O_RDONLY)
    try:
        (found,) = _with(fd, [Clue((b"wind",))], ())
    finally:
        os.close(fd)
    assert found["text"] == "wind"
