"""Boxes of dry stock: what they hold, where they stand, and the looks into them."""

from __future__ import annotations

from core.boxes.asks import BOX_WORDS
from core.boxes.kinds import BoxRow, box_rows
from core.units import day_text, plural
from tui.letters import deed
from tui.phrases import because, strip
from tui.row_keys import Ask, RowSort, gap, one_of
from tui.table import PRINTED, SCREEN, Column, Line, Meaning, Table

LIGHT = {True: "light", False: "dark"}


def _holds(r: BoxRow) -> str:
    """ "12 bunches statice", "14 bunches 3 crops", "24 heads strawflower"."""
    if not r.lots:
        return "nothing"
    crops = r.crops[0] if len(r.crops) == 1 else plural(len(r.crops), "crop")
    counts = (
        plural(r.bunches, "bunch", "bunches") if r.bunches else "",
        plural(r.heads, "head") if r.heads else "",
    )
    return f"{' and '.join(filter(None, counts)) or plural(r.stems, 'stem')} {crops}"


def _stands(r: BoxRow) -> str:
    light = None if r.light is None else "in light" if r.light else "dark"
    return " ".join(filter(None, (r.where, light)))


def _looked(r: BoxRow) -> str:
    return f"{day_text(r.last_check)} {r.last_result}" if r.last_check else ""


def _now(r: BoxRow) -> str:
    return BOX_WORDS.get(r.ask) or (f"next look {day_text(r.next_check)}" if r.next_check else "empty")


COLUMNS = (
    Column("box", "box", 7),
    Column("", "holds", show=_holds, on=SCREEN),
    Column("", "stands", 14, _stands, least=96, on=SCREEN),
    Column("", "looked into", 13, _looked, least=60, on=SCREEN),
    Column("", "", 22, _now, on=SCREEN),
    Column("bunches", "bunches", on=PRINTED),
    Column("stems", "stems", on=PRINTED),
    Column("where", "stands", on=PRINTED),
    Column(
        "light", "", csv_head="light", show=lambda light: None if light is None else LIGHT[light], on=PRINTED
    ),
    Column("last_check", "looked into", on=PRINTED),
    Column("last_result", "found", on=PRINTED),
    Column("next_check", "next look", on=PRINTED),
)
TABLES = (
    Table(
        "boxes",
        COLUMNS,
        lambda session: box_rows(session.farm, session.today),
        "boxes of dry stock",
        heads={"stems": Meaning("stems and heads there", "stems")},
    ),
)
RESULT_KEYS = {"s": "sound", "m": "moth", "d": "damp", "i": "mice"}


def _found(r: BoxRow) -> Ask:
    return one_of(f"What is in {r.box}?", RESULT_KEYS, f"check {r.box}")


BOX = RowSort(
    "box",
    "On a box",
    (
        deed("look", "looked into", "looked into, and what was found", _found),
        deed("freeze", "freeze", "into the freezer against moths", lambda r: gap(f"freeze {r.box} 7 days")),
        deed(
            "move",
            "stands",
            "where it stands, dark or in the light",
            lambda r: gap(f"{r.box} dark "),
        ),
    ),
    view="stock",
)
ROWS = (BOX,)


def look(r: BoxRow) -> str:
    """How its row looks."""
    return "caution" if r.ask in ("treat", "dry") else "bold" if r.ask else ""


def about_box(r: BoxRow, width: int) -> list[Line]:
    """What there is to say of a box, the most needed first."""
    lots = f" ({', '.join(r.lots)})" if r.lots else ""
    first = f"{r.box}: {_holds(r)}{lots}" + (f", {_stands(r)}" if _stands(r) else "")
    looked = (
        f"looked into {day_text(r.last_check)}: {r.last_result}" if r.last_check else "not looked into yet"
    )
    parts = (looked, r.treated, f"next look {day_text(r.next_check)}" if r.next_check else "")
    light = "it stands in the light: color fades, put it in the dark" if r.light else ""
    return strip(
        width,
        (first, "bold"),
        (r.says, "caution" if r.ask in ("treat", "dry") else "bold"),
        (r.care, "caution"),
        (light, "caution"),
        ("; ".join(part for part in parts if part), ""),
        (because(r.because), "quiet"),
    )
