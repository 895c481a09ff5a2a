"""What the JSON of an entry may hold: only what every reader of a book can take in, keep and write again.

A log may have been changed by another program, or come from a stranger. Half a surrogate pair, a number without
end or lists nested a thousand deep would pass the reading and break whatever comes after it, every time; so a
line that holds such a thing is no entry, like one whose checksum does not fit.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from typing import Any

from core.patterns import pattern

DEEPEST = 8
"""Lists and objects within one another in an entry's fields."""
LARGEST_WHOLE = 1 << 53
"""Whole numbers stay below it: JSON readers elsewhere keep them exactly only so far (RFC 8259, section 6)."""

_NEVER = pattern("[\0\ud800-\udfff]")
"""What no text of an entry holds; other control characters are kept, and cleaned where they are shown."""


def read_fit(body: bytes) -> dict[str, Any]:
    """The object in the JSON bytes of one entry; ValueError, TypeError or RecursionError where it is not fit."""
    flat = _ONCE_EACH.decode(body.decode())
    if not isinstance(flat, dict) or not _fit(flat, 0):
        raise ValueError("no object that an entry may be")
    return flat


def read_all_fit(bodies: Sequence[bytes]) -> list[dict[str, Any]]:
    """The objects in the JSON bytes of many entries, read together, which is far faster than one by one.

    Raises as `read_fit` does where any of them is not fit.
    """
    data = b",".join(bodies)
    flats: list[dict[str, Any]] = _READER.decode((b"[" + data + b"]").decode())
    within = data.count(b'":{')  # a correction holds the fields that it changes
    names = sum(map(len, flats))
    if within:
        names += sum(len(value) for flat in flats for value in flat.values() if type(value) is dict)
    plain = (
        data.count(b"\\") == data.count(b'\\"')
        and b"[" not in data
        and data.count(b"{") == len(bodies) + within
        and data.count(b'":') == names  # no name twice, and nothing deeper
        and _LONG_NUMBER not in data.translate(_TO_NOUGHTS)
    )
    return flats if plain else [read_fit(body) for body in bodies]


def is_fit(value: Any) -> bool:
    """Whether `value`, read by any reader of JSON, is an object that an entry may be."""
    return isinstance(value, dict) and _fit(value, 0)


def _fit(value: Any, depth: int) -> bool:
    if isinstance(value, str):
        return not _NEVER.search(value)
    if isinstance(value, float):
        return math.isfinite(value)
    if isinstance(value, int):
        return abs(value) < LARGEST_WHOLE
    if depth > DEEPEST:
        return False
    if isinstance(value, list):
        return all(_fit(item, depth + 1) for item in value)
    if isinstance(value, dict):
        return all(_fit(key, depth) and _fit(item, depth + 1) for key, item in value.items())
    return value is None


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number of JSON")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("a number without end")
    return number


def _whole(text: str) -> int:
    if len(text) > 17:
        raise ValueError("a number without end")
    number = int(text)
    if abs(number) >= LARGEST_WHOLE:
        raise ValueError("a number too large to be kept exactly")
    return number


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    named = dict(pairs)
    if len(named) != len(pairs):
        raise ValueError("a name twice")
    return named


_READER = json.JSONDecoder(parse_constant=_no_number, parse_float=_finite)
_TO_NOUGHTS = bytes.maketrans(b"123456789", b"0" * 9)
_LONG_NUMBER = b"0" * 16  # the digits of LARGEST_WHOLE
_ONCE_EACH = json.JSONDecoder(
    parse_constant=_no_number, parse_float=_finite, parse_int=_whole, object_pairs_hook=_once_each
)
