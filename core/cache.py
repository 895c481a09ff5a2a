"""The cached fold: the farm as it stood at a few points of its past, and the entries since. It may be deleted.

`fold/farm.json` holds the tail of entries and says where the points are. Each has two files: `live-CRC.json`, what
was live of the farm, and `past-CRC.json`, what was finished since the point before, read only when somebody asks for
it. One more has the farm with its tail folded and what was finished in it: that is what a start reads. All carry a
checksum; a cache that is damaged, from other code, or of other logs is simply not used.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields
from functools import lru_cache
from operator import attrgetter
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple, get_args, get_origin

from core import __version__
from core.amend import Amendment
from core.book.disk import make_folder, replace_file
from core.book.entry import Entry, Fields
from core.book.layout import FOLDS, Mark
from core.book.lines import entries_from
from core.codec import Turn, Turns, from_plain, to_plain, turns
from core.codes import parts
from core.collecting import no_collecting
from core.farm import Farm
from core.past import Damaged, Part, Past, Row, Text, encode, part_of, read_checked
from core.problems import Matter
from core.register import Numbered, Register
from core.subject import fingerprint

FOLD_VERSION = 72
"""Raise it whenever the fold of the same entries would come out differently."""


def _stamp() -> str:
    """What a cached fold must have been made by: this program, this way of folding, these subjects."""
    return f"{__version__}/{FOLD_VERSION}/{fingerprint()}"


Key = tuple[str, str, str]
"""The place of an entry in the order of the fold: (`on`, `at`, `id`)."""


class Point(NamedTuple):
    """The farm as it stood after its first `place` entries, the last of them with this `key`.

    `live` is its JSON text, `part` what was finished since the point before. In the logs, nothing after `key` stands
    before `since`.
    """

    key: Key
    place: int
    since: Mark
    live: Text
    part: Part


class Cached(NamedTuple):
    """A farm some entries ago.

    `points` are some of its past, oldest first; from the last, its base, it is folded on with `tail`, the entries
    after it. `mark` says how far into the logs all of it reaches, `in_all` how many entries that is. `amended` is the
    JSON text of all amendments, `gone` the ids that count no more among the tail, `now` what was corrected in it (see
    `Amendments`), `wrong` what is wrong with the amendments themselves. `disagrees` says that the logs hold different
    lines with one id.
    """

    points: tuple[Point, ...]
    tail: list[Entry]
    mark: Mark
    in_all: int
    amended: str = "[]"
    gone: frozenset[str] = frozenset()
    wrong: tuple[Matter, ...] = ()
    disagrees: bool = False
    now: Mapping[tuple[str, str], Fields] = MappingProxyType({})
    here: Text | None = None
    """The farm of all of it, with what was finished since the base, so that a start need not fold the tail; None where
    it is not kept."""

    @property
    def base_key(self) -> Key:
        return self.points[-1].key if self.points else BEFORE_ALL

    def amendments(self) -> list[Amendment]:
        """All amendments of the book."""
        return [Amendment(*row) for row in json.loads(self.amended)]


BEFORE_ALL: Key = ("", "", "")


# a farm as text


def freeze(farm: Farm) -> tuple[str, Past]:
    """(live part as JSON text, finished part) of a farm that is not changed any more."""
    live, part = freeze_since(farm)
    before = farm.lots.finished
    parts = before.past.parts if isinstance(before, _OfPast) else ()
    return live, Past([*parts, part], lambda: part)


def freeze_since(farm: Farm) -> tuple[str, Part]:
    """(live part as JSON text, what is finished of all that the farm has at hand): without what it was thawed with."""
    live, finished = _as_text(farm, attrgetter("is_live"))
    return live, part_of(finished)


def _as_text(farm: Farm, stays: Callable[[Any], bool]) -> tuple[str, dict[str, dict[str, Row]]]:
    """(JSON text of the farm with the items that stay, the rows of the others that it has at hand, by register)."""
    live = {name: turn.write(getattr(farm, name)) for name, turn in plain_fields().items()}
    # what was only looked at, and holds nothing, is as if it was never asked for
    live["own"] = {
        name: to_plain(kept)
        for name, kept in farm.own.items()
        if isinstance(kept, dict | list) or kept != type(kept)()
    }
    finished: dict[str, dict[str, Row]] = {}
    for name, turn in register_fields().items():
        register: Register[Any] = getattr(farm, name)
        rows: dict[bool, dict[str, Row]] = {True: {}, False: {}}
        for code, (number, item) in register.at_hand().items():
            rows[stays(item)][code] = (number, turn.write(item))
        live[name] = {"made": register.made, "rows": [*rows[True].values()]}
        finished[name] = rows[False]
    return encode(live), finished


@lru_cache
def plain_fields() -> dict[str, Turns]:
    """How each field of a farm that is no register is written and read."""
    return {name: turns(of) for name, of in _types().items() if get_origin(of) is not Register}


@lru_cache
def register_fields() -> dict[str, Turns]:
    """How each item of a register is written and read, by the name of the register."""
    return {name: turns(*get_args(of)) for name, of in _types().items() if get_origin(of) is Register}


def _types() -> dict[str, Any]:
    return {field.name: field.type for field in fields(Farm) if field.init}


def thaw(live: str | bytes, past: Past | None = None) -> Farm:
    """The farm in the live part's text; the finished part is read when it is asked for."""
    data = json.loads(live)
    values = {name: turn.read(data[name]) for name, turn in plain_fields().items()}
    for name, turn in register_fields().items():
        items = [(number, turn.read(row)) for number, row in data[name]["rows"]]
        finished = None if past is None else _OfPast(turn.read, name, past, dict(values["codes"]))
        values[name] = Register({item.code: (n, item) for n, item in items}, data[name]["made"], finished)
    return Farm(**values)


AT_A_TIME = 500
"""Items that are read in one step, where that is done in steps."""


class _OfPast:
    """The finished items of one register; `most` are the highest numbers given by then, by the letter of the code."""

    def __init__(self, read: Turn, name: str, past: Past, most: Mapping[str, int]) -> None:
        self.past = past
        self._most = most
        self._read = read
        self._name = name
        self._every: dict[str, Numbered[Any]] | None = None

    def get(self, code: str) -> Numbered[Any] | None:
        if self._every is not None:
            return self._every.get(code)
        letter, number = parts(code)
        if number > self._most.get(letter, 0):
            return None  # it was given since
        found = self.past.get(self._name, code)
        return found and (found[0], self._read(found[1]))

    def all(self) -> dict[str, Numbered[Any]]:
        if self._every is None:
            with no_collecting():
                self._every = self._typed(self.past.rows(self._name))
        return self._every

    def mentioning(self, words: Sequence[str]) -> dict[str, Numbered[Any]]:
        if self._every is not None:
            return self._every
        with no_collecting():
            return self._typed(self.past.mentioning(self._name, [word.encode() for word in words]))

    def mentioned(self, words: Sequence[str]) -> Iterator[dict[str, Numbered[Any]]]:
        if self._every is not None:
            yield self._every
            return
        for rows in self.past.mentioned(self._name, [word.encode() for word in words]):
            codes = [*rows]
            for at in range(0, len(codes), AT_A_TIME):
                yield self._typed({code: rows[code] for code in codes[at : at + AT_A_TIME]})

    def _typed(self, rows: Mapping[str, Row]) -> dict[str, Numbered[Any]]:
        return {code: (number, self._read(row)) for code, (number, row) in rows.items()}


# files


def read_cache(folder: Path) -> Cached | None:
    """The cached fold of the farm in `folder`, or None where there is none that can be used."""
    at = folder / FOLDS
    try:
        data = json.loads(read_checked(at / "farm.json"))
        if data["stamp"] != _stamp():
            return None
        points = tuple(
            Point(_key(key), place, since, Text(path=at / live), Part(Text(path=at / part)))
            for key, place, since, live, part in data["points"]
        )
        here = Text(path=at / data["here"])
        if not _names(data).issubset(path.name for path in at.iterdir()):
            return None
        here.read()
        return Cached(
            points,
            entries_from(data["tail"]),
            data["mark"],
            data["count"],
            data["amended"],
            frozenset(data["gone"]),
            from_plain(tuple[Matter, ...], data["wrong"]),
            data["disagrees"],
            {(entry, kind): now for entry, kind, now in data["now"]},
            here,
        )
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _key(values: list[str]) -> Key:
    on, at, key_id = values
    return on, at, key_id


def write_cache(folder: Path, cached: Cached, farm: Farm) -> Cached:
    """Keep `cached`, and the farm that it makes; what it is with its points in files. A cache that cannot be kept is no
    harm."""
    at = folder / FOLDS
    try:
        points = tuple(
            point._replace(live=_in_file(at, "live", point.live), part=_part_in_file(at, point.part))
            for point in cached.points
        )
        rows = [[p.key, p.place, p.since, _name(p.live), _name(p.part.text)] for p in points]
        here = _in_file(at, "live", Text(_as_text(farm, lambda _: True)[0].encode()))
        body = {
            "stamp": _stamp(),
            "mark": cached.mark,
            "count": cached.in_all,
            "points": rows,
            "here": _name(here),
            "amended": cached.amended,
            "gone": sorted(cached.gone),
            "now": [[*named, fields] for named, fields in cached.now.items()],
            "wrong": cached.wrong,
            "disagrees": cached.disagrees,
            "tail": [entry.as_dict() for entry in cached.tail],
        }
        before = _named_in(at / "farm.json")
        _replace(at / "farm.json", encode(body).encode())
        _remove_others(at, {"farm.json"} | before | _names(body))
    except (OSError, Damaged):
        return cached
    return cached._replace(points=points)


def _name(text: Text) -> str:
    return text.path.name if text.path is not None else ""


def _in_file(folder: Path, sort: str, text: Text) -> Text:
    """The same in a file, which is named by what it holds."""
    if text.path is not None and text.path.exists():
        return text
    body = text.read()
    path = folder / f"{sort}-{Text(body).name}.json"
    _replace(path, body)
    return Text(body, path)


def _part_in_file(folder: Path, part: Part) -> Part:
    text = _in_file(folder, "past", part.text)
    return part if text is part.text else Part(text)


def _names(data: Mapping[str, Any]) -> set[str]:
    """The files beside farm.json that belong to it."""
    return {str(data["here"]), *(str(name) for row in data["points"] for name in row[3:])}


def _named_in(path: Path) -> set[str]:
    """The files of the state before: another program may be about to read them."""
    try:
        return _names(json.loads(read_checked(path)))
    except (OSError, ValueError, KeyError, TypeError):
        return set()


def _remove_others(folder: Path, wanted: set[str]) -> None:
    for path in folder.glob("*.json"):
        if path.name not in wanted:
            path.unlink(missing_ok=True)


def _replace(path: Path, body: bytes) -> None:
    """A checked file, whole or not at all; a cache lost to a power cut is only folded again."""
    make_folder(path.parent)
    replace_file(path, [b"%08x\n" % zlib.crc32(body), body], lasting=False)
