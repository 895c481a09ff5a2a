"""The end weight and the dry-by time of a hanging bunch, from its weighings."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from core.problems import Problem
from core.reckon.drying.dryness import is_dry, stop_hours
from core.reckon.drying.faults import Weighing
from core.reckon.drying.fit import DryingFit, fit
from core.reckon.drying.moisture import WetBasis
from core.reckon.drying.ratio import Prior
from tui.cli import main


def weighings(text: str) -> list[Weighing]:
    return [Weighing(float(h), float(g)) for h, g in (part.split(":") for part in text.split(","))]


def fitted(text: str, **more: object) -> DryingFit:
    found = fit(weighings(text), **more)  # type: ignore[arg-type]
    assert isinstance(found, DryingFit), found
    return found


def refused(text: str) -> Problem:
    found = fit(weighings(text))
    assert isinstance(found, Problem)
    return found


def on_curve(
    hours: Sequence[float], final: float, water: float, rate: float, shape: float = 1.0
) -> list[Weighing]:
    return [Weighing(h, final + water * math.exp(-((rate * h) ** shape))) for h in hours]


class TestWorkedExamples:
    """100, 64 and 46 g at 24 h: (W1 W3 - W2^2) / (W1 + W3 - 2 W2) and ln((W1 - Wf) / (W2 - Wf)) / 24 by hand."""

    def test_three_at_equal_gaps_in_closed_form(self) -> None:
        found = fitted("0:100,24:64,48:46")
        assert found.curve.final_g == pytest.approx(28.0, abs=1e-9)
        assert found.curve.rate_per_hour == pytest.approx(math.log(2) / 24, abs=1e-9)
        assert found.curve.rate_per_hour == pytest.approx(0.028881, abs=5e-7)
        assert found.dry_at_hours == pytest.approx(103.7, abs=0.05)
        assert found.hours_to(0.02) == pytest.approx(135.5, abs=0.05)
        assert found.half_life_hours == pytest.approx(24)
        assert found.now_moisture_ratio == pytest.approx(0.25)
        assert found.form == "lewis"

    def test_four_at_uneven_gaps_by_least_squares(self) -> None:
        found = fitted("0:100,24:64,48:46,96:32.5")
        assert found.curve.final_g == pytest.approx(28, abs=1e-6)
        assert found.curve.water_g == pytest.approx(72, abs=1e-6)
        assert found.curve.rate_per_hour == pytest.approx(0.028881, abs=1e-6)
        assert found.form == "lewis"
        assert not found.enough  # heads slower than stems would weigh the same so far

    def test_three_at_uneven_gaps_by_least_squares(self) -> None:
        found = fit(on_curve([0, 30, 70], 28, 72, 0.0289))
        assert isinstance(found, DryingFit)
        assert found.curve.final_g == pytest.approx(28, abs=1e-6)
        assert found.curve.rate_per_hour == pytest.approx(0.0289, rel=1e-6)

    def test_leaving_out_the_first_weighing_changes_nothing_on_a_true_curve(self) -> None:
        found = fitted("24:64,48:46,72:37")
        assert found.reckoned_hours == pytest.approx(fitted("0:100,24:64,48:46").reckoned_hours)

    def test_hours_may_count_from_the_first_weighing_instead_of_the_hanging(self) -> None:
        found = fitted("0:64,24:46,48:37", hung_before=24)
        assert found.reckoned_hours + 24 == pytest.approx(fitted("24:64,48:46,72:37").reckoned_hours)

    def test_the_order_of_the_weighings_is_that_of_their_hours(self) -> None:
        assert fitted("48:46,0:100,24:64") == fitted("0:100,24:64,48:46")

    @pytest.mark.parametrize("shape", [0.85, 1.15, 1.25])
    def test_pages_form_where_the_weighings_bear_it(self, shape: float) -> None:
        found = fit(on_curve(range(0, 193, 24), 28, 72, 0.024, shape))
        assert isinstance(found, DryingFit)
        assert found.form == "page"
        assert found.curve.final_g == pytest.approx(28, abs=1e-6)
        assert found.curve.shape == pytest.approx(shape, abs=1e-6)
        assert found.curve.rate_per_hour == pytest.approx(0.024, rel=1e-6)


class TestWhatCannotBeDrying:
    @pytest.mark.parametrize(
        ("text", "code", "words"),
        [
            ("0:100,24:64", "not yet", "three weighings"),
            ("0:100", "not yet", "there is 1"),
            ("0:100,24:80,48:60", "not yet", "not slowing"),
            ("0:100,24:90,48:70", "not yet", "not slowing"),
            ("0:100,24:40,48:7,72:1,72.01:1", "impossible", "given twice"),
            ("0:100,24:64,24:46", "impossible", "given twice"),
            ("0:100,24:64,48:70", "impossible", "rises from 64 to 70"),
            ("0:100,24:100,48:100", "impossible", "nothing has dried"),
            ("0:100,24:64,48:64", "impossible", "stood still since hour 24"),
            ("0:103,24:65,48:66,72:65", "impossible", "snap test"),
            ("0:100,24:64,48:0", "impossible", "more than 0 g"),
            ("0:100,24:64,48:-5", "impossible", "more than 0 g"),
            ("-1:100,24:64,48:46", "impossible", "before 0"),
            ("0:100,24:nan,48:46", "impossible", "plain numbers"),
            ("0:inf,24:64,48:46", "impossible", "plain numbers"),
            ("0:1e8,24:64,99999:46", "impossible", "more than a year"),
            ("500:100,524:64,548:46", "impossible", "from the hanging"),
        ],
    )
    def test_it_is_refused_in_one_sentence(self, text: str, code: str, words: str) -> None:
        problem = refused(text)
        assert problem.code == code
        assert words in problem.sentence

    def test_an_end_weight_of_nothing_is_refused(self) -> None:
        """W1 + W3 - 2 W2 > 0 and yet Wf = (100 x 9 - 30^2) / 49 = 0."""
        assert refused("0:100,24:30,48:9").code == "not yet"

    def test_a_gram_up_at_the_end_is_the_scale_and_no_refusal(self) -> None:
        found = fitted("0:200,24:110,48:70,72:55,96:47,120:45,144:44,168:45")
        assert found.enough
        assert found.reckoned_hours < 168

    @settings(deadline=None)
    @given(
        st.lists(
            st.tuples(
                st.floats(allow_nan=True, allow_infinity=True), st.floats(allow_nan=True, allow_infinity=True)
            ),
            max_size=6,
        )
    )
    def test_whatever_is_written_gets_an_answer(self, pairs: list[tuple[float, float]]) -> None:
        found = fit([Weighing(h, g) for h, g in pairs])
        assert isinstance(found, Problem | DryingFit)

    @example([6, 8, 2, 2, 4], 1)
    @settings(deadline=None)
    @given(st.lists(st.integers(1, 300), min_size=3, max_size=7), st.integers(1, 60))
    def test_any_weights_get_an_answer_that_holds_together(self, grams: list[int], gap: int) -> None:
        found = fit([Weighing(float(i * gap), float(g)) for i, g in enumerate(grams)])
        if isinstance(found, Problem):
            assert found.sentence.endswith(".") and found.code in ("not yet", "impossible")
            return
        assert found.curve.final_g > 0 and found.curve.water_g > 0
        assert found.low_hours < found.high_hours
        assert 0 <= found.chance <= 1
        assert found.enough is (found.weigh_again_hours is None)


class TestKnownCurves:
    @settings(deadline=None)
    @given(
        fresh=st.integers(150, 400),
        left=st.floats(0.15, 0.4),
        days=st.floats(4, 12),
        reach=st.floats(1.0, 1.6),
        count=st.integers(5, 9),
    )
    def test_a_known_curve_weighed_to_the_gram_is_found_again(
        self, fresh: int, left: float, days: float, reach: float, count: int
    ) -> None:
        """Weighed until it is dry: the end weight, and the time to a tenth where it is said."""
        dry = 24 * days
        hours = [reach * dry * i / (count - 1) for i in range(count)]
        true = on_curve(hours, fresh * left, fresh * (1 - left), math.log(20) / dry)
        found = fit([Weighing(w.hours, float(round(w.grams))) for w in true])
        assert isinstance(found, DryingFit)
        assert 0.93 * found.low_hours <= dry <= 1.07 * found.high_hours
        if found.dry_at_hours is not None:
            assert found.curve.final_g == pytest.approx(fresh * left, rel=0.06, abs=1.0)
            assert found.dry_at_hours == pytest.approx(dry, rel=0.1)

    @settings(deadline=None)
    @given(
        fresh=st.floats(40, 400),
        left=st.floats(0.12, 0.5),
        rate=st.floats(0.005, 0.06),
        gaps=st.lists(st.floats(6, 60), min_size=4, max_size=6),
    )
    def test_without_noise_a_plain_curve_is_exact_and_another_is_never_early(
        self, fresh: float, left: float, rate: float, gaps: list[float]
    ) -> None:
        """A few early weighings fit a plain curve and one of two parts alike: the likelier is said, and errs late."""
        hours = [0.0]
        for gap in gaps:
            hours.append(hours[-1] + gap)
        assume(1 < rate * hours[-1] < 8)
        assume(rate * hours[1] < 3)
        found = fit(on_curve(hours, fresh * left, fresh * (1 - left), rate))
        assert isinstance(found, DryingFit)
        if found.form == "lewis":
            assert found.curve.final_g == pytest.approx(fresh * left, rel=1e-6)
            assert found.curve.rate_per_hour == pytest.approx(rate, rel=1e-6)
        else:
            dry = math.log(20) / rate
            assert dry <= found.high_hours
            assert not found.enough or abs(found.curve.dry_hours - dry) <= 24

    @settings(deadline=None)
    @given(st.floats(1.5, 20), st.floats(0, 1e3))
    def test_grams_or_ten_times_as_many_give_the_same_hours(self, times: float, _shift: float) -> None:
        small = fitted("0:100,24:64,48:46")
        large = fit([Weighing(w.hours, w.grams * times) for w in small.weighings])
        assert isinstance(large, DryingFit)
        assert large.reckoned_hours == pytest.approx(small.reckoned_hours)


class TestWhatTheCropTells:
    STRAWFLOWER = Prior(days=(7, 14), left=(0.17, 0.21))

    def test_it_may_put_off_a_short_series_and_never_hastens_it(self) -> None:
        text = "0:200,24:159,48:130,72:107"
        alone, leaning = fitted(text), fitted(text, prior=self.STRAWFLOWER)
        assert leaning.leaned and not alone.leaned
        assert leaning.low_hours > alone.low_hours + 12 and leaning.high_hours >= alone.high_hours
        hasty = fitted(text, prior=Prior(days=(2, 4), left=(0.4, 0.5)))
        assert hasty.high_hours >= alone.high_hours and not hasty.enough

    def test_weighings_to_the_end_overrule_it(self) -> None:
        """A bunch that keeps 35 % and dries in 4 days, against a sheet that says about 19 % and 7 to 14 days."""
        true = [
            Weighing(w.hours, round(w.grams)) for w in on_curve(range(0, 169, 24), 70, 130, math.log(20) / 96)
        ]
        found = fit(true, prior=self.STRAWFLOWER)
        assert isinstance(found, DryingFit)
        assert found.curve.final_g == pytest.approx(70, abs=1.0)
        assert found.reckoned_hours == pytest.approx(96, abs=5)

    @settings(deadline=None)
    @given(
        fresh=st.floats(60, 400),
        left=st.floats(0.12, 0.5),
        days=st.floats(2, 20),
    )
    def test_where_the_weighings_know_it_vanishes(self, fresh: float, left: float, days: float) -> None:
        dry = 24 * days
        true = on_curve([dry * i / 5 for i in range(9)], fresh * left, fresh * (1 - left), math.log(20) / dry)
        found = fit(true, prior=self.STRAWFLOWER)
        assert isinstance(found, DryingFit)
        assume(found.enough)
        if not found.leaned:
            assert found.curve.final_g == pytest.approx(fresh * left, rel=1e-6)
            assert found.reckoned_hours == pytest.approx(dry, rel=1e-6)
        assert found.reckoned_hours == pytest.approx(dry, abs=12)

    def test_without_a_crop_nothing_leans(self) -> None:
        assert fitted("0:100,24:64,48:46", prior=Prior()) == fitted("0:100,24:64,48:46")


class TestStopRule:
    BUNCH = "0:100,24:64,48:46,96:32.5"

    def test_both_halves_must_hold(self) -> None:
        """At hour 104 5 % of the water is left, but 5.7 % of the weight still goes in a day: not yet steady."""
        found = fitted(self.BUNCH)
        at_five = is_dry(found, 103.73)
        assert at_five.moisture_ratio == pytest.approx(0.05, abs=1e-4) and at_five.loss_in_a_day > 0.01
        assert not at_five.dry
        later = is_dry(found, 190)
        assert later.dry and later.loss_in_a_day < 0.01

    def test_from_when_on_both_hold(self) -> None:
        """72 r (1 - 1/2) < 0.01 (28 + 72 r), r the moisture ratio: r < 0.28 / 35.28, by hand; a half goes in 24 h."""
        found = fitted(self.BUNCH)
        ratio = 0.28 / 35.28
        assert stop_hours(found) == pytest.approx(24 * math.log2(1 / ratio), abs=1e-3)
        assert is_dry(found, stop_hours(found) + 0.1).dry
        assert not is_dry(found, stop_hours(found) - 0.1).dry

    def test_known_moisture_and_a_damp_room_hold_it_back(self) -> None:
        found = fitted(self.BUNCH)
        assert not is_dry(found, 190, moisture=WetBasis(0.14)).dry
        assert is_dry(found, 190, moisture=WetBasis(0.11)).dry
        damp = is_dry(found, 190, room_rh=70)
        assert not damp.dry and "gives water back" in damp.because[-1]
        assert is_dry(found, 190, room_rh=50).dry


class TestCommandLine:
    def test_the_worked_example_as_json(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["reckon", "drying", "--weights", "0:100,24:64,48:46", "--json"]) == 0
        value = json.loads(capsys.readouterr().out)
        assert value["final_g"] == 28.0
        assert value["rate_per_hour"] == 0.0289
        assert value["dry_at_hours"] == 103.7
        assert value["form"] == "lewis" and value["points"] == 3
        assert value["enough"] is False
        assert value["dry_at_low_hours"] < 103.7 < value["dry_at_high_hours"]

    def test_text_for_the_grower(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["reckon", "drying", "--weights", "0:100,24:64,48:46,96:32.5", "--why"]) == 0
        text = capsys.readouterr().out
        assert text.startswith("dry at about hour 104 if its drying is plain")
        assert text.isascii() and max(map(len, text.splitlines())) <= 78
        assert "weak" in text and "s41598-024-74751-4" in text

    def test_no_date_where_there_is_none_to_give(self, capsys: pytest.CaptureFixture[str]) -> None:
        weights = "0:80,6:77,12:75,24:70"
        assert main(["reckon", "drying", "--weights", weights, "--json"]) == 0
        value = json.loads(capsys.readouterr().out)
        assert value["dry_at_hours"] is None and value["enough"] is False
        assert "weigh again" in value["says"]

    def test_refusals(self, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["reckon", "drying", "--weights", "0:100,24:110,48:46"]) == 1
        printed = capsys.readouterr()
        assert printed.out == "" and "rises from 100 to 110 g" in printed.err
        assert main(["reckon", "drying", "--weights", "0:100,24:64,48:46", "--crop", "moonflowerish"]) == 1
        assert "moonflowerish" in capsys.readouterr().err
        for wrong in ("0:100,24", "0:a,24:b", "0-100"):
            assert main(["reckon", "drying", "--weights", wrong]) == 2

    def test_a_crop_is_leaned_on_only_when_named(self, capsys: pytest.CaptureFixture[str]) -> None:
        args = ["reckon", "drying", "--weights", "0:200,24:159,48:130,72:107", "--json", "--why"]
        assert main(args) == 0
        assert "leans" not in capsys.readouterr().out
        assert main([*args, "--crop", "strawflower"]) == 0
        assert "leans" in capsys.readouterr().out
