"""What is written of past seasons. It tells what was, and touches nothing that is there: no lot, no bed, no stock.

Each entry has the `row` of the table it came from, a hash of what it says: a row counts once, whoever brought it in and
on whichever machine. `table` is the same for all that one table brought in, which is taken back as a whole.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from core.book.entry import Draft, Entry
from core.farm import Farm
from core.kinds import Kind, may, needs
from core.problems import Problem
from core.units import dated_text, monday_of

CUT, SALE, SOWING = "past cut", "past sale", "past sowing"


@dataclass(slots=True)
class PastYear:
    """What one year gave of one crop: money in cents, `unpriced` stems of which none is known."""

    year: int
    crop: str
    seeds: int = 0
    up: int = 0
    counted: int = 0
    """The seeds of which it is told how many came up."""
    cut: int = 0
    culls: int = 0
    minutes: float = 0
    sold: int = 0
    cents: int = 0
    unpriced: int = 0


@dataclass(slots=True)
class PastWeek:
    """Stems of one crop in one week of a year, cut and thrown out of it, and sold to one buyer, with what those came
    to; `week` is the week's Monday."""

    year: int
    week: str
    crop: str
    who: str
    cut: int = 0
    culls: int = 0
    stems: int = 0
    cents: int = 0
    unpriced: int = 0


@dataclass(slots=True)
class PastSeasons:
    """What the farm keeps of past seasons."""

    years: dict[str, PastYear] = field(default_factory=dict)
    """By year and crop, in one text."""
    weeks: dict[str, PastWeek] = field(default_factory=dict)
    """By week, crop and buyer ("" for cuts), in one text."""
    rows: dict[str, int] = field(default_factory=dict)
    """The rows that count, each 1."""

    def year(self, on: str, crop: str) -> PastYear:
        """That of a day and a crop, made where there was none."""
        return self.years.setdefault(f"{on[:4]} {crop}", PastYear(int(on[:4]), crop))

    def week(self, on: str, crop: str, who: str = "") -> PastWeek:
        """That of a day, made where there was none; the first days of January stay in their own year."""
        monday = monday_of(date.fromisoformat(on)).isoformat()
        made = PastWeek(int(on[:4]), monday, crop, who)
        return self.weeks.setdefault(f"{on[:4]} {monday} {crop} {who}", made)


def _once(farm: Farm, entry: Entry) -> PastSeasons | None:
    """The past seasons, where this row does not count already."""
    past = farm.part(PastSeasons)
    row = entry.fields["row"]
    if row in past.rows:
        return None
    past.rows[row] = 1
    farm.note_variety(entry.fields["crop"], entry.fields.get("variety"))
    return past


def _cut(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    if (past := _once(farm, entry)) is not None:
        year = past.year(entry.on, f["crop"])
        year.minutes += f.get("minutes", 0)
        for one in (year, past.week(entry.on, f["crop"])):
            one.cut += f["stems"]
            one.culls += f.get("culls", 0)


def _sale(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    if (past := _once(farm, entry)) is None:
        return
    stems, cents = f["stems"], f.get("cents")
    for one in (past.year(entry.on, f["crop"]), past.week(entry.on, f["crop"], f.get("who", ""))):
        one.cents += cents or 0
        one.unpriced += stems if cents is None else 0
    past.year(entry.on, f["crop"]).sold += stems
    past.week(entry.on, f["crop"], f.get("who", "")).stems += stems


def _sowing(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    if (past := _once(farm, entry)) is not None:
        year = past.year(entry.on, f["crop"])
        year.seeds += f["seeds"]
        up = f.get("up")
        if up is not None and up > f["seeds"]:
            farm.note_matter(
                f"Of {f['seeds']} {f['crop']} sown on {dated_text(entry.on)} {up} are said to have come up: correct "
                "it, or take it back.",
                entry.id,
                "more up than sown",
                f["crop"],
                amount=up - f["seeds"],
            )
        elif up is not None:
            year.up += up
            year.counted += f["seeds"]


def _check(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["row"] in farm.part(PastSeasons).rows:
        return Problem("This row is in the book already.", "impossible")
    if draft.fields.get("up", 0) > draft.fields.get("seeds", 0):
        return Problem("More came up than was sown: look at the numbers.", "impossible")
    return None


KINDS = (
    Kind(
        CUT,
        "past season: cut {stems} {crop}[ {variety}][ from bed {bed}][ for {use}][, {culls} culled][, {minutes} min]",
        needs(crop="text", stems="count", row="code", table="code")
        | may(variety="text", bed="code", use="code", culls="count", minutes="number"),
        _cut,
        check=_check,
    ),
    Kind(
        SALE,
        "past season: sold {stems} {crop}[ {variety}][ for {cents}][ to {who}]",
        needs(crop="text", stems="count", row="code", table="code")
        | may(variety="text", cents="count", who="text"),
        _sale,
        check=_check,
    ),
    Kind(
        SOWING,
        "past season: sown {seeds} {crop}[ {variety}][, {up} up]",
        needs(crop="text", seeds="count", row="code", table="code") | may(variety="text", up="count"),
        _sowing,
        check=_check,
    ),
)
