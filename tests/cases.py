"""How many cases a property is tried on: a part of them by default, so that the suite stays short, and all of them with
`--hypothesis-profile=whole`, as .ci/run does once."""

from __future__ import annotations

from typing import Any

from hypothesis import settings

WHOLE = 100


def cases(most: int, **more: Any) -> settings:
    """Settings for a property of which `most` cases are the whole; at least ten are always tried."""
    return settings(
        max_examples=max(min(most, 10), most * settings.default.max_examples // WHOLE), deadline=None, **more
    )
