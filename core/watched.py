"""What a reckoning looks at: the farm and the morning, given through a glass that notes what was read of them.

What was reckoned hangs on what was read, and on nothing else: so nobody has to say of a page, and to keep right, on
which figures it rests (`core.kept`). A value is told apart by a digest of its whole text, as the cached fold would
keep it, taken before anybody reckons with it.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator
from datetime import date
from functools import cached_property
from importlib import import_module
from types import FunctionType
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar, cast

from core.asks import Sight
from core.cache import plain_fields, register_fields
from core.codec import to_plain
from core.farm import Farm
from core.past import encode
from core.register import Numbered, Register
from core.units import zone_of_machine

if TYPE_CHECKING:
    from core.beds.rows import ByWarmth
    from core.book.met import Meetings

T = TypeVar("T")
P = TypeVar("P")

Row: TypeAlias = tuple[str, dict[str, str], Any]
"""What all hang on, name -> digest of what was read, and what came out of it."""
ONCE = "once "
"""Before the name of what several parts of a morning need, "module:function"."""
OWN = "own "
"""Before the name of the type in which a subject keeps something of its own."""
UNKEPT = ""
"""The digest of what may not be kept: it hangs on more than can be told here."""


class Read(set[str]):
    """The names of what was read for something; of what it shares with others, that of all of them as well."""

    def __init__(self) -> None:
        super().__init__()
        self.shares: list[Read] = []

    def all(self) -> set[str]:
        """Every name, as far as anything was read by now: what is shared may read more when more is asked of it."""
        return self.union(*(shared.all() for shared in self.shares))


class Watch:
    """What is read of one morning: the digest of everything that anybody asked for, and what was reckoned once.

    What several parts need, and one `Sight.once` reckons, is told apart by what came out of it: where a night's low
    leaves the beds as they were, what was reckoned of the beds stands. `before` is what came out of each and what was
    read for it, and is added to.
    """

    def __init__(self, sight: Sight, before: dict[str, Row]) -> None:
        self.sight, self.before = sight, before
        self.is_new = False
        self._digests: dict[str, str] = {}
        self._reckoned: dict[str, Any] = {}
        self._shared: dict[tuple[object, ...], tuple[Any, Read]] = {}

    def begun(self) -> tuple[Sight, Read]:
        """The morning to reckon from, and the names of what is read of it from now on."""
        read = Read()
        return _Watched(self, read), read

    def shared(self, reckon: Callable[..., T], of: tuple[object, ...], read: Read) -> T:
        """What `reckon` makes of the farm and of these figures, once for all who ask; `read` takes in its reading."""
        key = (reckon, *of)
        if key not in self._shared:
            its = Read()
            self._shared[key] = reckon(_Glass(self, its), *of), its
        found, its = self._shared[key]
        read.shares.append(its)
        return cast(T, found)

    @cached_property
    def always(self) -> str:
        """What every result hangs on, be it read or not: the day, and how the farm speaks and tells the time."""
        return f"{self.sight.day} {zone_of_machine()} {self.digest('settings')}"

    def holds(self, row: Any) -> bool:
        """Whether all that a row hangs on is as it was; ValueError or its like where it is no such row."""
        always, read, _ = row
        return bool(always == self.always) and all(self.digest(one) == was for one, was in read.items())

    def row(self, read: Read, value: Any) -> Row | None:
        """A value with all that it hangs on; None where it may not be kept."""
        digests = {name: self.digest(name) for name in sorted(read.all())}
        return None if UNKEPT in digests.values() else (self.always, digests, value)

    def once(self, reckon: Callable[[Sight], T]) -> tuple[T, str]:
        """What `reckon` makes of this morning, and the name by which that is known."""
        name = f"{ONCE}{reckon.__module__}:{reckon.__qualname__}"
        if name not in self._reckoned:
            sight, read = self.begun()
            self._reckoned[name] = found = reckon(sight)
            self._digests[name] = _digest_of(repr(found))
            if (row := self.row(read, self._digests[name])) is None:
                self._digests[name] = UNKEPT
            else:
                self.before[name], self.is_new = row, True
        return cast(T, self._reckoned[name]), name

    def knows(self, name: str) -> bool:
        """Whether anything that was told hangs on what has this name."""
        return name in self._digests

    def digest(self, name: str) -> str:
        """What tells a value from any other that may have stood there; UNKEPT where that cannot be told."""
        if name not in self._digests:
            self._digests[name] = self._digest(name)
        return self._digests[name]

    def _digest(self, name: str) -> str:
        sight = self.sight
        if name == "clock":
            return f"at {sight.clock}"
        if name in ("by_warmth", "met", "clock_problem"):
            return "none" if getattr(sight, name) is None else UNKEPT
        if name.startswith(ONCE):
            if name in self.before and self.holds(self.before[name]):
                return str(self.before[name][2])
            home, _, called = name.removeprefix(ONCE).partition(":")
            self.once(getattr(import_module(home), called))
            return self._digests[name]
        if name.startswith(OWN):
            kept = sight.farm.own.get(name.removeprefix(OWN))
            if kept is None or (not isinstance(kept, dict | list) and kept == type(kept)()):
                return "none"
            return _digest_of(to_plain(kept))
        if (home := name.partition(" ")[0]) in (registers := register_fields()):
            _, how, code = f"{name}  ".split(" ", 2)
            return _digest_of_register(getattr(sight.farm, home), registers[home].write, how, code.strip())
        if name in (plain := plain_fields()):
            return _digest_of(plain[name].write(getattr(sight.farm, name)))
        return UNKEPT


def _digest_of(plain: Any) -> str:
    text = encode(plain).encode()
    return f"{zlib.crc32(text):08x}{zlib.adler32(text):08x}-{len(text):x}"


LIVE, CALLED, ALL = "live", "called", "all"
"""How a register was read, after its name: what is not finished, one item, or all of it."""


def _digest_of_register(register: Register[Any], write: Callable[[Any], Any], how: str, code: str) -> str:
    """Of one item, of what is not finished, or of what is at hand and the texts in which the rest lies."""
    if how == CALLED:
        item = register.get(code)
        return "none" if item is None else _digest_of(write(item))
    here = [
        (number, write(item)) for number, item in register.at_hand().values() if how == ALL or item.is_live
    ]
    if how == LIVE:
        return _digest_of(here)
    past = getattr(register.finished, "past", None)
    if register.finished is not None and past is None:
        return UNKEPT
    return _digest_of([register.made, here, [part.text.name for part in past.parts] if past else []])


class _Watched(Sight):
    """A morning of which is noted what is read."""

    def __init__(self, watch: Watch, read: Read) -> None:
        self.day: date = watch.sight.day
        self._watch, self._read = watch, read
        self.farm = cast(Farm, _Glass(watch, read))

    def once(self, reckon: Callable[[Sight], T]) -> T:
        """As of any morning."""
        found, name = self._watch.once(reckon)
        self._read.add(name)
        return found

    def _note(self, name: str) -> Any:
        self._watch.digest(name)
        self._read.add(name)
        return getattr(self._watch.sight, name)

    @property
    def clock(self) -> str | None:  # type: ignore[override]
        """The farm's time of day."""
        return cast("str | None", self._note("clock"))

    @property
    def by_warmth(self) -> ByWarmth | None:  # type: ignore[override]
        """How first cuts are reckoned from heat units."""
        return cast("ByWarmth | None", self._note("by_warmth"))

    @property
    def met(self) -> Meetings | None:  # type: ignore[override]
        """The other machines that this one has met."""
        return cast("Meetings | None", self._note("met"))


class _Shelves(Register[Any]):
    """A register of which is noted how it is read: what is finished is put away from one start to the next, and that
    changes nothing for who asks only for the rest."""

    def __init__(self, name: str, watch: Watch, read: Read) -> None:
        self._name, self._watch, self._read = name, watch, read

    def _looked(self, how: str) -> Register[Any]:
        name = f"{self._name} {how}"
        self._watch.digest(name)
        self._read.add(name)
        return cast("Register[Any]", getattr(self._watch.sight.farm, self._name))

    def get(self, code: str) -> Any:
        """As of a register."""
        return self._looked(f"{CALLED} {code}").get(code)

    def live(self) -> Iterator[Any]:
        """As of a register."""
        return self._looked(LIVE).live()

    def all(self) -> list[Any]:
        """As of a register."""
        return self._looked(ALL).all()

    def mentioning(self, *words: str) -> list[Any]:
        """As of a register."""
        return self._looked(ALL).mentioning(*words)

    def at_hand(self) -> dict[str, Numbered[Any]]:
        """As of a register."""
        return self._looked(ALL).at_hand()

    @property
    def made(self) -> int:  # type: ignore[override]
        """As of a register."""
        return self._looked(ALL).made


class _Glass:
    """A farm of which is noted what is read: each of its fields when it is first asked for, and then at hand."""

    def __init__(self, watch: Watch, read: Read) -> None:
        self._watch, self._read = watch, read
        self.in_plans: set[str] | None = None  # made of the plans when it is asked for
        self.count = (
            watch.sight.farm.count
        )  # by which who keeps something of this farm knows that nothing was written

    def __getattr__(self, name: str) -> Any:
        found: Any
        if name in register_fields():
            found = _Shelves(name, self._watch, self._read)
        else:
            self._watch.digest(name)
            self._read.add(name)
            found = getattr(self._watch.sight.farm, name)
        setattr(self, name, found)
        return found

    def part(self, of: type[P]) -> P:
        """As of a farm."""
        name = f"{OWN}{of.__module__}.{of.__qualname__}"
        self._watch.digest(name)
        self._read.add(name)
        return self._watch.sight.farm.part(of)

    def kept(self, reckon: Callable[..., T], *of: object) -> T:
        """As of a farm."""
        return self._watch.shared(reckon, of, self._read)


for _name, _does in vars(Farm).items():  # what a farm says of itself reads its fields like anybody else
    if (
        isinstance(_does, FunctionType | property)
        and _name not in vars(_Glass)
        and not _name.startswith("__")
    ):
        setattr(_Glass, _name, _does)
