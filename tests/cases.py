"""How many cases a property, or a table of odd values, is tried on: a part of them by default, so that the suite stays
short, and all of them with `--hypothesis-profile=whole`, as .ci/run does once."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar

from hypothesis import settings

WHOLE = 100
OneOf = TypeVar("OneOf")


def cases(most: int, **more: Any) -> settings:
    """Settings for a property of which `most` cases are the whole; at least ten are always tried."""
    return settings(
        max_examples=max(min(most, 10), most * settings.default.max_examples // WHOLE), deadline=None, **more
    )


def some_of(values: Sequence[OneOf], first: int, every: int = 3) -> Sequence[OneOf]:
    """Every third of the values, beginning at one that depends on `first`, or all of them. A test that asks for a part
    is marked `part`, so that .ci/run finds it."""
    return values if settings.default.max_examples >= WHOLE else values[first % every :: every]
