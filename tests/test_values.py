"""Values made ready late are what Python's own are: the same classes made by both, and put to the same use."""

from __future__ import annotations

import copy
import dataclasses
import pickle
import typing
from collections.abc import Callable
from functools import cached_property
from operator import attrgetter
from typing import Any, ClassVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core import values

PYTHONS: Any = (typing.NamedTuple, dataclasses.dataclass, dataclasses.field, dataclasses.replace)
OURS: Any = (values.NamedTuple, values.dataclass, values.field, values.replace)


def _makers(tools: Any) -> dict[str, Any]:
    """One class of each sort that the program has, all of the fields (a, b=2, c=list or tuple)."""
    named, dataclass, field, _ = tools

    class Tuple(named):  # type: ignore[misc]
        """A bunch."""

        a: int
        b: int = 2
        c: tuple[int, ...] = ()

        @property
        def both(self) -> int:
            return int(self.a) + int(self.b)

    @dataclass(frozen=True, slots=True)
    class Frozen:
        a: int
        b: int = 2
        c: tuple[int, ...] = ()
        sort: ClassVar[str] = "bunch"

        @property
        def both(self) -> int:
            return self.a + self.b

    @dataclass(frozen=True)
    class WithDict:
        a: int
        b: int = 2
        c: tuple[int, ...] = ()

        @cached_property
        def both(self) -> int:
            return self.a + self.b

    @dataclass(slots=True)
    class Changing:
        a: int
        b: int = 2
        c: list[int] = field(default_factory=list)
        both: int = field(default=0, init=False, repr=False, compare=False)

        def __post_init__(self) -> None:
            self.both = self.a + self.b

    @dataclass(slots=True, eq=False)
    class Itself:
        a: int
        b: int = 2
        c: list[int] = field(default_factory=list)

        @property
        def both(self) -> int:
            return self.a + self.b

    return {of.__name__: of for of in (Tuple, Frozen, WithDict, Changing, Itself)}


THEIRS, MADE = _makers(PYTHONS), _makers(OURS)
SORTS = pytest.mark.parametrize("sort", [*MADE])


REFUSED = "refused"


def _outcome(does: Callable[[], Any]) -> Any:
    """What comes of it; a refusal is one, for the words are Python's, and some of its kinds too."""
    try:
        return does()
    except (TypeError, ValueError, AttributeError, IndexError):
        return REFUSED


_some = st.lists(st.integers(-3, 3) | st.text(max_size=2), max_size=4)
_names = st.dictionaries(st.sampled_from("abcd"), st.integers(-3, 3), max_size=3)


@SORTS
@given(args=_some, named=_names)
def test_made_of_the_same_they_are_told_alike_or_refused_alike(
    sort: str, args: list[Any], named: dict[str, Any]
) -> None:
    def told(of: Any) -> Any:
        made = of(*args, **named)
        return repr(made).rpartition(".")[2], [made.a, made.b, made.c], made.both

    assert _outcome(lambda: told(MADE[sort])) == _outcome(lambda: told(THEIRS[sort]))


@SORTS
@given(one=st.integers(0, 2), other=st.integers(0, 2), to=st.integers(0, 2))
def test_they_are_equal_found_and_changed_alike(sort: str, one: int, other: int, to: int) -> None:
    def used(of: Any, replace: Any) -> Any:
        first, second = of(one, 1), of(other, b=1)
        another = first._replace(b=to) if hasattr(first, "_replace") else replace(first, b=to)
        return (
            first == second,
            first != second,
            first == (one, 1, ()),
            another.b,
            _outcome(lambda: first in {second, another}),
            _outcome(lambda: hash(first) == hash(second)) if sort != "Itself" else None,
        )

    assert used(MADE[sort], values.replace) == used(THEIRS[sort], dataclasses.replace)


@SORTS
def test_what_cannot_be_done_to_theirs_cannot_be_done_to_ours(sort: str) -> None:
    def tried(of: Any, replace: Any) -> list[Any]:
        made = of(1)
        return [
            _outcome(lambda: setattr(made, "a", 2)),
            _outcome(lambda: setattr(made, "z", 2)),
            _outcome(lambda: delattr(made, "b")),
            _outcome(lambda: replace(made, z=1)) if sort != "Tuple" else _outcome(lambda: made._replace(z=1)),
            _outcome(lambda: replace(made, both=1)) if sort == "Changing" else None,
            _outcome(lambda: hasattr(made, "__dict__")),
        ]

    assert tried(MADE[sort], values.replace) == tried(THEIRS[sort], dataclasses.replace)


@SORTS
def test_copies_are_equal_and_apart(sort: str) -> None:
    made = MADE[sort](1, 3, [4])
    for of in (copy.copy(made), copy.deepcopy(made)):
        assert (of.a, of.b, [*of.c]) == (1, 3, [4])
    copy.deepcopy(made).c.append(5)
    assert [*made.c] == [4]
    assert made.__reduce_ex__(pickle.HIGHEST_PROTOCOL)


def test_lists_of_two_values_are_two_lists() -> None:
    one, other = MADE["Changing"](1), MADE["Changing"](1)
    one.c.append(3)
    assert other.c == []


@SORTS
def test_what_asks_python_for_the_fields_gets_them(sort: str) -> None:
    made, theirs = MADE[sort](1), THEIRS[sort](1)
    assert typing.get_type_hints(type(made)).keys() == typing.get_type_hints(type(theirs)).keys()
    if sort == "Tuple":
        assert type(made)._fields == values.names_of(made) == theirs._fields
        assert (made._asdict(), type(made)._make([1, 2, 3])) == (theirs._asdict(), (1, 2, 3))
        assert _outcome(lambda: type(made)._make([1])) == REFUSED
        assert type(made).__doc__ == "A bunch."
    else:
        names = tuple(field.name for field in dataclasses.fields(theirs))
        assert tuple(field.name for field in dataclasses.fields(made)) == names == values.names_of(made)
        assert tuple(field.name for field in values.fields(made)) == names
        assert dataclasses.is_dataclass(made)
        assert dataclasses.asdict(made) == dataclasses.asdict(theirs)
        assert dataclasses.replace(made, a=7).a == 7
    match made:
        case object(a=a, b=2):
            assert a == 1
    assert type(made).__match_args__ == type(theirs).__match_args__


def test_a_named_tuple_of_some_type() -> None:
    item = typing.TypeVar("item")

    class Figure(values.NamedTuple, typing.Generic[item]):
        value: item
        source: str = ""

    assert Figure[int](3) == (3, "")
    assert attrgetter("value")(Figure(4)) == 4


def test_what_is_not_there_is_refused_where_the_class_is_made() -> None:
    with pytest.raises(TypeError):

        @values.dataclass(slots=True)
        class _After(MADE["Changing"]):  # type: ignore[misc]
            d: int = 1

    with pytest.raises(TypeError):

        @values.dataclass
        class _Before:
            d: dataclasses.InitVar[int]

    with pytest.raises(ValueError):

        @values.dataclass
        class _Shared:
            d: list[int] = []  # noqa: RUF012

    with pytest.raises(TypeError):

        class _Late(values.NamedTuple):
            a: int = 1
            b: int  # type: ignore[misc]
