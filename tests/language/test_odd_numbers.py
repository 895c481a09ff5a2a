"""Every number of every line of the guide, replaced by one that cannot be: refused in a sentence or taken, no fault."""

from __future__ import annotations

import re

import pytest

from core.farm import Farm
from core.fold import check
from core.language.guide import guide
from core.language.line import Known
from core.language.read import Reading, understand
from tests.cases import some_of
from tests.farms import TODAY, guide_farm, in_guide

EXPONENT = re.compile(r"\de[+-]?\d")
NUMBER = re.compile(r"\d+(?:\.\d+)?")
ODD = ("0", "-1", "1000000000", "1e9", "9" * 40, "0.0001", "1/0")
LINES = sorted({example.line for job in guide() for example in job.examples if NUMBER.search(example.line)})


@pytest.fixture(scope="module")
def farm() -> Farm:
    return guide_farm()


@pytest.mark.part
def test_no_number_ends_in_a_fault(farm: Farm) -> None:
    faults = []
    for at, line in enumerate(LINES):
        for place, number in enumerate(NUMBER.finditer(line)):
            for odd in some_of(ODD, at + place):
                text = line[: number.start()] + odd + line[number.end() :]
                for typed in (text, f"{text} anyway"):
                    try:
                        told = _try(typed, farm)
                    except Exception as fault:
                        faults.append(f"{typed}: {fault!r}")
                    else:
                        faults += [f"{typed}: {told}"] * bool(EXPONENT.search(told) and odd != "1e9")
    assert faults == []


def _try(typed: str, farm: Farm) -> str:
    """What is said to it."""
    reading = understand(typed, farm, TODAY, Known(find=in_guide))[1]
    if not isinstance(reading, Reading):
        assert reading.sentence.endswith((".", "?"))
        return reading.sentence
    told = [reading.says, *reading.remarks]
    for draft in reading.drafts:
        refused = check(farm, draft, TODAY.isoformat())
        assert refused is None or refused.sentence
        told += [refused.sentence] if refused else []
    return " ".join(told)
