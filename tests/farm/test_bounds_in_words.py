"""A field out of its bounds is refused in words of the trade, with what would do: no name of a field is shown."""

from __future__ import annotations

from collections.abc import Iterator

from core.book.entry import Draft
from core.kinds import Kind
from core.subject import all_kinds
from core.validity import invalid

GOOD = {
    "text": "x",
    "code": "x",
    "count": 1,
    "number": 1,
    "flag": True,
    "month_day": "05-14",
    "day": "2026-06-23",
    "clock": "06:40",
    "fields": {"stems": 1},
}
BAD: dict[str, tuple[object, ...]] = {
    "text": ("y" * 401, ""),
    "code": ("y" * 41,),
    "count": (-1, 10**8, 1.5),
    "number": (-1e9, 1e9, "many"),
    "month_day": ("13-40",),
    "day": ("2026-13-40", "1500-01-01"),
    "clock": ("25:99",),
    "flag": ("perhaps",),
    "fields": ({},),
}


def refusals() -> Iterator[tuple[Kind, str, str]]:
    """Every field of every kind, left out or holding what it cannot, and what is said of it."""
    for kind in all_kinds():
        good = {name: GOOD[field.holds] for name, field in kind.fields.items() if field.needed}
        for name, field in kind.fields.items():
            bad = [{**good, name: value} for value in BAD[field.holds]]
            if field.needed and name != kind.when:
                bad.append({other: value for other, value in good.items() if other != name})
            for fields in bad:
                found = invalid(Draft(kind.name, "2026-06-23", fields))
                assert found is not None, (kind.name, fields)
                yield kind, name, found.sentence


def test_every_refusal_of_bounds_speaks_in_words() -> None:
    for kind, name, said in refusals():
        assert said.startswith(f"'{kind.name}'"), said
        assert "_" not in said and said.endswith("."), said
        for end in ("_f", "_in", "_pct", "_on", "_rh"):
            if name == end[1:] or name.endswith(end):
                assert f" {name.replace('_', ' ')} " not in said, said
        told = "at most", "must be", "needs its", "must name", "is no day"
        assert any(words in said for words in told), said


def test_a_forecast_far_out_says_what_would_do() -> None:
    found = invalid(Draft("forecast", "2026-06-23", {"f": 1e8, "night": "2026-06-24"}))
    assert found is not None
    assert (
        found.sentence
        == "'forecast': the temperature cannot be 100,000,000 F: -150 F at least, 150 F at most."
    )
