"""The cached fold: a farm as it stood some entries ago, and the entries since. It may be deleted at any time.

`fold/farm.json` holds the farm's live part and the tail of entries; `fold/past-STAMP.json` what is finished,
read only when somebody asks for it. Both carry a checksum; a cache that is damaged, from other code, or of
other logs is simply not used.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any, TypeVar

from core import __version__
from core.book.disk import make_folder, read_file, replace_file
from core.book.entry import Entry
from core.book.layout import FOLDS
from core.farm import Bed, Box, Farm, Holding, Kept, Lot, Piece, Planting, Recipe, Register, Tray
from core.problems import Problem

LARGEST_BYTES = 256 * 1024 * 1024
"""Bytes a file of the cache may have: twenty seasons make a few."""

FOLD_VERSION = 14
"""Raise it whenever the fold of the same entries would come out differently."""
_STAMP = f"{__version__}/{FOLD_VERSION}"

I = TypeVar("I", Tray, Planting, Lot, Piece)  # noqa: E741
_PLAIN = (
    "settings",
    "frost",
    "risks",
    "station",
    "sheets",
    "capacity",
    "makings",
    "reorder",
    "lines",
    "air",
    "air_ranges",
    "dry_ratios",
    "weather",
    "nights",
    "notes",
    "codes",
    "varieties",
    "causes",
    "newer",
    "last_loss",
    "last_lot",
    "count",
    "last_on",
)


@dataclass(frozen=True, slots=True)
class Past:
    """What was finished when a base was made: in a file of the cache, or only in memory.

    `make` makes its JSON text, for as long as there is no file and for when the file is gone or damaged.
    """

    make: Callable[[], str]
    path: Path | None = None

    def read(self) -> dict[str, Any]:
        """trays, plantings, lots and pieces as rows."""
        found = json.loads(self._text())
        return {"trays": [], "plantings": [], "lots": [], "pieces": [], **found}

    def _text(self) -> str:
        if self.path is not None:
            try:
                return _checked(self.path)
            except (OSError, ValueError):
                return self.make()
        return self.make()


NOTHING_PAST = Past(lambda: "{}")


@dataclass(frozen=True, slots=True)
class Cached:
    """A farm some entries ago.

    `base` is its JSON text (thawed anew for every refold), `past` what was finished by then, `base_key` the
    order key of its last entry, `tail` the entries after it, `mark` how far into the logs all of it reaches.
    """

    base: str
    past: Past
    base_key: tuple[str, str, str]
    tail: list[Entry]
    mark: Any


def freeze(farm: Farm) -> tuple[str, Past]:
    """(live part as JSON text, finished part) of a farm that is not changed any more.

    The finished part of a big book is most of it, and is made into text only when that is needed.
    """
    live: dict[str, Any] = {name: getattr(farm, name) for name in _PLAIN}
    live["beds"] = [_row(bed) for bed in farm.beds.values()]
    live["boxes"] = [_row(box) for box in farm.boxes.values()]
    live["recipes"] = [_row(recipe) for recipe in farm.recipes.values()]
    live["plans"] = [_row(plan) for plan in farm.plans.values()]
    live["matters"] = [[m.sentence, m.code, m.entry] for m in farm.matters]
    past: dict[str, Any] = {}
    registers: tuple[tuple[str, Register[Any]], ...] = (
        ("trays", farm.trays),
        ("plantings", farm.plantings),
        ("lots", farm.lots),
        ("pieces", farm.pieces),
    )
    for name, register in registers:
        on, past[name] = register.split()
        live[name] = [_row(item) for item in on.values()]

    def text() -> str:
        return _json({name: [_row(item) for item in items.values()] for name, items in past.items()})

    return _json(live), Past(text)


def thaw(live: str, past: Past = NOTHING_PAST) -> Farm:
    """The farm in the live part's text; the finished part is read when it is asked for."""
    data = json.loads(live)
    farm = Farm(**{name: data[name] for name in _PLAIN})
    farm.beds = {row[0]: Bed(*row) for row in data["beds"]}
    farm.boxes = {row[0]: Box(*row) for row in data["boxes"]}
    farm.recipes = {row[0]: Recipe(*row) for row in data["recipes"]}
    farm.plans = {row[0]: Kept(*row) for row in data["plans"]}
    farm.matters = [Problem(s, code, entry=entry) for s, code, entry in data["matters"]]
    farm.trays = _register(Tray, data["trays"], "trays", past)
    farm.plantings = _register(Planting, data["plantings"], "plantings", past)
    farm.lots = _register(Lot, data["lots"], "lots", past)
    farm.pieces = _register(Piece, data["pieces"], "pieces", past)
    return farm


def _register(of: type[I], rows: list[list[Any]], name: str, past: Past) -> Register[I]:
    def read() -> dict[str, I]:
        return _items(of, past.read()[name])

    return Register(_items(of, rows), None if past is NOTHING_PAST else read)


def _items(of: type[I], rows: list[list[Any]]) -> dict[str, I]:
    items = {}
    for row in rows:
        item = of(*row)
        if isinstance(item, Lot):
            item.holdings = {place: Holding(*h) for place, h in item.holdings.items()}
        items[item.code] = item
    return items


_Row = Bed | Box | Kept | Recipe | Tray | Planting | Lot | Piece
_ROWS: tuple[type[_Row], ...] = (Bed, Box, Kept, Recipe, Tray, Planting, Lot, Piece)
_NAMES = {of: tuple(f.name for f in fields(of)) for of in _ROWS}


def _row(item: _Row) -> list[Any]:
    return [getattr(item, name) for name in _NAMES[type(item)]]


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


# files


def read_cache(folder: Path) -> Cached | None:
    """The cached fold of the farm in `folder`, or None where there is none that can be used."""
    try:
        data = json.loads(_checked(folder / FOLDS / "farm.json"))
        path = folder / FOLDS / str(data["past"])
        if data["stamp"] != _STAMP or path.parent != folder / FOLDS or not path.exists():
            return None
        tail = [Entry.from_dict(flat) for flat in data["tail"]]
        on, at, key_id = data["base_key"]
        return Cached(data["base"], Past(NOTHING_PAST.make, path), (on, at, key_id), tail, data["mark"])
    except (OSError, ValueError, KeyError, TypeError):
        return None


def write_cache(folder: Path, cached: Cached) -> Cached:
    """Keep `cached`; what it is with its finished part in a file. A cache that cannot be kept is no harm."""
    try:
        path = cached.past.path or _write_past(folder, cached.past.make())
        body = {
            "stamp": _STAMP,
            "mark": cached.mark,
            "past": path.name,
            "base_key": cached.base_key,
            "base": cached.base,
            "tail": [entry.as_dict() for entry in cached.tail],
        }
        _replace(folder / FOLDS / "farm.json", _json(body))
    except OSError:
        return cached
    return replace(cached, past=replace(cached.past, path=path))


def _write_past(folder: Path, text: str) -> Path:
    """A new file for the finished part; those before the last two are removed."""
    path = folder / FOLDS / f"past-{zlib.crc32(text.encode()):08x}.json"
    _replace(path, text)
    for old in sorted(path.parent.glob("past-*.json"), key=lambda p: p.stat().st_mtime_ns)[:-2]:
        if old != path:
            old.unlink(missing_ok=True)
    return path


def _checked(path: Path) -> str:
    head, _, body = read_file(path, LARGEST_BYTES).partition(b"\n")
    if head != b"%08x" % zlib.crc32(body):
        raise ValueError("damaged")
    return body.decode()


def _replace(path: Path, text: str) -> None:
    """A checked file, whole or not at all; a cache lost to a power cut is only folded again."""
    make_folder(path.parent)
    body = text.encode()
    replace_file(path, [b"%08x\n" % zlib.crc32(body), body], lasting=False)
