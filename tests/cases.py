"""How many cases a property, or a table of odd values, is tried on: a part of them by default, so that the suite stays
short, and all of them with `--hypothesis-profile=whole`, as .ci/run does once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

import pytest
from hypothesis import settings

WHOLE = 100
OneOf = TypeVar("OneOf")


def cases(most: int, least: int = 10, **more: Any) -> settings:
    """Settings for a property of which `most` cases are the whole; `least` are always tried."""
    return settings(
        max_examples=max(min(most, least), most * settings.default.max_examples // WHOLE),
        deadline=None,
        **more,
    )


def some_of(values: Sequence[OneOf], first: int, every: int = 3) -> Sequence[OneOf]:
    """Every third of the values, beginning at one that depends on `first`, or all of them. A test that asks for a part
    is marked `part`, so that .ci/run finds it."""
    return values if settings.default.max_examples >= WHOLE else values[first % every :: every]


def first_of(values: Iterable[OneOf], kept: int) -> list[Any]:
    """Parameters of a test, of which the first `kept` are tried always and the others with the long tests."""
    every = list(values)
    return [*every[:kept], *(pytest.param(value, marks=pytest.mark.long) for value in every[kept:])]
