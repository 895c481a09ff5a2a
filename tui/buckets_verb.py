"""`shedbook buckets`: what is fresh, what is left of its days in the vase, and what has to be done with it today."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from core.text import named
from core.units import day_text
from tui import out
from tui.doorway import open_door
from tui.tables import table
from tui.wrapping import wrapped

if TYPE_CHECKING:
    from core.fresh.rows import FreshRow

NOTHING = "Nothing is in the bucket or the cooler: write a cut, such as '40 zinnia b4 fresh'."
HEADS = ("lot", "crop", "in", "for", "stems", "cut", "days left", "until", "now")
CSV_HEADS = ("lot", "crop", "variety", "place", "since", "use", "stems", "cut on", "age d", "used d", "least left d",
             "most left d", "until", "now", "because", "kept", "amiss", "note")  # fmt: skip


def buckets(args: Namespace) -> int:
    """Print the bucket and the cooler, what has least left first."""
    rows = open_door(args).fresh()
    if args.json:
        out.rows(rows)
    elif args.csv:
        out.csv(CSV_HEADS, [_all_cells(row) for row in rows])
    else:
        out.lines(_page(rows) if rows else [NOTHING])
    return out.DONE


def _page(rows: Sequence[FreshRow]) -> Iterator[str]:
    from core.fresh.asks import FRESH_WORDS
    from core.reckon.vase_life import KNOWN_MISSES, LOOK

    words = FRESH_WORDS | {"old": "sell or compost", "rescue": "sell or hang"}
    yield from table(HEADS, [(*_cells(row), words.get(row.status, "")) for row in rows])
    flags = [f"! {row.lot}: {flag}" for row in rows for flag in row.flags]
    if flags:
        yield from ("", *wrapped(flags))
    yield from ("", "because")
    yield from wrapped(f"  {row.lot}: {row.because}" for row in rows if row.status != "compost")
    kept = {row.crop: row.keep for row in rows if row.keep}
    if kept:
        yield from ("", "kept")
        yield from wrapped(f"  {crop}: {'; '.join(words)}" for crop, words in kept.items())
    yield ""
    yield from wrapped([f"Days left are days in a vase at 68 F from now on, {LOOK}."])
    yield from wrapped(f"  {crop}: {KNOWN_MISSES[crop]}" for crop in _crops(rows) if crop in KNOWN_MISSES)


def _crops(rows: Sequence[FreshRow]) -> list[str]:
    return list(dict.fromkeys(row.crop for row in rows))


def _cells(row: FreshRow) -> tuple[object, ...]:
    name, cut, until = named(row.crop, row.variety), day_text(row.cut_on), day_text(row.expires)
    return (row.lot, name, row.place, row.use, row.stems, cut, _left(row.left_days), until)


def _left(left: tuple[float, float] | None) -> str:
    """ "about 3-12", "none"; nothing where the sheet has no vase life."""
    if left is None:
        return ""
    least, most = (f"{days:.0f}" for days in left)
    if most == "0":
        return "none"
    return f"about {least}" if least == most else f"about {least}-{most}"


def _all_cells(r: FreshRow) -> tuple[object, ...]:
    least, most = r.left_days or (None, None)
    return (r.lot, r.crop, r.variety, r.place, r.since, r.use, r.stems, r.cut_on, r.age_days, r.used_days, least,
            most, r.expires, r.status, r.because, "; ".join(r.keep), "; ".join(r.flags), r.note)  # fmt: skip
