"""State to plain JSON values and back, from the types of its fields: nothing is listed twice.

Dataclasses and named tuples become lists of their fields in order, so a row takes little room; what they hold may be
JSON's own values, lists, tuples, dicts with text keys, `X | None`, literals, text with a type of its own, and rows
again. A field added later stands at the end and has a default: a shorter row from before is still read.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable
from dataclasses import is_dataclass
from functools import cache
from operator import attrgetter
from typing import Any, NamedTuple, TypeVar

T = TypeVar("T")
Turn = Callable[[Any], Any]


class Turns(NamedTuple):
    """How the values of one type are written, as something that JSON can write, and read again from what JSON read."""

    write: Turn
    read: Turn


def to_plain(value: Any) -> Any:
    """The value as something that JSON can write; TypeError for a type that is none of the above."""
    of: Any = type(value)
    return turns(of).write(value)


def from_plain(of: type[T], plain: Any) -> T:
    """The value of that type which JSON has as `plain`."""
    kind: Any = of
    found: T = turns(kind).read(plain)
    return found


def _same(value: Any) -> Any:
    return value


_AS_IT_IS = Turns(_same, _same)


@cache
def turns(of: Any) -> Turns:
    """How values of a type are written and read; what JSON has as it is, is passed on as it is."""
    origin, arguments = typing.get_origin(of) or of, typing.get_args(of)
    if of in (str, int, float, bool, type(None)) or origin is typing.Literal:
        return _AS_IT_IS
    if of is Any:
        return Turns(to_plain, _same)
    if origin in (typing.Union, types.UnionType):
        (inner,) = {turns(part) for part in arguments if part is not type(None)}
        return _maybe(inner)
    if origin is dict:
        return _dict_of(*arguments or (str, Any))
    if origin is tuple and arguments[-1:] != (...,) and arguments:
        return _tuple_of([turns(part) for part in arguments])
    if origin in (list, tuple):
        return _many(origin, turns(arguments[0] if arguments else Any))
    if is_dataclass(of) or hasattr(of, "_fields"):
        return _rows_of(of)
    if isinstance(of, type) and issubclass(of, str):
        return Turns(_same, of)
    raise TypeError(f"{of} is no state that can be kept")


def _maybe(inner: Turns) -> Turns:
    if inner is _AS_IT_IS:
        return inner
    write, read = inner
    return Turns(
        lambda value: None if value is None else write(value),
        lambda plain: None if plain is None else read(plain),
    )


def _dict_of(key: Any, item: Any) -> Turns:
    key, (write, read) = turns(key).read, turns(item)
    writes = _same if write is _same else lambda value: {name: write(part) for name, part in value.items()}
    if key is _same:
        reads = _same if read is _same else lambda plain: {name: read(part) for name, part in plain.items()}
    else:
        reads = lambda plain: {key(name): read(part) for name, part in plain.items()}  # noqa: E731
    return Turns(writes, reads)


def _many(sort: Any, item: Turns) -> Turns:
    write, read = item
    writes = _same if write is _same else lambda value: [write(part) for part in value]
    if read is _same:
        return Turns(writes, _same if sort is list else tuple)
    return Turns(writes, lambda plain: sort([read(part) for part in plain]))


def _tuple_of(items: list[Turns]) -> Turns:
    return Turns(
        lambda value: [item.write(part) for item, part in zip(items, value, strict=True)],
        lambda plain: tuple([item.read(part) for item, part in zip(items, plain, strict=True)]),
    )


def _rows_of(of: Any) -> Turns:
    fields = _fields(of)
    each = [turns(kind) for kind in fields.values()]
    writes = [(n, turn.write) for n, turn in enumerate(each) if turn.write is not _same]
    reads = [(n, turn.read) for n, turn in enumerate(each) if turn.read is not _same]
    values: Turn = tuple if issubclass(of, tuple) else _values_of(tuple(fields))

    def write(value: Any) -> list[Any]:
        row = [*values(value)]
        for n, turn in writes:
            row[n] = turn(row[n])
        return row

    def read(plain: Any) -> Any:
        row = [*plain]
        for n, turn in reads:
            if n < len(row):
                row[n] = turn(row[n])
        return of(*row)

    is_plain = issubclass(of, tuple) and not writes
    return Turns(_same if is_plain else write, read if reads else lambda plain: of(*plain))


def _values_of(names: tuple[str, ...]) -> Turn:
    return attrgetter(*names) if len(names) > 1 else lambda value: [getattr(value, name) for name in names]


def _fields(of: Any) -> dict[str, Any]:
    """The fields of a dataclass or a named tuple in order, with their types; written as text, these are looked up."""
    found: dict[str, Any] = of.__annotations__
    if any(isinstance(kind, (str, typing.ForwardRef)) for kind in found.values()):
        return typing.get_type_hints(of)
    return found
