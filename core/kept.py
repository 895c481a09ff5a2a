"""What a morning asked is kept, beside what was read for it: asked again, what has not changed is not reckoned anew.

Kept with each are the digests of everything that its reckoning read (`core.watched`): it is used while all of them are
the same, on the same day. `fold/morning.kept` may be deleted at any time.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from core.asks import Sight
from core.codec import turns
from core.results import KeptFile, known
from core.watched import Watch

T = TypeVar("T")

_FILE = KeptFile("morning", Path(__file__).parent)


class KeptMorning:
    """The parts of mornings reckoned before, by name, each with all that was read for it (a row of `Watch`)."""

    def __init__(self) -> None:
        self.forget()
        known(self)

    def forget(self) -> None:
        """As at the start."""
        self._rows: dict[str, Any] | None = None
        self._is_new = False

    def watch(self, sight: Sight) -> Watch:
        """What is read of a morning, beside what was read of those before."""
        return Watch(sight, self._kept())

    def of(self, name: str, kind: Any, watch: Watch, reckon: Callable[[Sight], tuple[T, bool]]) -> T:
        """What `reckon` makes of the morning, of a type that `codec` keeps, and whether it may be kept."""
        rows = self._kept()
        try:
            if watch.holds(rows[name]):
                found: T = turns(kind).read(rows[name][2])
                return found
        except (KeyError, TypeError, ValueError, AttributeError):
            pass  # there is none, or it is no such row
        sight, names = watch.begun()
        made, may_be_kept = reckon(sight)
        if may_be_kept and (row := watch.row(names, turns(kind).write(made))):
            rows[name] = row
            self._is_new = True
        self._is_new |= watch.is_new
        return made

    def _kept(self) -> dict[str, Any]:
        if self._rows is None:
            self._rows = _FILE.read()
        return self._rows

    def save(self) -> None:
        """Keep what is new. Raises OSError."""
        if self._is_new:
            _FILE.write(self._kept())
            self._is_new = False


MORNING = KeptMorning()
