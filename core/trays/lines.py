"""Seed to bed: sown, up, pricked out, potted on, hardened off, set out, and what is done in the beds."""

from __future__ import annotations

from core.codes import LOT, TRAY, next_code
from core.crops.hardening import ladder, reached
from core.farm import Farm, Tray
from core.language.causes import need_cause, usual_causes
from core.language.crops import need_crop, take_variety, take_way
from core.language.line import Line, Reading, Refused, whole
from core.language.names import is_code, take_share, take_tray, take_trays
from core.language.offers import crops, has_code, trays, varieties, words
from core.language.tokens import Number, Token
from core.language.verb import NOT, Verb, lost_claim, take_loss
from core.language.words import ALL, READY, TRAY_WORDS
from core.seeds.choosing import from_packet, refuse_roots, take_named
from core.settings.sheets import farm_sheet
from core.trays.rows import TrayRow, ladder_days, tray_rows
from core.units import as_typed, plural


def sow(line: Line) -> Reading:
    """ "sow 72 strawflower early apricot 128s 144 seeds": 72 cells; one seed a cell unless said."""
    size = line.take_unit("size", "cells to a tray")
    seeds = line.take_unit("seeds", "seeds")
    trays, each = _take_trays_of(line, size)
    packet = take_named(line)
    crop = need_crop(line)
    way = take_way(line, crop)
    variety = take_variety(line, crop)
    refuse_roots(line, crop, variety, is_seed=seeds is not None or packet is not None)
    cells = trays * each if trays else line.take_count("cells", "cells")
    if cells is None:
        if seeds is None:
            raise Refused(f"How many cells of {crop}? Write the number: sow 72 {crop}.")
        cells = whole(seeds, "seeds")
    line.refuse_leftovers()
    sown = cells if seeds is None else whole(seeds, "seeds")
    seed = from_packet(line, crop, variety, sown, packet)
    return line.reading(
        line.draft(
            "sown",
            tray=next_code(line.farm, TRAY, line.known.mark),
            crop=crop,
            variety=seed.pop("variety"),
            way=way,
            cells=cells,
            seeds=sown,
            cell_size=each or _size(size),
            **seed,
        )
    )


def _take_trays_of(line: Line, size: Number | None) -> tuple[int, int]:
    """(4, 72) of "4 trays of 72", "4 flats 72s": so many trays of so many cells; (0, 0) where that is not said."""
    word = next((t for t in line.free() if t.is_word and t.low in TRAY_WORDS), None)
    count = line.after(word, -1) if word is not None else None
    if word is None or count is None or count.number is None or count.unit:
        return 0, 0
    of = line.after(word)
    cells = line.after(of) if of is not None and of.low == "of" else of
    each = size if size is not None else cells.number if cells is not None and not cells.unit else None
    if each is None:
        raise Refused(
            f"Trays of how many cells? Write it: sow {as_typed(count.number)} {word.low} of 72.",
            near=("of 72",),
        )
    for token in filter(None, (word, count, of if of is not None and of.low == "of" else None)):
        token.taken = True
    if size is None and cells is not None:
        cells.taken = True
    trays, each = whole(count.number, "trays"), whole(each, "cells")
    line.remark(
        f"{plural(trays, 'tray')} of {each}: written as one, to be parted when they go their own ways"
    )
    return trays, each


def up(line: Line) -> Reading:
    """ "up 60 S12": seedlings counted."""
    tray = take_tray(line)
    count = line.need_count("seedlings up", "cells", "plants", "seeds")
    return line.reading(line.draft("up", tray=tray.code, count=count, ref=tray.made_by))


def prick(line: Line) -> Reading:
    """ "prick 58 S12 72s": all the living ones where no number is said."""
    return _into_cells(line, "pricked out")


def pot(line: Line) -> Reading:
    """ "pot 50 S12 50s"."""
    return _into_cells(line, "potted on")


def _into_cells(line: Line, kind: str) -> Reading:
    size = line.take_unit("size", "cells to a tray")
    tray = take_tray(line)
    count = take_share(line, tray.alive)
    if count is None:
        count = line.take_count("plants", "plants")
    if count is not None and tray.up is not None and count < tray.alive:
        line.remark(f"the other {tray.alive - count} of {tray.code} are done with: not {kind}")
    return line.reading(
        line.draft(
            kind,
            tray=tray.code,
            count=tray.alive if count is None else count,
            cell_size=_size(size),
            ref=tray.made_by,
        )
    )


def _size(value: Number | None) -> int | None:
    return None if value is None else whole(value, "cells to a tray")


def step(line: Line) -> Reading:
    """ "step S12", "step S12 S13", "step all ready": the next step of hardening off is done."""
    trays = _all_hardening(line) or _not_stepped(line, take_trays(line))
    return line.reading(
        *(line.draft("step", tray=t.code, step=_next_step(line, t), ref=t.made_by) for t in trays)
    )


def _not_stepped(line: Line, trays: list[Tray]) -> list[Tray]:
    """Of several trays those that had no step on the line's day yet, the others told; all where all had one."""
    day = line.on.isoformat()
    left = [t for t in trays if not any(step.on == day and step.did == "step" for step in t.ladder)]
    if not left or len(trays) == 1:
        return trays
    for tray in trays:
        if tray not in left:
            line.remark(f"{tray.code} had its step today")
    return left


def _all_hardening(line: Line) -> list[Tray]:
    """Where the line says "all": every tray on its ladder that was neither stepped nor held today. With "ready", those
    that nothing in today's forecast keeps in, and those that begin today."""
    if not line.take_words((ALL,)):
        return []
    is_ready = bool(line.take_words((READY,)))
    due = [r for r in tray_rows(line.farm, line.on) if r.today is None]
    rows = [r for r in due if r.state == "hardening" or (is_ready and _begins(r))]
    trays = [line.farm.trays.get(r.tray) for r in rows if not (is_ready and r.hold)]
    found = sorted(filter(None, trays), key=lambda tray: tray.code)
    if not found:
        kept = [f"{r.tray}: {r.hold}" for r in rows if r.hold]
        why = f"; {'; '.join(kept[:2])}" if kept else ""
        raise Refused(f"No tray is ready for a step{why}. Name the trays: step S12 S14.", "impossible")
    return found


def _begins(row: TrayRow) -> bool:
    """Whether a tray that is up has come to the day on which its hardening begins."""
    is_due = row.harden_in_days is not None and row.harden_in_days <= 0
    return row.state in ("up", "pricked out", "potted on") and row.up is not None and is_due


def _next_step(line: Line, tray: Tray) -> int:
    """The step that is done now: the one after the last reached by the line's day."""
    sheet = farm_sheet(line.farm, tray.crop, tray.way, tray.variety)
    kind = sheet.hardiness_class if sheet else "tender"
    last = len(ladder(kind))
    done = reached(ladder_days(tray), line.on, kind).step
    if done == last:
        line.remark(f"{tray.code} has all its {last} steps done: it may be set out")
    return min(done + 1, last)


def hold(line: Line) -> Reading:
    """ "hold S12 wind", "hold all wind": no step today, and why."""
    _refuse_to_reserve(line)
    codes_first = _all_hardening(line) or take_trays(line)
    cause = need_cause(line, HOLD_CAUSES)
    return line.reading(*(line.draft("held", tray=t.code, cause=cause, ref=t.made_by) for t in codes_first))


def _refuse_to_reserve(line: Line) -> None:
    """Refuse stems to be kept for somebody: a hold is of a tray's hardening."""
    has_tray = any(t.is_word and is_code(t.low, TRAY) for t in line.free())
    keeps = any(
        t.number is not None or (t.is_word and (t.low == "for" or is_code(t.low, LOT))) for t in line.free()
    )
    if keeps and not has_tray:
        raise Refused(
            "'hold' keeps a tray from its hardening step. To keep stems for somebody, write a note: "
            "note L041 2 bunches for the florist.",
            "impossible",
            ("note",),
        )


def lost(line: Line) -> Reading:
    """ "lost 4 damping S12": seedlings of a tray."""
    tray = take_tray(line)
    every = line.take_words((ALL,))
    cause = need_cause(line, CAUSES)
    count = tray.alive if every else line.need_count("plants", "plants", "cells", "seeds")
    return line.reading(line.draft("lost", count=count, tray=tray.code, cause=cause, ref=tray.made_by))


CAUSES = ("damping off", "dried out", "leggy", "slugs", "mice", "frost", "pests", "other")
"""Why seedlings are lost: the short list that is offered."""
HOLD_CAUSES = ("wind", "rain", "low", "cold", "heat", "no time", "other")
"""Why a tray is held in: the short list that is offered."""


def _claims_lost(line: Line, token: Token) -> int:
    return (
        lost_claim(line, token) + 2 if any(t.is_word and is_code(t.low, TRAY) for t in line.free()) else NOT
    )


def _loss_causes(line: Line, farm: Farm) -> tuple[str, ...]:
    return usual_causes(farm, CAUSES) if has_code(line, TRAY) or not has_code(line) else ()


_JOB = "Seed and trays"

VERBS = (
    Verb(
        "sow",
        sow,
        _JOB,
        (
            (
                "sow 72 strawflower early apricot 128s 144 seeds",
                "72 cells sown the early way; a seed a cell unless said",
            ),
        ),
        (crops, varieties, words("seeds", "cells")),
        follow=("seeds", "yesterday"),
    ),
    Verb("up", up, _JOB, (("up 60 S12", "seedlings counted"),), (trays, crops)),
    Verb(
        "prick", prick, _JOB, (("prick 58 S12 72s", "pricked out into 72s"),), (trays, crops), small=("out",)
    ),
    Verb("pot", pot, _JOB, (("pot 50 S12 50s", "potted on into 50s"),), (trays, crops), small=("on", "up")),
    Verb(
        "step",
        step,
        _JOB,
        (
            ("step S12", "today's step of hardening off is done"),
            ("step all ready", "every tray that nothing keeps in today; or name several"),
        ),
        (trays, words(f"{ALL} {READY}"), crops),
    ),
    Verb(
        "hold",
        hold,
        _JOB,
        (("hold S12 wind", "no step today, and why"),),
        (trays, words(*HOLD_CAUSES), crops),
    ),
    Verb(
        "lost",
        lost,
        _JOB,
        (("lost 4 damping S12", "seedlings lost, with their cause"),),
        (trays, _loss_causes),
        claims=_claims_lost,
        take=take_loss,
        small=("out", "away"),
    ),
)
