"""What the keys of a row write: each makes a line, whole or with a gap for what only she knows."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from core.farm import BUCKET, COOLER

if TYPE_CHECKING:
    from core.beds.rows import BedRow, PlantingRow
    from core.boxes.kinds import BoxRow
    from core.cutting.asks import AtStage
    from core.drying.rows import ShelfRow
    from core.fresh.rows import FreshRow
    from core.pieces.bench import ToWireRow
    from core.plans.asks import PlanTask
    from core.plans.rows import PlanRow
    from core.stems.rows import StockRow
    from core.trays.rows import TrayRow


@dataclass(frozen=True, slots=True)
class Typed:
    """A line put into the entry line with the cursor at `caret` (its end where None), or sent at once."""

    text: str
    caret: int | None = None
    send: bool = False
    view: str = ""
    """The view to finish it in; "" for the one that is open."""


@dataclass(frozen=True, slots=True)
class Ask:
    """A question with one key for each answer; `answers` are (key, word, line to write)."""

    question: str
    answers: tuple[tuple[str, str, str], ...]
    left: str = ""
    """What is said where she leaves it unanswered."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A planting with its bed."""

    bed: BedRow
    planting: PlantingRow | None


HOLD_KEYS: Mapping[str, str] = {
    "w": "wind",
    "r": "rain",
    "c": "cold",
    "f": "frost",
    "h": "heat",
    "n": "no time",
    "o": "other",
}


RESULT_KEYS: Mapping[str, str] = {"s": "sound", "m": "moth", "d": "damp", "i": "mice"}


def _whole(text: str) -> Typed:
    return Typed(text, send=True)


def _gap(before: str, after: str = "") -> Typed:
    """A line with a gap to type in."""
    return Typed(f"{before}{after}", caret=len(before))


def _hold(row: TrayRow) -> Ask:
    return Ask(
        f"Hold {row.tray}, why?",
        tuple((key, cause, f"hold {row.tray} {cause}") for key, cause in HOLD_KEYS.items()),
    )


def _cover(row: Standing) -> Typed:
    return _whole(f"{'uncover' if row.bed.covered_on else 'cover'} {row.bed.bed}")


def _cut_here(row: Standing) -> Typed:
    planting = row.planting
    assert planting is not None
    alike = [p for p in row.bed.plantings if p.crop == planting.crop]
    where = f"{planting.crop} {row.bed.bed}" if len(alike) == 1 else planting.planting
    use = f" {planting.at_stage[0]}" if len(planting.at_stage) == 1 else ""
    return Typed(f" {where}{use}", caret=0, view="cut")


def _planted(row: Standing) -> str:
    assert row.planting is not None
    return row.planting.planting


def _cut_look(row: AtStage) -> Typed:
    use = f" {row.uses[0]}" if len(row.uses) == 1 else ""
    return Typed(f" {row.crop} {row.bed}{use}", caret=0, view="cut")


def _sold(row: StockRow) -> Typed:
    return _gap("sold ", f" {row.lot} {row.place}")


def _found(row: BoxRow) -> Ask:
    return Ask(
        f"What is in {row.box}?",
        tuple((key, result, f"check {row.box} {result}") for key, result in RESULT_KEYS.items()),
    )


def _cooled(row: FreshRow | ToWireRow) -> Typed:
    """All of it into the cooler, or out of it: the other of the two places."""
    return _gap(f"move {row.lot} from {row.place} to {BUCKET if row.place == COOLER else COOLER}")


def _boxing(row: ShelfRow) -> Typed:
    return _gap(f"box {row.lot} {row.line} ", "")


def _next_of_plan(row: PlanRow | PlanTask) -> Typed:
    """What is written when the next part is done; of a cut how many is to be filled in."""
    if row.line.startswith(" "):
        return _gap("", row.line)
    return Typed(row.line)


LINES: Mapping[tuple[str, str], Callable[[Any], Typed | Ask]] = {
    ("tray", "step"): lambda row: _whole(f"step {row.tray}"),
    ("tray", "hold"): _hold,
    ("tray", "set_out"): lambda row: _gap(f"set out {row.tray} "),
    ("tray", "up"): lambda row: _gap("up ", f" {row.tray}"),
    ("tray", "pot"): lambda row: _gap(f"pot {row.tray} "),
    ("tray", "prick"): lambda row: _gap(f"prick {row.tray} "),
    ("tray", "lost"): lambda row: _gap("lost ", f" {row.tray}"),
    ("planting", "cut"): _cut_here,
    ("planting", "pinch"): lambda row: _whole(f"pinch {_planted(row)}"),
    ("planting", "net"): lambda row: _whole(f"net {_planted(row)}"),
    ("planting", "cover"): _cover,
    ("planting", "clear"): lambda row: _whole(f"clear {_planted(row)}"),
    ("planting", "lost"): lambda row: _gap("lost ", f" {_planted(row)}"),
    ("planting", "plant"): lambda row: _gap("plant ", f" {row.bed.bed} {row.bed.free_feet:g}ft"),
    ("bed", "plant"): lambda row: _gap("plant ", f" {row.bed.bed} {row.bed.free_feet:g}ft"),
    ("bed", "cover"): _cover,
    ("to cut", "cut"): _cut_look,
    ("hanging", "snap"): lambda row: _whole(f"snap {row.lot} {row.line}"),
    ("hanging", "bend"): lambda row: _whole(f"bend {row.lot} {row.line}"),
    ("hanging", "box"): _boxing,
    ("hanging", "lost"): lambda row: _gap("lost ", f" {row.lot} {row.line}"),
    ("hanging", "weigh"): lambda row: _gap(f"weigh {row.lot} {row.line} ", "g"),
    ("hanging", "move"): lambda row: _gap(f"move {row.lot} from {row.line} to line "),
    ("fresh", "hang"): lambda row: _gap(f"hang {row.lot} line "),
    ("fresh", "wire"): lambda row: _gap("wire ", f" {row.lot} 22g"),
    ("fresh", "sold"): lambda row: _gap("sold ", f" {row.lot} {row.place}"),
    ("fresh", "move"): _cooled,
    ("fresh", "lost"): lambda row: _gap("lost ", f" {row.lot} {row.place}"),
    ("stock", "sold"): _sold,
    ("stock", "used"): lambda row: _gap("used ", f" {row.lot} {row.place} for "),
    ("stock", "count"): lambda row: _gap("count ", f" {row.lot} {row.place}"),
    ("stock", "move"): lambda row: _gap(f"move {row.lot} from {row.place} to "),
    ("stock", "lost"): lambda row: _gap("lost ", f" {row.lot} {row.place}"),
    ("planned", "next"): _next_of_plan,
    ("plan", "next"): _next_of_plan,
    ("plan", "drop"): lambda row: _whole(f"drop {row.plan}"),
    ("room", "room"): lambda row: _gap(f"room {row.what} ", "ft" if row.what == "line" else ""),
    ("box", "check"): _found,
    ("box", "freeze"): lambda row: _gap(f"freeze {row.box} 7 days"),
    ("box", "where"): lambda row: _gap(f"{row.box} dark "),
    ("recipe", "make"): lambda row: _gap("make ", f" {row.recipe}"),
    ("recipe", "part"): lambda row: _gap(f"part {row.recipe} "),
    ("piece", "sold"): lambda row: _gap("sold ", f" {row.piece}"),
    ("piece", "lost"): lambda row: _gap("lost ", f" {row.piece}"),
    ("making", "bought"): lambda row: _gap("bought ", f" {row.making}"),
    ("making", "count"): lambda row: _gap("count ", f" {row.making}"),
    ("making", "reorder"): lambda row: _gap("reorder ", f" {row.making}"),
}
"""(kind of row, id of its key) -> the line for a row."""


_ONLY_HOW_MANY = re.compile(
    r"\s*\d+(\s+stems?)?(\s+\d+\s*min)?(\s+(\d+\s+culls?|culls?\s+\d+)(\s+[a-z-]+)?)?(\s+\d+\s*min)?\s*",
    re.IGNORECASE,
)


def same_again(text: str, cut: Mapping[str, Any]) -> str:
    """What has to follow `text` to repeat `cut`; "" where it says more than how many, culls and minutes."""
    if not _ONLY_HOW_MANY.fullmatch(text):
        return ""
    variety = cut.get("variety")
    quoted = f'"{variety}"' if variety and " " in variety else variety
    return " " + " ".join(filter(None, (cut["crop"], quoted, cut["bed"], cut["use"])))
