"""What stands already counts first: what comes again by its own record, beds of this season by their day."""

from __future__ import annotations

from datetime import date

import pytest

from core.language.read import Reading, read_line
from core.plans.lines import read_wish
from core.plans.preview import Preview, preview
from core.plans.rows import plan_rows
from core.plans.wish import Wanted
from core.problems import Problem
from tests.farms import Pencil, beds


def farm(start: str = "2025-04-01") -> Pencil:
    return beds("b1", "b2", "b3", start=start, last_frost="05-14", first_frost="09-28")


def stand(
    pencil: Pencil, crop: str, plants: int, on: str, feet: float = 40, first_cut: str | None = None
) -> None:
    """A planting in b1, perhaps first cut on a day; the pencil is then at that day."""
    pencil.today = date.fromisoformat(on)
    pencil.write("set out", planting="P01", crop=crop, bed="b1", feet=feet, plants=plants)
    if first_cut is not None:
        pencil.today = date.fromisoformat(first_cut)
        pencil.write("cut", lot="L001", crop=crop, bed="b1", planting="P01", use="fresh", stems=20)


def seen(pencil: Pencil, line: str) -> Preview | Problem:
    wish = read_wish(line, pencil.farm, pencil.today)
    assert isinstance(wish, Wanted), wish
    return preview(pencil.farm, wish, pencil.today)


@pytest.mark.parametrize(
    ("crop", "plants", "first_cut", "wish", "sure"),
    [
        ("peony", 90, "2025-06-05", "plan 40 peony fresh by 2026-06-20", 0.9),
        # open for two to three weeks, ten days early or late: no number of bulbs makes one day sure
        ("tulip", 800, "2025-05-02", "plan 100 tulip fresh by 2026-05-15", 0.6),
        ("yarrow", 60, "2025-06-20", "plan 120 yarrow dry by 2026-09-01", 0.95),
    ],
)
def test_what_comes_again_meets_a_wish_with_nothing_sown(
    crop: str, plants: int, first_cut: str, wish: str, sure: float
) -> None:
    pencil = farm()
    stand(pencil, crop, plants, "2025-04-02", first_cut=first_cut)
    pencil.today = date(2026, 3, 1)
    view = seen(pencil, wish)
    assert isinstance(view, Preview), view
    (plan,) = view.plans
    assert (plan.seeds, plan.sow_on, plan.plants_out, plan.stands) == (None, None, 0, ("P01",))
    assert plan.promise.chance >= sure
    # it begins about its day of last year
    assert abs((plan.first_cut[0] - date.fromisoformat(first_cut)).days - 365) <= 11


def test_what_never_was_cut_is_not_counted_on() -> None:
    pencil = farm()
    stand(pencil, "peony", 60, "2025-04-02")
    pencil.today = date(2026, 3, 1)
    refused = seen(pencil, "plan 40 peony fresh by 2026-06-18")
    assert isinstance(refused, Problem) and "own record" in refused.sentence


def test_too_few_stand_and_the_chance_says_so() -> None:
    pencil = farm()
    stand(pencil, "peony", 5, "2025-04-02", first_cut="2025-06-05")
    pencil.today = date(2026, 3, 1)
    view = seen(pencil, "plan 40 peony fresh by 2026-06-18")
    assert isinstance(view, Preview)
    assert view.plans[0].promise.chance < 0.5
    assert any("nothing more can be planted" in step.says for step in view.steps)


def test_a_bed_of_this_season_gives_part_and_only_the_rest_is_sown() -> None:
    pencil = farm("2026-03-20")
    alone = seen(pencil, "plan 200 statice dry by 2026-10-01")
    stand(pencil, "statice", 40, "2026-03-25")
    beside = seen(pencil, "plan 200 statice dry by 2026-10-01")
    assert isinstance(alone, Preview) and isinstance(beside, Preview)
    assert 0 < beside.plans[0].wish.stems < 200
    assert beside.plans[0].plants_out < alone.plans[0].plants_out
    first = beside.plans[0].steps[0]
    assert first.name == "what stands" and "of 200 stems surely" in first.says and first.source
    assert beside.drafts[0].fields["stems"] == beside.plans[0].wish.stems


def test_what_one_plan_counts_on_no_other_does() -> None:
    pencil = farm()
    stand(pencil, "peony", 60, "2025-04-02", first_cut="2025-06-05")
    pencil.today = date(2026, 3, 1)
    line = "plan 40 peony fresh by 2026-06-18"
    read = read_line(line, pencil.farm, pencil.today)
    assert isinstance(read, Reading), read
    assert any("nothing is to be sown" in remark for remark in read.remarks)
    (draft,) = read.drafts
    pencil.write(draft.kind, **draft.fields)
    (row,) = plan_rows(pencil.farm, pencil.today)
    assert (row.next, row.sow, row.set_out) == ("cut", None, None)
    assert "P01" in row.because
    assert isinstance(seen(pencil, line), Problem)
    pencil.today = date(2026, 6, 12)
    pencil.write("cut", lot="L002", crop="peony", bed="b1", planting="P01", use="fresh", stems=45)
    assert plan_rows(pencil.farm, pencil.today)[0].next == ""
