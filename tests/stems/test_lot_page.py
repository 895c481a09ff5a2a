"""A lot's own page: its numbers add up, its drying is drawn, its story told."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from core.lot_page import LotPage
from core.problems import Problem
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import DryingFit, fit
from core.reckon.drying.plot import drying_plot
from core.session import Session, Written
from tests.farms import farm_in
from tui.cli import main
from tui.lot_page import lot_lines, page_of
from tui.phrases import share_bar

WEIGHTS = (312, 223, 166, 131, 109, 95, 86, 80, 76, 74)
"""Off a plain curve that ends at 70 g and is dry in about 6 days, to the gram."""
BEGIN = date(2026, 6, 12)


def write(folder: Path, line: str, day: int) -> Written:
    written = Session.open(folder, by="KA", on=date(2026, 6, day)).write(line)
    assert isinstance(written, Written), written
    return written


@pytest.fixture
def farm(tmp_path: Path) -> Path:
    weighed = {f"2026-06-{12 + n}": (f"L001 {grams}g",) for n, grams in enumerate(WEIGHTS)}
    cut = ("40 strawflower b3 dry stage 'pollen showing' culls 3 blown", "hang L001 line 1 10s")
    days = {
        "2026-06-01": ("farm zone UTC", "bed b3 50ft", "plant strawflower b3 20ft"),
        **weighed,
        "2026-06-12": (*cut, *weighed["2026-06-12"]),
        "2026-06-17": (*weighed["2026-06-17"], "lost 4 mold L001"),
    }
    return farm_in(tmp_path / "farm", days, by="KA").folder


def page(folder: Path, day: int = 21) -> LotPage:
    found = page_of(Session.open(folder, by="KA", on=date(2026, 6, day)), "l1")
    assert isinstance(found, LotPage), found
    return found


def test_every_stem_is_accounted_for(farm: Path) -> None:
    found = page(farm)
    assert found.balanced
    assert found.cut == found.on_hand + found.sold + found.used + found.lost
    assert (found.on_hand, found.lost) == (36, 7)
    assert found.lost_by_cause == {"blown": 3, "mold": 4}
    assert [(loss.form, loss.cause, loss.stems) for loss in found.losses] == [
        ("cut", "blown", 3),
        ("hanging", "mold", 4),
    ]
    assert found.stage == "pollen showing"
    ((place,),) = [found.places]
    assert (place.place, place.stems, place.per, place.form) == ("line 1", 36, 10, "hanging")


def test_its_drying_by_its_weighings(farm: Path) -> None:
    found = page(farm)
    assert found.drying is not None and found.drying.enough
    assert found.drying.dry_about == "2026-06-18"
    assert found.drying.final_g == pytest.approx(70, abs=3)
    assert found.hanging[0].speaks == "weighings"
    assert [w.grams for w in found.weighings] == list(WEIGHTS)
    assert found.weighings[3].hours == 72 and found.weighings[0].left == 1


def test_read_as_of_a_day_before_it_knows_no_more_than_then(farm: Path) -> None:
    early = page(farm, 13)
    assert len(early.weighings) == 2 and early.on_hand == 40
    assert early.drying is not None and not early.drying.enough
    assert "three weighings" in early.drying.says
    assert all(told.on <= "2026-06-13" for told in early.story)


def test_its_story_begins_in_the_bed(farm: Path) -> None:
    says = [told.says for told in page(farm).story]
    assert says[0].startswith("set out P01") and any(s.startswith("cut 40") for s in says)
    assert sum(s.startswith("weighed") for s in says) == len(WEIGHTS)


def test_a_struck_weighing_is_told_as_struck_and_not_reckoned_with(farm: Path) -> None:
    written = write(farm, "L001 300g at 18:00", 17)
    write(farm, f"strike {written.entries[0].id}", 17)
    found = page(farm)
    assert len(found.weighings) == len(WEIGHTS)
    assert any(told.struck and "300 g" in told.says for told in found.story)


def test_an_unknown_lot_is_refused_with_those_there_are(farm: Path) -> None:
    problem = page_of(Session.open(farm, by="KA"), "L077")
    assert isinstance(problem, Problem)
    assert "no lot L077" in problem.sentence and problem.nearest == ("L001",)


class TestPlot:
    START = datetime(2026, 6, 12, 7, tzinfo=UTC)
    WEIGHINGS = tuple(Weighing(24.0 * n, float(g)) for n, g in enumerate(WEIGHTS))

    @pytest.mark.parametrize("width", [40, 76, 120])
    @pytest.mark.parametrize("count", [1, 2, 3, 6])
    def test_it_is_ascii_and_no_wider_than_asked(self, width: int, count: int) -> None:
        found = fit(self.WEIGHINGS[:count])
        rows = drying_plot(
            self.WEIGHINGS[:count],
            self.START,
            found if isinstance(found, DryingFit) else None,
            width=width,
        )
        assert all(line.isascii() for line in rows)
        assert max(map(len, rows[:-1])) <= width
        assert sum(line.count("o") for line in rows[:-3]) == count

    def test_every_weighing_stands_where_it_belongs(self) -> None:
        found = fit(self.WEIGHINGS)
        assert isinstance(found, DryingFit)
        rows = drying_plot(self.WEIGHINGS, self.START, found)
        assert rows[0].startswith(" 312 g |o")
        heights = [next(i for i, line in enumerate(rows) if len(line) > c and line[c] == "o") for c in
                   sorted(c for line in rows[:-3] for c, sign in enumerate(line) if sign == "o")]  # fmt: skip
        assert heights == sorted(heights)
        assert "12 Jun" in rows[-2] and "18 Jun" in rows[-2]
        assert "|" in rows[1][8:]

    def test_nothing_weighed_is_no_plot(self) -> None:
        assert drying_plot((), self.START) == ()


class TestCommandLine:
    def test_the_page_fits_80_columns_and_a_plain_terminal(
        self, farm: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert main(["--farm", str(farm), "--on", "2026-06-21", "lot", "L001"]) == 0
        text = capsys.readouterr().out
        assert text.isascii() and max(map(len, text.splitlines())) <= 80
        assert "43 cut = 36 on hand + 0 sold + 0 used + 7 lost" in text
        assert "pollen showing" in text and "o weighed" in text
        assert next(lot_lines(page(farm))) == "L001 strawflower"

    def test_as_json(self, farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["--farm", str(farm), "--on", "2026-06-21", "lot", "L001", "--json"]) == 0
        value = json.loads(capsys.readouterr().out)
        assert value["balanced"] is True and value["drying"]["enough"] is True
        assert value["hanging"][0]["speaks"] == "weighings"

    def test_the_shelf_says_how_far_and_by_what(self, farm: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["--farm", str(farm), "--on", "2026-06-21", "shelf"]) == 0
        text = capsys.readouterr().out
        assert "weights" in text and "########" in text and "nine times in ten" in text
        assert main(["--farm", str(farm), "--on", "2026-06-21", "shelf", "--csv"]) == 0
        assert "dry by" in capsys.readouterr().out.splitlines()[0]


def test_a_bar_is_full_when_all_is_done() -> None:
    assert tuple(share_bar(share, 8) for share in (0, 0.5, 1)) == ("--------", "####----", "########")
