"""State to plain JSON values and back, from the types of its fields: nothing is listed twice.

Dataclasses and named tuples become lists of their fields in order, so a row takes little room; what they hold may be
JSON's own values, lists, tuples, dicts with text keys, `X | None`, literals, and rows again. A field added later
stands at the end and has a default: a shorter row from before is still read.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, TypeVar

T = TypeVar("T")
Turn = Callable[[Any], Any]

_AS_IT_IS = (str, int, float, bool, type(None), Any)


def to_plain(value: Any) -> Any:
    """The value as JSON has it; TypeError for a type that is none of the above."""
    of: Any = type(value)
    return _writer(of)(value)


def from_plain(of: type[T], plain: Any) -> T:
    """The value of that type whose `to_plain` this is."""
    kind: Any = of
    found: T = _reader(kind)(plain)
    return found


def _same(value: Any) -> Any:
    return value


@cache
def _writer(of: Any) -> Turn:
    if of in _AS_IT_IS:
        return _same
    if of in (list, tuple):
        return lambda value: [to_plain(item) for item in value]
    if of is dict:
        return lambda value: {key: to_plain(item) for key, item in value.items()}
    if names := _names(of):
        return lambda value: [to_plain(getattr(value, name)) for name in names]
    if isinstance(of, type) and issubclass(of, str):
        return str
    raise TypeError(f"{of} is no state that can be kept")


@cache
def _reader(of: Any) -> Turn:
    origin, arguments = typing.get_origin(of), typing.get_args(of)
    if of in _AS_IT_IS or origin is typing.Literal:
        return _same
    if origin in (typing.Union, types.UnionType):
        (inner,) = (_reader(part) for part in arguments if part is not type(None))
        return lambda plain: None if plain is None else inner(plain)
    if origin is list:
        item = _reader(arguments[0])
        return _same if item is _same else lambda plain: [item(part) for part in plain]
    if origin is tuple:
        if arguments[-1] is not ...:
            items = [_reader(part) for part in arguments]
            return lambda plain: tuple(read(part) for read, part in zip(items, plain, strict=True))
        item = _reader(arguments[0])
        return lambda plain: tuple(item(part) for part in plain)
    if origin is dict:
        item = _reader(arguments[1])
        return _same if item is _same else lambda plain: {key: item(part) for key, part in plain.items()}
    if names := _names(of):
        hints = typing.get_type_hints(of)
        reads = [_reader(hints[name]) for name in names]
        return lambda plain: of(*(read(part) for read, part in zip(reads, plain, strict=False)))
    if isinstance(of, type) and issubclass(of, str):
        return of
    raise TypeError(f"{of} is no state that can be kept")


def _names(of: Any) -> tuple[str, ...]:
    """The fields of a dataclass or a named tuple in order; none for any other type."""
    if is_dataclass(of):
        return tuple(field.name for field in fields(of))
    return getattr(of, "_fields", ())
