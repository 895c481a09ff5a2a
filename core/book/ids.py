"""Ids of entries: UUID version 7 (RFC 9562, section 5.7), made and read.

The first 48 bits are milliseconds since 1970 UTC, so ids made later sort later; the rest is chance.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import lru_cache
from os import urandom

from core.patterns import pattern

Clock = Callable[[], int]
"""Milliseconds since 1970-01-01 UTC."""

Chance = Callable[[], int]
"""74 random bits as an int."""

LAST_MS = 253_402_300_800_000
"""The end of the year 9999: an `at` has room for no later instant."""

AHEAD_MS = 12 * 3_600_000
"""How far ahead of this machine's clock an instant that it has read may be, to be followed: wrong hours are common."""

_UUID7 = pattern("[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")


def now_ms() -> int:
    """The machine's clock."""
    return time.time_ns() // 1_000_000


def next_ms(clock_ms: int, seen_ms: int) -> int:
    """The instant of what is written now: by the clock, and after what was read, be it of a clock some hours ahead.

    All are ms since 1970 UTC. What is further ahead than AHEAD_MS is not followed: a wrong year stays on its machine.
    """
    return seen_ms + 2 if clock_ms < seen_ms + 2 <= clock_ms + AHEAD_MS else clock_ms


def chance() -> int:
    """74 random bits from the machine."""
    return int.from_bytes(urandom(10), "big") >> 6


def uuid7(ms: int, random_bits: int) -> str:
    """The UUIDv7 of an instant (`ms` since 1970 UTC, 48 bits) and 74 `random_bits`, in lower case."""
    high = (random_bits >> 62) & 0xFFF
    low = random_bits & 0x3FFF_FFFF_FFFF_FFFF
    text = f"{ms & 0xFFFF_FFFF_FFFF:012x}7{high:03x}{0x8000_0000_0000_0000 | low:016x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"


def is_uuid7(text: str) -> bool:
    """Whether `text` is a UUIDv7 as the book writes it: lower case, hyphens, version 7, variant 10."""
    return _UUID7.fullmatch(text) is not None


def ms_of(uuid: str) -> int:
    """The instant a UUIDv7 was made, in ms since 1970 UTC; raises ValueError where it is no id."""
    return int(uuid[:8] + uuid[9:13], 16)


def at_text(ms: int) -> str:
    """`ms` since 1970 UTC as an entry's `at`: "YYYY-MM-DDTHH:MM:SS.mmmZ"."""
    seconds, rest = divmod(ms, 1000)
    return f"{_second_text(seconds)}.{rest:03d}Z"


@lru_cache(maxsize=64)
def _second_text(seconds: int) -> str:
    return time.strftime("%Y-%m-%dT%H:%M:%S", time.gmtime(seconds))
