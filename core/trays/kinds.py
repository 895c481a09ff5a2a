"""Trays: sown, up, pricked out, potted on, hardened off step by step, set out or lost.

Seeds sown = not up + living + set out + lost, always.
"""

from __future__ import annotations

from datetime import date

from core.book.entry import Draft, Entry
from core.called import Called
from core.codes import free_code, is_new
from core.farm import Farm, Tray
from core.happened import Moved, Step
from core.kinds import REF, Kind, may, needs
from core.problems import Problem
from core.refusals import check_some, too_early
from core.seeds.drawer import FROM_PACKET, check_taken
from core.spelling import spelled
from core.units import dated_text, plural
from core.usual import most_so_far, note_most, planned_seeds, too_many, too_many_seeds

TRAY: Called[Tray] = Called("tray", lambda farm: farm.trays)
_tray, _tray_or_matter = TRAY.find, TRAY.find_or_matter


def _known(farm: Farm, draft: Draft) -> Tray | Problem:
    """The draft's tray, where it is one that lives on the draft's day."""
    tray = TRAY.need(farm, draft)
    if isinstance(tray, Problem):
        return tray
    if not tray.is_live:
        return Problem(f"Tray {tray.code} was finished on {dated_text(tray.closed_on)}.", "impossible")
    return too_early("Tray", tray.code, tray.sown, draft) or tray


def _check_sown(farm: Farm, draft: Draft) -> Problem | None:
    if not is_new(farm, draft.fields["tray"], farm.trays):
        return Problem(f"There is a tray {draft.fields['tray']} already.", "impossible")
    if draft.fields["cells"] < 1 or draft.fields["seeds"] < 1:
        return Problem("A sowing needs at least one cell and one seed.", "impossible")
    return check_taken(farm, draft)


def _sown(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    code = free_code(farm, f["tray"], farm.trays, entry.id)
    farm.note_variety(f["crop"], f.get("variety"))
    note_most(farm, "sown", f["crop"], f["seeds"])
    farm.trays.add(
        code,
        Tray(
            code,
            entry.id,
            f["crop"],
            f.get("variety"),
            f.get("way"),
            entry.on,
            f["cells"],
            f.get("cell_size"),
            f["seeds"],
            alive=f["cells"],
        ),
    )


def _check_up(farm: Farm, draft: Draft) -> Problem | None:
    tray = _known(farm, draft)
    if isinstance(tray, Problem):
        return tray
    if draft.fields["count"] + tray.set_out > tray.seeds:
        return Problem(
            f"{tray.code} was sown with {tray.seeds} seeds: {draft.fields['count']} cannot be up.",
            "impossible",
        )
    return None


def _up(farm: Farm, entry: Entry) -> None:
    if tray := _tray_or_matter(farm, entry):
        tray.up, tray.up_on = entry.fields["count"], entry.on
        tray.most_up = max(tray.most_up, entry.fields["count"] + tray.set_out)
        if entry.fields["count"]:
            tray.first_up_on = tray.first_up_on or entry.on
        tray.alive = entry.fields["count"]
        _note_too_many(farm, tray, entry, tray.alive + tray.set_out - tray.seeds, "up than were sown")
        _close_if_empty(tray, entry.on)


def _note_too_many(farm: Farm, tray: Tray, entry: Entry, more: int, than: str) -> None:
    """A matter where an entry has more in a tray than there can be: a correction, or another machine, made it so."""
    if more > 0:
        farm.note_matter(
            f"{more} more in tray {tray.code} are {than}: count it again, or correct what was sown.",
            entry.id,
            "more than sown",
            tray.code,
            amount=more,
        )


def _check_potted(farm: Farm, draft: Draft) -> Problem | None:
    tray = _known(farm, draft)
    if isinstance(tray, Problem):
        return tray
    most = tray.alive if tray.up is not None else tray.seeds
    if draft.fields["count"] > most:
        return Problem(
            f"{tray.code} has {most} living: {draft.fields['count']} is more. Count it first: up "
            f"{draft.fields['count']} {tray.code}.",
            "impossible",
        )
    return None


def _potted(farm: Farm, entry: Entry) -> None:
    if tray := _tray_or_matter(farm, entry):
        left = tray.alive - entry.fields["count"]
        beyond = -left if tray.up is not None else entry.fields["count"] - tray.seeds
        _note_too_many(farm, tray, entry, beyond, f"{entry.kind} than lived")
        if tray.up is not None and left > 0:
            tray.lost[f"not {entry.kind}"] = tray.lost.get(f"not {entry.kind}", 0) + left
        tray.alive = entry.fields["count"]
        size = entry.fields.get("cell_size")
        tray.moves.append(
            Moved(entry.on, "pricked out" if entry.kind == "pricked out" else "potted on", size)
        )
        _close_if_empty(tray, entry.on)


def _check_ladder(farm: Farm, draft: Draft) -> Problem | None:
    tray = _known(farm, draft)
    if isinstance(tray, Problem):
        return tray
    if tray.ladder and draft.on < tray.ladder[-1].on:
        return Problem(
            f"{tray.code} already has its {tray.ladder[-1].on} written: the ladder is kept in the order of days.",
            "impossible",
        )
    if tray.ladder and tray.ladder[-1].on == draft.on:
        did = "a step" if tray.ladder[-1].did == "step" else f"held ({tray.ladder[-1].cause})"
        return Problem(
            f"{tray.code} has {did} written for that day already: take that back to change it.", "impossible"
        )
    return None


def _step(farm: Farm, entry: Entry) -> None:
    if tray := _tray_or_matter(farm, entry):
        tray.ladder.append(Step(entry.on, "step", ""))


def _held(farm: Farm, entry: Entry) -> None:
    if tray := _tray_or_matter(farm, entry):
        tray.ladder.append(Step(entry.on, "held", spelled(entry.fields["cause"])))


def check_leaving(farm: Farm, draft: Draft, count: int) -> Problem | None:
    """Whether `count` plants can leave the draft's tray."""
    tray = _known(farm, draft)
    if isinstance(tray, Problem):
        return tray
    if count > tray.alive:
        return Problem(
            f"{tray.code} has {tray.alive} living: {count} is more than there is.",
            "impossible",
            (str(tray.alive),),
        )
    return None


def lose(farm: Farm, entry: Entry) -> None:
    """A loss in a tray, with its cause."""
    if tray := _tray_or_matter(farm, entry):
        count, cause = entry.fields["count"], spelled(entry.fields["cause"])
        tray.lost[cause] = tray.lost.get(cause, 0) + count
        farm.note_cause(cause, entry.on)
        note_most(farm, "lost of trays", tray.crop, count)
        _leave(farm, tray, count, entry)


def send_out(farm: Farm, entry: Entry, plants: int) -> Tray | None:
    """`plants` leave their tray for a bed; the tray, or None where the book does not know it."""
    if tray := _tray_or_matter(farm, entry):
        tray.set_out += plants
        _leave(farm, tray, plants, entry)
    return tray


def _leave(farm: Farm, tray: Tray, count: int, entry: Entry) -> None:
    tray.alive -= count
    if tray.alive < 0:
        farm.note_matter(
            f"{-tray.alive} more plants left tray {tray.code} than it held: count it again.",
            entry.id,
            "plants overdrawn",
            tray.code,
            amount=-tray.alive,
        )
    _close_if_empty(tray, entry.on)


def _close_if_empty(tray: Tray, on: str) -> None:
    tray.closed_on = on if tray.alive == 0 else None


def _check_lost(farm: Farm, draft: Draft) -> Problem | None:
    return check_some(draft) or check_leaving(farm, draft, draft.fields["count"])


FIRST_SEEDS = 5_000
"""Seeds of the first sowing of all, on an acre, from which on they are asked about (ours)."""


def _sown_too_many(farm: Farm, draft: Draft) -> str | None:
    seeds, crop = draft.fields["seeds"], draft.fields["crop"]
    most = most_so_far(farm, "sown", crop)
    if not most and seeds >= FIRST_SEEDS and not planned_seeds(farm, crop):
        return f"{seeds} seeds is many times what one sowing holds"
    return too_many_seeds(farm, seeds, most, crop)


def _lost_too_many(farm: Farm, draft: Draft) -> str | None:
    tray, count = _tray(farm, draft), draft.fields["count"]
    if tray is None or count == tray.alive:  # all of it may be lost
        return None
    return too_many(count, most_so_far(farm, "lost of trays", tray.crop), f"plants of {tray.code} lost")


YOUNGEST = 7
"""Days after sowing before which no seedling is hardened off (common practice: it is up and growing by then, and
hardening itself takes one to two weeks)."""


def _step_too_early(farm: Farm, draft: Draft) -> str | None:
    """A step written with one key on a tray that has hardly come up."""
    tray = _tray(farm, draft)
    if tray is None or tray.ladder:
        return None
    days = (date.fromisoformat(draft.on) - date.fromisoformat(tray.sown)).days
    return (
        f"{tray.code} was sown {plural(days, 'day')} ago, too young to be hardened off"
        if days < YOUNGEST
        else None
    )


KINDS = (
    Kind(
        "sown",
        "sown tray {tray}: {crop}[ {variety}][ ({way})], {seeds} seeds in {cells} cells[ of {cell_size}]"
        "[, from {packet}][, {packet_seeds} of them]",
        needs(tray="code", crop="text", cells="count", seeds="count")
        | may(variety="text", way="code", cell_size="count")
        | FROM_PACKET,
        _sown,
        check=_check_sown,
        slip=_sown_too_many,
        makes="tray",
    ),
    Kind("up", "{tray}: {count} up", needs(tray="code", count="count") | REF, _up, check=_check_up),
    Kind(
        "pricked out",
        "{tray}: {count} pricked out[ into {cell_size}s]",
        needs(tray="code", count="count") | may(cell_size="count") | REF,
        _potted,
        check=_check_potted,
    ),
    Kind(
        "potted on",
        "{tray}: {count} potted on[ into {cell_size}s]",
        needs(tray="code", count="count") | may(cell_size="count") | REF,
        _potted,
        check=_check_potted,
    ),
    Kind(
        "step",
        "{tray}: hardening step {step} done",
        needs(tray="code", step="count") | REF,
        _step,
        check=_check_ladder,
        slip=_step_too_early,
    ),
    Kind(
        "held",
        "{tray}: hardening held, {cause}",
        needs(tray="code", cause="text") | REF,
        _held,
        check=_check_ladder,
    ),
    Kind(
        "lost",
        "lost {count} of tray {tray}, {cause}",
        needs(count="count", cause="text", tray="code") | REF,
        lose,
        check=_check_lost,
        slip=_lost_too_many,
        when="tray",
    ),
)
