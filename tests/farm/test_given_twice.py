"""Two machines that each made L001: both lots are told apart, typed, completed and asked for, and old books open."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.codes import canonical
from core.fold import fold
from core.kinds import sentence
from core.session import Session
from tests.farms import Pencil, farm_in, small_farm, write
from tui.cli import main

DAY = date(2026, 6, 23)


@pytest.fixture
def session(tmp_path: Path) -> Session:
    """L001 is peony here, and of another machine zinnia; 3 of that were sold there, in the words of an older book."""
    lines = ("farm zone UTC", "bed b1 50ft", "bed b2 50ft", "plant peony b1 20ft", "plant zinnia b2 20ft")
    folder = farm_in(tmp_path / "farm", {"2026-06-22": (*lines, "40 peony b1 fresh")}).folder
    here = next(e for e in Session.open(folder, by="jm").entries() if e.kind == "cut")
    there = Book.open(folder, device="netbook")
    zinnia = {**here.fields, "crop": "zinnia", "bed": "b2", "planting": "P02", "stems": 25}
    zinnia = {name: value for name, value in zinnia.items() if name not in ("ref", "variety")}
    (cut,) = there.append([Draft("cut", "2026-06-23", zinnia)], by="jo")
    sold = {"lot": here.fields["lot"] + "'", "stems": 3, "source": "bucket", "ref": cut.id}
    there.append([Draft("sold", "2026-06-23", sold)], by="jo")
    there.close()
    return Session.open(folder, by="jm", on=DAY)


def _on_hand(session: Session) -> dict[str, int]:
    return {lot.code: lot.on_hand for lot in session.farm.lots.live()}


@pytest.mark.parametrize(
    ("typed", "code"),
    [("l3-2", "L003-2"), ("L003'", "L003-2"), ("l3''", "L003-3"), ("L041b-2", "L041b-2"), ("s1-2", "S01-2")],
)
def test_what_is_typed_is_understood_as_the_code(typed: str, code: str) -> None:
    assert canonical(typed) == code


def test_it_is_sold_and_corrected_by_a_code_with_no_quotes_in_it(session: Session) -> None:
    assert _on_hand(session) == {"L001": 40, "L001-2": 22}
    write(session, "sold 2 l1-2 to market", "lost 1 wilted L001")
    assert _on_hand(session) == {"L001": 39, "L001-2": 20}
    write(session, "L001-2 was 30")
    assert _on_hand(session) == {"L001": 39, "L001-2": 25}


def test_the_line_completes_it(session: Session) -> None:
    meant = session.complete("sold 2 L001-")
    assert "L001-2" in (meant.offers or ()) or meant.ghost.startswith("2")


def test_its_story_is_its_own_whatever_the_entries_called_it(session: Session) -> None:
    told = {}
    for code in ("L001", "L001-2"):
        story = session.history(code)
        assert isinstance(story, list)
        told[code] = [sentence(entry) for entry in story if entry.kind in ("cut", "sold")]
    assert told["L001"] == ["cut 40 peony from bed b1 for fresh: L001"]
    assert told["L001-2"] == [
        "cut 25 zinnia from bed b2 for fresh: L001-2",
        "sold 3 stems of L001-2 from the bucket",
    ]
    assert [sentence(e) for e in session.entries() if e.kind == "sold"] == told["L001-2"][1:]


def test_the_shell_takes_it_unquoted(session: Session, capsys: pytest.CaptureFixture[str]) -> None:
    for words in (("lot", "L001-2"), ("history", "l1-2"), ("write", "sold", "1", "L001-2")):
        assert main(["--farm", str(session.folder), "--on", "2026-06-23", *words]) == 0
    assert "L001-2 zinnia" in capsys.readouterr().out


def test_a_third_and_a_fourth_have_a_name_and_too_many_are_told() -> None:
    pencil: Pencil = small_farm().later(40)
    cut = {"lot": "L001", "crop": "zinnia", "bed": "b2", "use": "fresh", "stems": 5}
    made = [pencil.made("cut", **cut) for _ in range(30)]
    farm = fold([*pencil.entries, *made])
    assert {"L001", "L001-2", "L001-3", "L001-21"} <= {lot.code for lot in farm.lots.all()}
    assert any("could not be read" in matter.sentence for matter in farm.matters)
    assert fold([*pencil.entries, *made[::-1]]).lots.get("L001-21") is not None
