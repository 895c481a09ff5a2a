"""No fault in a view, and nothing that is written or merged, keeps the screen from opening or the others from use."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NoReturn

import pytest
from textual.pilot import Pilot

from core.book.book import Book
from core.book.entry import Draft
from core.crops.sheet import FIGURES, KINDS
from core.error_log import NAME as LOG
from core.error_log import path as log_path
from core.session import Session
from tests.farm.busy_farm import busy
from tests.farm.every_kind import DAY
from tui.app import ShedApp

from .test_morning import shown

pytestmark = pytest.mark.usefixtures("own_state")


def _log() -> Path:
    found = log_path()
    assert found is not None
    return found


Open = Callable[[], ShedApp]

READ_BY = {
    "1": ("Today", "tui.views.today.morning"),
    "2": ("Trays", "tui.subjects.trays.tray_rows"),
    "3": ("Beds", "tui.subjects.beds.bed_rows"),
    "5": ("Buckets", "tui.subjects.fresh.fresh_rows"),
    "6": ("Shelf", "tui.subjects.drying.shelf_rows"),
    "7": ("Bench", "tui.subjects.pieces.bench_rows"),
    "8": ("Stock", "tui.subjects.stems.stock_rows"),
    "9": ("Plan", "tui.subjects.plans.season_strip"),
    "0": ("Weather", "tui.subjects.weather.tonight_or_now"),
}
"""Key -> the view, and what it reads."""


def _broken(*_args: object, **_named: object) -> NoReturn:
    raise LookupError("\x1b[2J nothing there")


async def _can_write(app: ShedApp, pilot: Pilot[int]) -> None:
    app.give_keys(to_entry=True)
    app.entry.fill("note all is wel")
    await pilot.press("l", "enter")
    assert "note: all is well" in shown(app) and app.entry.value == ""


@pytest.mark.usefixtures("guarded")
async def test_a_view_that_fails_is_one_line_and_all_others_are_there(
    opened: Open, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as broken:
        for _, reads in READ_BY.values():
            broken.setattr(reads, _broken)
        app = opened()
        async with app.run_test() as pilot:
            for key, (name, _) in READ_BY.items():
                await pilot.press(key)
                assert f"{name} could not be reckoned: see {LOG}." in shown(app)
            await pilot.press("4")
            assert "peony" in shown(app), "the cut view reads none of these"
            await pilot.press("escape")
            broken.undo()
            await _can_write(app, pilot)
            await pilot.press("escape", "2")
            assert "snapdragon" in shown(app), "read anew once it can be"
    assert _log().read_text().count("Traceback") == len(READ_BY)


@pytest.mark.usefixtures("guarded")
async def test_what_stands_above_or_below_a_list_may_fail_and_the_list_is_there(
    opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    for broken in (
        "tui.subjects.trays.Trays.detail",
        "tui.subjects.cutting.card_for",
        "tui.subjects.plans.Plan.above",
    ):
        monkeypatch.setattr(broken, _broken)
    app = opened()
    async with app.run_test() as pilot:
        for key, still in (("2", "snapdragon"), ("4", "peony"), ("9", "room free")):
            await pilot.press("escape", key)
            assert still in shown(app) and f"could not be reckoned: see {LOG}" in shown(app)
        await _can_write(app, pilot)


@pytest.mark.usefixtures("guarded")
async def test_a_line_that_cannot_be_completed_is_typed_and_written_all_the_same(
    opened: Open, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("core.language.complete.understand", _broken)
    app = opened()
    async with app.run_test() as pilot:
        await _can_write(app, pilot)


def _book(folder: Path, extra: list[Draft]) -> Session:
    book = Book.create(folder, device="shed")
    entries = book.append([Draft(e.kind, e.on, e.fields) for e in busy().entries], by="ml")
    beds = [Draft("strike", DAY.isoformat(), {"entry": e.id}) for e in entries if e.kind == "bed"]
    book.append([*extra, *beds], by="ml")
    return Session.open(folder, by="ml", on=DAY)


NUMBERS = [name for name, kind in KINDS.items() if kind in ("Span", "float")]
VALUES: Mapping[str, Callable[[str], str]] = {
    "none that can be": lambda name: "-1000000000",
    "the least": lambda name: f"{FIGURES[name].least:.2f}".rstrip("0").rstrip("."),
    "the most": lambda name: f"{FIGURES[name].most:.0f}",
}


async def _opens_and_goes_on(folder: Path, figures: list[tuple[str, str]], keys: Sequence[str]) -> None:
    """Faults are raised here: one anywhere ends the screen, and the test."""
    today = DAY.isoformat()
    sheets = [
        Draft("sheet", today, {"crop": crop, "figure": name, "value": value})
        for crop in ("zinnia", "strawflower")
        for name, value in figures
    ]
    session = _book(folder, sheets)
    unused = [matter for matter in session.farm.matters if "It is not used" in matter.sentence]
    assert len(unused) == 2 * sum(value.startswith("-1000") for _, value in figures)
    app = ShedApp(session, None, folder)
    async with app.run_test() as pilot:
        for key in "1234567890":
            await pilot.press("escape", key, *keys)
            assert app.is_open and "could not be reckoned" not in shown(app)
        await pilot.press("escape", "6", "enter")
        assert app.open_view == "lot"
        await pilot.press("escape")
        await _can_write(app, pilot)
    assert not _log().exists()


async def test_with_figures_from_elsewhere_and_every_bed_struck_every_view_opens(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    ways = list(VALUES.values())
    figures = [(name, ways[i % 3](name)) for i, name in enumerate(NUMBERS)]
    await _opens_and_goes_on(tmp_path / "farm", figures, ())


@pytest.mark.long
@pytest.mark.parametrize("which", VALUES)
async def test_with_all_figures_so_and_every_bed_struck_every_view_opens(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, which: str
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    figures = [(name, VALUES[which](name)) for name in NUMBERS]
    await _opens_and_goes_on(tmp_path / "farm", figures, ("down", "down", "end"))
