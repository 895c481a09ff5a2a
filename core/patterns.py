"""Regular expressions that are compiled when they are first used: a start knows a hundred of them and uses a third.

`pattern(text, flags)` is `re.compile`, to a type checker and to whoever uses what it gives by its methods.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from re import compile as pattern

__all__ = ["pattern"]

if not TYPE_CHECKING:

    class pattern:  # noqa: N801 - it stands for a function
        """A regular expression that is compiled when one of its methods is first asked for."""

        def __init__(self, text: str | bytes, flags: int = 0) -> None:
            self._made_of = text, flags

        def __getattr__(self, name: str) -> Any:
            found = getattr(re.compile(*self._made_of), name)
            setattr(self, name, found)  # asked for directly from now on
            return found
