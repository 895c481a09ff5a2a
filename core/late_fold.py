"""The fold, loaded where there is an entry to take in: with it comes what a kind of entry is, which most starts do not
ask. `late_fold.take_in` is `core.fold.take_in`, and so with the others.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from core.fold import describes, is_there, take_in

__all__ = ["describes", "is_there", "take_in"]


def __getattr__(name: str) -> Any:
    from core import fold  # when one of them is first asked for

    globals().update({asked: getattr(fold, asked) for asked in __all__})
    return getattr(fold, name)
