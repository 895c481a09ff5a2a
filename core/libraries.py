"""Libraries that not every farm has: loaded where they are used, and asked for in one sentence where they are not."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from core.problems import Problem, ShedbookError


def module_with(library: str, extra: str, name: str) -> Any:
    """The module `name`, which rests on `library`; ShedbookError that says how to get it where that is not there."""
    try:
        return import_module(name)
    except ModuleNotFoundError as missing:
        if missing.name is None or missing.name.partition(".")[0] != library:
            raise
        text = (
            f"This needs the library {library}, which is not here: pip install '.[{extra}]', in the folder from which "
            "shedbook was installed, brings it."
        )
        raise ShedbookError(Problem(text, "unknown")) from missing
