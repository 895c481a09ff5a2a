"""A table of a past season read, row by row, into what would be written; nothing is written here."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from collections.abc import Mapping
from datetime import date
from hashlib import sha256
from typing import Any, NamedTuple

from core.book.entry import Draft
from core.book.reader import MOST_TOGETHER
from core.crops.library import one_crop
from core.farm import Farm
from core.formulas import plain_text
from core.kinds import problem_with, sentence
from core.past_seasons.cells import read_cents, read_count, read_day, read_number
from core.past_seasons.columns import FIELDS, SORTS, Mapped, mapped
from core.past_seasons.kinds import CUT, SALE, SOWING, PastSeasons
from core.problems import Problem
from core.text import clean

USES = {"fresh": "fresh", "dry": "dry", "dried": "dry", "drying": "dry", "wire": "wire", "wired": "wire"}
PARTED_BY = (",", ";", "\t")
ROW_LETTERS = 20
"""Of the hash of a row: a chance of one in a million that two of a million million rows are alike."""


class How(NamedTuple):
    """How a table is to be read: field -> head as she says, the sort of table ("" as its heads tell), crops by her own
    words for them, stems to a bunch, and whether 6/7/2024 has the day first."""

    said: Mapping[str, str]
    sort: str = ""
    crops: Mapping[str, str] = {}
    per: int = 0
    day_first: bool = False
    anyway: bool = False
    """Also what is dated since the book itself has such."""


class RowRefused(NamedTuple):
    """A row that cannot be brought in, by its line in the file, and why."""

    line: int
    why: str


class ToBring(NamedTuple):
    """What a table comes to: what each column is taken for, what would be written (each with its line), rows that are
    in the book already, and those refused."""

    mapped: Mapped
    drafts: tuple[tuple[int, Draft], ...]
    already: int
    refused: tuple[RowRefused, ...]

    @property
    def cents(self) -> int:
        """What the sales among them took."""
        return sum(draft.fields.get("cents", 0) for _, draft in self.drafts)

    @property
    def unpriced(self) -> int:
        """How many sales of them say no money."""
        return sum(draft.kind == SALE and "cents" not in draft.fields for _, draft in self.drafts)

    @property
    def says(self) -> list[tuple[int, str, str]]:
        """(line, day, sentence) of each that would be written."""
        return [(line, draft.on, sentence(draft)) for line, draft in self.drafts]


def read_table(data: bytes, farm: Farm, today: date, how: How) -> ToBring | Problem:
    """The table in these bytes (UTF-8, cells parted by commas, semicolons or tabs, its heads in the first line)."""
    rows = _rows(data)
    if isinstance(rows, Problem):
        return rows
    (_, heads), *body = rows
    if len({head.lower() for head in heads}) < len(heads):
        twice = next(head for head, n in Counter(head.lower() for head in heads).items() if n > 1)
        return Problem(
            f"Two columns are called '{clean(twice)[:24]}': give each its own head in the first line."
        )
    if how.sort and how.sort not in SORTS:
        return Problem(f"'{clean(how.sort)[:24]}' is none of {', '.join(SORTS)}.", "unknown", tuple(SORTS))
    columns = mapped(heads, how.said, how.sort or None, (row for _, row in body))
    if isinstance(columns, Problem):
        return columns
    places = {name: heads.index(head) for name, head in columns.columns.items()}
    drafts: list[tuple[int, Draft]] = []
    refused: list[RowRefused] = []
    seen, unpriced, already = Counter[str](), Counter[str](), 0
    table = sha256(data + repr((columns.sort, sorted(columns.columns.items()))).encode()).hexdigest()[
        :ROW_LETTERS
    ]
    counted = farm.part(PastSeasons).rows
    since = "" if how.anyway else own_since(farm, SORTS[columns.sort].kind)
    for line, row in body:
        if len(row) != len(heads):
            refused.append(
                RowRefused(line, f"it has {len(row)} cells, and the first line {len(heads)} heads")
            )
            continue
        cells = {name: plain_text(row[place]).strip() for name, place in places.items()}
        made = _draft(columns, cells, farm, today, how)
        if isinstance(made, Problem):
            refused.append(RowRefused(line, made.sentence))
            continue
        if since and made.on >= since:
            why = f"the book has its own {columns.sort} since {since}: would it count twice? --anyway says it does not"
            refused.append(RowRefused(line, why))
            continue
        code, bare = _code(made, made.fields, seen), _without_money(made, unpriced)
        if code in counted:
            already += 1
        elif "cents" in made.fields and bare in counted and not how.anyway:
            why = "it is in the book without its money: 'entries' has its ID, 'cancel ID' takes that table back first; "
            why += "--anyway says that it is another"
            refused.append(RowRefused(line, why))
        else:
            drafts.append((line, Draft(made.kind, made.on, {**made.fields, "row": code, "table": table})))
    if len(drafts) > MOST_TOGETHER:
        return Problem(
            f"These are {len(drafts)} rows, and {MOST_TOGETHER} at most are written together: part the table by years.",
            "impossible",
        )
    return ToBring(columns, tuple(drafts), already, tuple(refused))


def _code(made: Draft, fields: Mapping[str, Any], seen: Counter[str]) -> str:
    """The hash of a row; the second of two rows alike is another row."""
    said = json.dumps([made.kind, made.on, dict(fields)], sort_keys=True)
    seen[said] += 1
    return sha256(f"{said} {seen[said]}".encode()).hexdigest()[:ROW_LETTERS]


def _without_money(made: Draft, seen: Counter[str]) -> str:
    """The hash it had where its money was left out."""
    return _code(made, {name: value for name, value in made.fields.items() if name != "cents"}, seen)


def own_since(farm: Farm, kind: str) -> str:
    """The first day on which the book itself has a cut, a sale or a sowing, in trays or straight in a bed; "" where it
    has none."""
    if kind == SOWING:
        days = [tray.sown for tray in farm.trays.all()]
        days += [planting.out_on for planting in farm.plantings.all() if planting.drilled]
    elif kind == CUT:
        days = [lot.cut_on for lot in farm.lots.all()]
    else:
        days = [sale.on for lot in farm.lots.all() for sale in lot.sales]
        days += [sale.on for piece in farm.pieces.all() for sale in piece.sales]
    return min(days, default="")


def _rows(data: bytes) -> list[tuple[int, list[str]]] | Problem:
    """(line, cells) of every row that is not empty, the heads first."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        return Problem(f"Line {line} is not UTF-8: save the table as CSV in UTF-8.", "unreadable")
    first = text.lstrip("\r\n").partition("\n")[0]
    delimiter = max(PARTED_BY, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    rows: list[tuple[int, list[str]]] = []
    begins = 1
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                rows.append((begins, row))
            begins = reader.line_num + 1
    except csv.Error as error:
        return Problem(
            f"Line {begins} is no good row of a table ({error}): look at its quotes.", "unreadable"
        )
    if not rows:
        return Problem("The table is empty: its first line has the heads of its columns.", "unreadable")
    return [(rows[0][0], [plain_text(cell).strip() for cell in rows[0][1]]), *rows[1:]]


def _draft(columns: Mapped, cells: Mapping[str, str], farm: Farm, today: date, how: How) -> Draft | Problem:
    """What a row says, without its own hash; a Problem begins where the line is named."""
    kind = SORTS[columns.sort].kind
    read: dict[str, Any] = {}
    for name, text in cells.items():
        if not text:
            continue
        value = _cell(name, text, farm, how)
        if isinstance(value, Problem):
            return value._replace(sentence=f"{name}: {value.sentence.rstrip('.')}")
        read[name] = value
    for name in ("day", "crop"):
        if name not in read:
            return Problem(f"it has no {name}")
    day: date = read.pop("day")
    if day > today:
        return Problem(f"day: {day.isoformat()} is a day to come")
    bunches, each = read.pop("bunches", None), read.pop("each", None)
    if bunches is not None and "stems" not in read:
        if not how.per:
            return Problem("bunches: of how many stems? --per 10 says it")
        read["stems"] = bunches * how.per
    money = read.pop("money", None)
    if money is None and each is not None:
        money = _in_all(each, columns.priced_by, bunches, read.get("stems", 0), how.per)
        if isinstance(money, Problem):
            return money
    if money is not None:
        read["cents"] = money
    if (problem := problem_with(kind, {**read, "row": "x", "table": "x"})) is not None:
        return problem._replace(sentence=problem.sentence.rstrip("."))
    if read.get("up", 0) > read.get("seeds", 0):
        return Problem("up: more came up than was sown")
    return Draft(kind, day.isoformat(), read)


def _in_all(each: int, priced_by: str, bunches: int | None, stems: int, per: int) -> int | Problem:
    """The cents of a row by the price of each: of a bunch, where it has bunches and the price is not said to be of a
    stem."""
    if priced_by == "stem" or (bunches is None and priced_by != "bunch"):
        return each * stems
    if bunches is not None:
        return each * bunches
    return round(each * stems / per) if per else Problem("each: a bunch of how many stems? --per 10 says it")


def _cell(name: str, text: str, farm: Farm, how: How) -> Any:
    """The value of a cell, or a Problem."""
    reads = FIELDS[name].reads
    if reads == "day":
        return read_day(text, day_first=how.day_first)
    if reads == "count":
        return read_count(text)
    if reads == "number":
        return read_number(text)
    if reads == "money":
        return read_cents(text)
    if reads == "crop":
        word = how.crops.get(text.lower(), text)
        found = one_crop(word, farm.own_crops)
        if isinstance(found, Problem):
            told = clean(found.sentence).rstrip(".")
            return Problem(
                f"{told}; --call '{clean(text)[:24]}=CROP' says which it is", "unknown", found.nearest
            )
        return found
    if name == "use":
        return USES.get(text.lower()) or Problem(f"'{clean(text)[:24]}' is none of fresh, dry, wire")
    return clean(text)
