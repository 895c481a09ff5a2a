"""Every line of the guide can be typed as it stands, and written."""

from __future__ import annotations

import pytest

from core.book.entry import Entry
from core.farm import Farm
from core.fold import check, fold
from core.language.guide import Example, guide
from core.language.line import Known
from core.language.read import Reading, understand
from core.subject import verbs
from tests.farms import TODAY, guide_entries, guide_farm, in_guide

EXAMPLES = [example for job in guide() for example in job.examples]


@pytest.fixture(scope="module")
def farm() -> Farm:
    return guide_farm()


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.line)
def test_an_example_of_the_guide_can_be_written(farm: Farm, example: Example) -> None:
    reading = understand(example.line, farm, TODAY, Known(find=in_guide))[1]
    assert isinstance(reading, Reading), reading.sentence
    before: list[Entry] = []
    for draft in reading.drafts:  # each on the farm as those before it leave it
        problem = check(fold([*guide_entries(), *before]) if before else farm, draft, TODAY.isoformat())
        assert problem is None, problem.sentence
        before.append(
            Entry(f"said {len(before)}", draft.on, f"{draft.on}T12:00:00Z", "ml", draft.kind, draft.fields)
        )


def test_the_guide_fits_a_screen_of_80_columns() -> None:
    for line, does in EXAMPLES:
        assert len(line) <= 50
        assert len(does) <= 72


def test_the_guide_leaves_out_no_kind_of_line(farm: Farm) -> None:
    shown = {
        line.said.name
        for example in EXAMPLES
        if (line := understand(example.line, farm, TODAY, Known(find=in_guide))[0]) and line.said
    }
    told_beside = {"net", "cover", "uncover", "strike", "restore"}
    """These stand in the explanation of an example."""
    assert shown | told_beside == {verb.name for verb in verbs()}
    words = " ".join(example.does for example in EXAMPLES)
    assert all(
        verb in words for verb in told_beside - {"strike"} | {"cancel"}
    )  # cancel is how strike is said
