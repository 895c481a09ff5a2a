"""Values with named fields, made ready in a fraction of the time: `dataclass` and `NamedTuple` as Python has them.

A start makes some 250 such classes and uses half of them. Python writes and compiles the methods of each at once, and
loads `inspect` for it: a third of all the time that the morning page took. Here the one function that a class needs of
its own is made with its first value, out of one that was compiled for all classes of that shape. To a type checker
these are the ones of `dataclasses` and `typing`, and they are that to everybody who uses one: `tests/test_values.py`
compares them. What is not there, as a dataclass made of another, is refused at once.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass, field, fields, replace
    from typing import NamedTuple

    def is_dataclass(of: object) -> bool: ...


__all__ = ["NamedTuple", "dataclass", "field", "fields", "is_dataclass", "names_of", "replace"]

_ABSENT: Any = object()
_FIELDS = "_fields_of_dataclass"


def names_of(value: object) -> tuple[str, ...]:
    """The names of the fields of a named tuple or a dataclass, in order; none of anything else."""
    of = type(value)
    found: tuple[str, ...] = getattr(of, "_fields", ())
    return found or tuple(getattr(of, _FIELDS, ()))


if not TYPE_CHECKING:
    from _collections import _tuplegetter
    from functools import cache
    from itertools import pairwise
    from operator import attrgetter
    from types import FunctionType

    @cache
    def _code(takes, body):
        """A function of these lines, which call fields by number: f0 as a parameter, a0 as an attribute."""
        lines = "\n  ".join(body or ("pass",))
        space = {}
        exec(f"def like({', '.join(('_self', *takes))}):\n  {lines}", {}, space)
        return space["like"].__code__

    def _function(of, name, takes, body, names, defaults, given):
        """The same with the fields by name."""
        called = {f"f{n}": field for n, field in enumerate(names)} | {f"a{n}": f for n, f in enumerate(names)}
        code = _code(takes, body)
        code = code.replace(
            co_name=name,
            co_qualname=f"{of}.{name}",
            co_varnames=tuple([called.get(one, one) for one in code.co_varnames]),
            co_names=tuple([called.get(one, one) for one in code.co_names]),
            co_consts=tuple([called.get(one, one) if type(one) is str else one for one in code.co_consts]),
        )
        return FunctionType(code, given, name, defaults)

    # named tuples

    class _Builder(type):
        def __new__(mcs, name, bases, space):
            if not bases:
                return super().__new__(mcs, name, bases, space)
            return _named_tuple(name, tuple(tuple if base is NamedTuple else base for base in bases), space)

    class NamedTuple(metaclass=_Builder):
        """As `typing.NamedTuple`."""

    def _named_tuple(name, bases, space):
        names = tuple(space.get("__annotations__", ()))
        defaults = {field: space[field] for field in names if field in space}
        for field, after in pairwise(names):
            if field in defaults and after not in defaults:
                raise TypeError(f"{after} of {name} needs a default, for {field} before it has one")
        if wrong := [field for field in names if field.startswith("_")]:
            raise ValueError(f"Fields of {name} begin with an underscore: {wrong}")

        def begin(cls, *values, **named):
            """The class makes its first value: how is made ready now."""
            takes = tuple([f"f{n}" for n in range(len(names))])
            of = f"({', '.join(takes)}{',' if names else ''})"
            given = {"_new": tuple.__new__}
            new = _function(
                made.__qualname__,
                "__new__",
                takes,
                (f"return _new(_self, {of})",),
                names,
                (*defaults.values(),),
                given,
            )
            made.__new__ = staticmethod(new)
            return made.__new__(cls, *values, **named)

        made = type(
            name,
            bases,
            {
                "__slots__": (),
                "__doc__": None,
                **_OF_TUPLES,
                **space,
                **{field: _tuplegetter(n, f"Alias for field number {n}") for n, field in enumerate(names)},
                "__new__": begin,
                "_fields": names,
                "_field_defaults": defaults,
                "__match_args__": names,
            },
        )
        return made

    def _make(cls, values):
        made = tuple.__new__(cls, values)
        if len(made) != len(cls._fields):
            raise TypeError(f"Expected {len(cls._fields)} arguments, got {len(made)}")
        return made

    def _replace(self, /, **changes):
        made = self._make(map(changes.pop, self._fields, self))
        if changes:
            raise ValueError(f"Got unexpected field names: {[*changes]!r}")
        return made

    def _asdict(self):
        return dict(zip(self._fields, self, strict=True))

    def _repr_of_tuple(self):
        told = ", ".join([f"{name}={value!r}" for name, value in zip(self._fields, self, strict=True)])
        return f"{type(self).__name__}({told})"

    _OF_TUPLES = {
        "_make": classmethod(_make),
        "_replace": _replace,
        "_asdict": _asdict,
        "__repr__": _repr_of_tuple,
        "__getnewargs__": lambda self: tuple(self),
    }

    # dataclasses

    class _Field:
        __slots__ = ("compare", "default", "default_factory", "init", "name", "repr", "type")

        def __init__(self, default, default_factory, init, repr, compare):
            self.default, self.default_factory, self.init = default, default_factory, init
            self.repr, self.compare = repr, compare

    def field(*, default=_ABSENT, default_factory=_ABSENT, init=True, repr=True, compare=True):
        """As `dataclasses.field`."""
        return _Field(default, default_factory, init, repr, compare)

    def fields(of):
        """As `dataclasses.fields`, as far as `name`, `type` and `init` of each."""
        return tuple(getattr(of, _FIELDS).values())

    def is_dataclass(of):
        """As `dataclasses.is_dataclass`, of the ones made here and there."""
        return hasattr(of, _FIELDS) or hasattr(of, "__dataclass_fields__")

    def replace(value, /, **changes):
        """As `dataclasses.replace`."""
        for name, of in getattr(value, _FIELDS).items():
            if not of.init:
                if name in changes:
                    raise ValueError(f"field {name} is declared with init=False, it cannot be specified")
            elif name not in changes:
                changes[name] = getattr(value, name)
        return type(value)(**changes)

    def dataclass(of=None, /, *, frozen=False, slots=False, eq=True):
        """As `dataclasses.dataclass`."""

        def make(of):
            return _data_class(of, frozen, slots, eq)

        return make if of is None else make(of)

    def _data_class(of, frozen, slots, eq):
        if wrong := [base.__name__ for base in of.__mro__[1:] if is_dataclass(base)]:
            raise TypeError(f"{of.__name__} is made of {wrong[0]}: a dataclass is none of another here")
        found = {}
        for name, kind in vars(of).get("__annotations__", {}).items():
            if "ClassVar" in str(kind):
                continue
            if "InitVar" in str(kind) or "KW_ONLY" in str(kind):
                raise TypeError(f"{name} of {of.__name__}: {kind} is not known here")
            default = of.__dict__.get(name, _ABSENT)
            one = default if isinstance(default, _Field) else _Field(default, _ABSENT, True, True, True)
            if type(one.default).__hash__ is None:
                raise ValueError(f"mutable default {type(one.default)} for field {name} is not allowed")
            one.name, one.type = name, kind
            found[name] = one
        taken = [one for one in found.values() if one.init]
        for one, after in pairwise(taken):
            if _has_default(one) and not _has_default(after):
                raise TypeError(
                    f"{after.name} of {of.__name__} needs a default, for {one.name} before it has one"
                )
        more = {**_methods(found, frozen, eq), **_named(found)}
        made = _with_slots(of, found, more) if slots else _in_place(of, found, more)
        made.__init__ = _first_made(made, found, frozen)
        return made

    def _with_slots(of, found, more):
        dropped = ("__dict__", "__weakref__", *found)
        space = {name: value for name, value in of.__dict__.items() if name not in dropped}
        return type(of)(of.__name__, of.__bases__, {**more, **space, "__slots__": tuple(found)})

    def _in_place(of, found, more):
        for name, one in found.items():
            if isinstance(of.__dict__.get(name), _Field):
                if one.default is _ABSENT:
                    delattr(of, name)
                else:
                    setattr(of, name, one.default)
        for name, value in more.items():
            if name not in of.__dict__:
                setattr(of, name, value)
        return of

    def _has_default(one):
        return one.default is not _ABSENT or one.default_factory is not _ABSENT

    def _named(found):
        names = tuple(name for name, one in found.items() if one.init)
        return {_FIELDS: found, "__match_args__": names, "__dataclass_fields__": _OfPython()}

    class _OfPython:
        """The fields as `dataclasses` knows them, for whoever asks for them with its own functions."""

        def __get__(self, value, of):
            import dataclasses  # what this module is there to spare

            asked = []
            for name, one in getattr(of, _FIELDS).items():
                more = {"default": one.default, "default_factory": one.default_factory}
                more = {key: given for key, given in more.items() if given is not _ABSENT}
                how = dataclasses.field(
                    init=one.init, repr=one.repr, compare=one.compare, kw_only=True, **more
                )
                asked.append((name, one.type, how))
            of.__dataclass_fields__ = dataclasses.make_dataclass(of.__name__, asked).__dataclass_fields__
            return of.__dataclass_fields__

    def _first_made(made, found, frozen):
        def begin(self, *values, **named):
            """The class makes its first value: how is made ready now."""
            takes, defaults, body, given = [], [], [], {"_put": object.__setattr__, "_absent": _ABSENT}
            for n, one in enumerate(found.values()):
                value = f"f{n}"
                if one.default_factory is not _ABSENT:
                    given[f"_m{n}"] = one.default_factory
                    value = f"_m{n}() if f{n} is _absent else f{n}" if one.init else f"_m{n}()"
                elif not one.init:
                    if one.default is _ABSENT:
                        continue
                    given[f"_d{n}"], value = one.default, f"_d{n}"
                if one.init:
                    takes.append(f"f{n}")
                    defaults += [one.default] if _has_default(one) else []
                body.append(f"_put(_self, 'a{n}', {value})" if frozen else f"_self.a{n} = {value}")
            if hasattr(made, "__post_init__"):
                body.append("_self.__post_init__()")
            made.__init__ = _function(
                made.__qualname__, "__init__", tuple(takes), tuple(body), (*found,), tuple(defaults), given
            )
            made.__init__(self, *values, **named)

        return begin

    def _methods(found, frozen, eq):
        compared = tuple(name for name, one in found.items() if one.compare)
        told = tuple(name for name, one in found.items() if one.repr)
        values = _values_of(compared)

        def told_as(self):
            each = ", ".join([f"{name}={getattr(self, name)!r}" for name in told])
            return f"{type(self).__qualname__}({each})"

        def equals(self, other):
            return values(self) == values(other) if type(other) is type(self) else NotImplemented

        def hashed(self):
            return hash(values(self))

        methods = {"__repr__": told_as}
        if eq:
            methods |= {"__eq__": equals, "__hash__": hashed if frozen else None}
        if frozen:
            methods |= {"__setattr__": _refuse_setting, "__delattr__": _refuse_deleting}
            methods |= {"__getstate__": _state, "__setstate__": _set_state}
        return methods

    def _values_of(names):
        if len(names) == 1:
            (name,) = names
            return lambda value: (getattr(value, name),)
        return attrgetter(*names) if names else lambda _value: ()

    def _refuse_setting(self, name, _value):
        from dataclasses import FrozenInstanceError  # only for who does what cannot be done

        raise FrozenInstanceError(f"cannot assign to field {name!r}")

    def _refuse_deleting(self, name):
        from dataclasses import FrozenInstanceError  # likewise

        raise FrozenInstanceError(f"cannot delete field {name!r}")

    def _state(self):
        return [getattr(self, name) for name in getattr(type(self), _FIELDS)]

    def _set_state(self, state):
        for name, value in zip(getattr(type(self), _FIELDS), state, strict=True):
            object.__setattr__(self, name, value)
