"""A hanging bunch weighed in one line: written, refused, and what it teaches of the crop."""

from __future__ import annotations

import pytest

from core.book.entry import Entry
from core.farm import Farm
from core.language.read import Reading, read_line
from core.problems import Problem
from tests.farms import TODAY, Pencil, beds, guide_farm


@pytest.fixture(scope="module")
def farm() -> Farm:
    return guide_farm()


def hanging(crop: str = "strawflower", start: str = "2026-06-20", line: str = "line 1") -> Pencil:
    pencil = beds("b1", start=start)
    pencil.write("cut", lot="L001", crop=crop, bed="b1", use="dry", stems=40)
    pencil.write("hung", lot="L001", stems=40, source="bucket", line=line, per=10)
    return pencil


@pytest.mark.parametrize(
    ("text", "grams", "clock", "on"),
    [
        ("L038 412g", 412, None, "2026-06-23"),
        ("l38 412 g", 412, None, "2026-06-23"),
        ("weigh L038 412g", 412, None, "2026-06-23"),
        ("weigh L038 412", 412, None, "2026-06-23"),
        ("weighed L038 line 2 412 g at 6:40", 412, "06:40", "2026-06-23"),
        ("weigh strawflower 0.412kg yesterday", 412, None, "2026-06-22"),
        ("weigh L038 14.5 oz", 411.1, None, "2026-06-23"),
        ("weigh L038 2lb", 907.2, None, "2026-06-23"),
        ("weigh L038 86.5g", 86.5, None, "2026-06-23"),
    ],
)
def test_a_weight_in_one_line(farm: Farm, text: str, grams: float, clock: str | None, on: str) -> None:
    reading = read_line(text, farm, TODAY)
    assert isinstance(reading, Reading), reading
    (draft,) = reading.drafts
    assert (draft.kind, draft.on) == ("weighed", on)
    assert draft.fields["lot"] == "L038" and draft.fields["source"] == "line 2"
    assert draft.fields["grams"] == pytest.approx(grams)
    assert draft.fields.get("clock") == clock


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("weigh L038", "How heavy"),
        ("weigh L041 100g", "nothing on a line"),
        ("weigh L038 412g 300g", "one bunch has one weight"),
        ("weigh L038 line 3 412g", "nothing on line 3"),
        ("weigh L099 412g", "no lot L099"),
        ("weigh L038 412g floof", "floof"),
    ],
)
def test_a_line_that_cannot_be_weighed(farm: Farm, text: str, words: str) -> None:
    problem = read_line(text, farm, TODAY)
    assert isinstance(problem, Problem) and words in problem.sentence


def test_a_gauge_is_still_a_gauge(farm: Farm) -> None:
    reading = read_line("wire 24 L041 22g", farm, TODAY)
    assert isinstance(reading, Reading) and reading.drafts[0].kind == "wired"


def test_weighings_stand_in_the_order_of_their_time() -> None:
    pencil = hanging()
    pencil.later(2)
    pencil.write("weighed", lot="L001", source="line 1", grams=300, clock="07:30")
    pencil.write("weighed", lot="L001", source="line 1", grams=400, on="2026-06-20", clock="18:00")
    pencil.write("weighed", lot="L001", source="line 1", grams=340, on="2026-06-21")
    lot = pencil.farm.lots.get("L001")
    assert lot is not None
    assert [(w[0], w[1], w[3]) for w in lot.weighings] == [
        ("2026-06-20", "18:00", 400),
        ("2026-06-21", None, 340),
        ("2026-06-22", "07:30", 300),
    ]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"source": "bucket", "grams": 400}, "Only what hangs"),
        ({"source": "line 4", "grams": 400}, "does not hang on line 4"),
        ({"source": "line 1", "grams": 0}, "no weight of a bunch"),
        ({"source": "line 1", "grams": 25_000}, "no weight of a bunch"),
        ({"source": "line 1", "grams": 400, "on": "2026-06-20"}, "already"),
        ({"source": "line 1", "grams": 400, "lot": "L007"}, "L007"),
    ],
)
def test_what_the_book_does_not_take(fields: dict[str, object], words: str) -> None:
    pencil = hanging()
    pencil.write("weighed", lot="L001", source="line 1", grams=420)
    pencil.later(1)
    refused = pencil.refusal("weighed", **{"lot": "L001", **fields})  # type: ignore[arg-type]
    assert refused is not None and words in refused.sentence


def test_before_it_was_hung_it_cannot_have_been_weighed() -> None:
    pencil = beds("b1", start="2026-06-18")
    pencil.write("cut", lot="L001", crop="statice", bed="b1", use="dry", stems=40)
    pencil.later(2)
    pencil.write("hung", lot="L001", stems=40, source="bucket", line="line 1")
    refused = pencil.refusal("weighed", on="2026-06-19", lot="L001", source="line 1", grams=300)
    assert refused is not None and "hung on 2026-06-20" in refused.sentence


class TestFreshToDry:
    def test_from_the_first_weighing_to_the_snap(self) -> None:
        pencil = hanging()
        pencil.write("weighed", lot="L001", source="line 1", grams=400)
        pencil.later(9)
        pencil.write("weighed", lot="L001", source="line 1", grams=84)
        assert pencil.farm.dry_ratios == {}
        pencil.write("tested", lot="L001", result="snaps")
        assert pencil.farm.dry_ratios == {"strawflower": [("L001", 400, 84)]}

    def test_from_the_first_weighing_to_the_box(self) -> None:
        pencil = hanging()
        pencil.write("weighed", lot="L001", source="line 1", grams=400)
        pencil.later(9)
        pencil.write("weighed", lot="L001", source="line 1", grams=84)
        pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=4, per=10)
        assert pencil.farm.dry_ratios == {"strawflower": [("L001", 400, 84)]}

    def test_weighed_once_more_after_the_snap(self) -> None:
        pencil = hanging()
        pencil.write("weighed", lot="L001", source="line 1", grams=400)
        pencil.later(9)
        pencil.write("tested", lot="L001", result="snaps")
        pencil.write("weighed", lot="L001", source="line 1", grams=80)
        assert pencil.farm.dry_ratios == {"strawflower": [("L001", 400, 80)]}

    def test_a_bunch_first_weighed_half_dry_teaches_nothing(self) -> None:
        pencil = hanging()
        pencil.later(4)
        pencil.write("weighed", lot="L001", source="line 1", grams=200)
        pencil.later(5)
        pencil.write("weighed", lot="L001", source="line 1", grams=84)
        pencil.write("tested", lot="L001", result="snaps")
        assert pencil.farm.dry_ratios == {}

    @pytest.mark.parametrize("weights", [(400, 372), (400, 300, 238, 190, 155), (350, 200, 150, 120, 40)])
    def test_nor_does_one_whose_weight_was_falling_yet(self, weights: tuple[int, ...]) -> None:
        """Boxed on its second day; called dry while it lost a tenth a day; and a slip of the pen at the end."""
        pencil = hanging()
        for grams in weights:
            pencil.write("weighed", lot="L001", source="line 1", grams=grams)
            pencil.later(1)
        pencil.write("tested", lot="L001", result="snaps")
        pencil.write("boxed", lot="L001", source="line 1", box="box 1", bunches=4, per=10)
        assert pencil.farm.dry_ratios == {}

    def test_nor_does_one_last_weighed_a_week_before_it_snapped(self) -> None:
        pencil = hanging()
        pencil.write("weighed", lot="L001", source="line 1", grams=400)
        pencil.later(2)
        pencil.write("weighed", lot="L001", source="line 1", grams=200)
        pencil.later(7)
        pencil.write("tested", lot="L001", result="snaps")
        assert pencil.farm.dry_ratios == {}


def test_a_weighing_of_a_lot_the_book_does_not_have_is_a_matter_to_settle() -> None:
    pencil = hanging()
    stray = pencil.made("weighed", lot="L044", source="line 1", grams=100)
    assert isinstance(stray, Entry)
    pencil.entries.append(stray)
    assert any("L044" in m.sentence for m in pencil.farm.matters)
