"""Every kind of entry there is, its fields, and the sentence it makes: the words of the book in one table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from core.book.entry import Draft, Fields
from core.problems import Problem
from core.text import LONGEST, clean, is_clean
from core.units import day_from_iso, is_clock, month_day

Holds = Literal["text", "code", "count", "number", "flag", "month_day", "day", "clock"]
"""What a field holds: clean text, a code or name of at most 40 characters, a whole number from 0, any number,
true or false, "MM-DD", "YYYY-MM-DD", or the farm's time "HH:MM"."""

CODE_LONGEST = 40
COUNT_MOST = 10_000_000
NUMBER_MOST = 1e7


class Field(NamedTuple):
    """One field of a kind; `needed` ones must be there."""

    holds: Holds
    needed: bool = True


class Kind(NamedTuple):
    """One kind of entry: what it says and which fields it has.

    `says` is a sentence with field names in braces; parts in square brackets fall away when a field in them
    is missing.
    """

    says: str
    fields: Mapping[str, Field]


def _needs(**fields: Holds) -> dict[str, Field]:
    return {name: Field(holds) for name, holds in fields.items()}


def _may(**fields: Holds) -> dict[str, Field]:
    return {name: Field(holds, needed=False) for name, holds in fields.items()}


_OF = _may(ref="code")
"""`ref`: the id of the entry that made the tray, planting or lot named beside it. Codes are for people and tags;
two machines apart may give the same code twice, and the id settles which was meant."""

KINDS: Mapping[str, Kind] = {
    # the farm and its settings
    "farm": Kind(
        "farm[ {name}][ at {latitude} N][ {longitude} E][, clock {zone}][, wire gauges by {wire}]",
        _may(name="text", latitude="number", longitude="number", zone="code", wire="code"),
    ),
    "frost": Kind(
        "{season} frost of {threshold_f} F at {risk_pct} %: {month_day}[, {source}]",
        _needs(season="code", threshold_f="number", risk_pct="number", month_day="month_day")
        | _may(source="text"),
    ),
    "risk": Kind(
        "{hardiness} crops wait for {threshold_f} F at {risk_pct} %",
        _needs(hardiness="code", threshold_f="number", risk_pct="number"),
    ),
    "station": Kind(
        "weather of {station}[ {name}], {days} days from {first} to {last}[, at {latitude} N]",
        _needs(station="text", file="code", first="day", last="day", days="count")
        | _may(name="text", latitude="number"),
    ),
    "bed": Kind(
        "bed {bed}: {feet} ft long, {width_in} in wide", _needs(bed="code", feet="number", width_in="number")
    ),
    "sheet": Kind(
        "{crop}[ ({way})]: {figure} is {value}[, {source}]",
        _needs(crop="text", figure="code", value="text") | _may(way="code", source="text"),
    ),
    # seed to bed
    "sown": Kind(
        "sown tray {tray}: {crop}[ {variety}][ ({way})], {seeds} seeds in {cells} cells[ of {cell_size}]",
        _needs(tray="code", crop="text", cells="count", seeds="count")
        | _may(variety="text", way="code", cell_size="count"),
    ),
    "drilled": Kind(
        "drilled {planting}: {crop}[ {variety}] in bed {bed}, {feet} ft",
        _needs(planting="code", crop="text", bed="code", feet="number") | _may(variety="text", way="code"),
    ),
    "up": Kind("{tray}: {count} up", _needs(tray="code", count="count") | _OF),
    "pricked out": Kind(
        "{tray}: {count} pricked out[ into {cell_size}s]",
        _needs(tray="code", count="count") | _may(cell_size="count") | _OF,
    ),
    "potted on": Kind(
        "{tray}: {count} potted on[ into {cell_size}s]",
        _needs(tray="code", count="count") | _may(cell_size="count") | _OF,
    ),
    "step": Kind("{tray}: hardening step {step} done", _needs(tray="code", step="count") | _OF),
    "held": Kind("{tray}: hardening held, {cause}", _needs(tray="code", cause="text") | _OF),
    "set out": Kind(
        "set out {planting}:[ {plants} plants of] {crop}[ {variety}][ ({way})][ from {tray}] in bed {bed}, "
        "{feet} ft",
        _needs(planting="code", crop="text", bed="code", feet="number")
        | _may(variety="text", way="code", plants="count", tray="code")
        | _OF,
    ),
    "pinched": Kind("pinched {planting}", _needs(planting="code") | _OF),
    "netted": Kind("netted {planting}", _needs(planting="code") | _OF),
    "covered": Kind("covered bed {bed}", _needs(bed="code")),
    "uncovered": Kind("uncovered bed {bed}", _needs(bed="code")),
    "cleared": Kind("cleared {planting}", _needs(planting="code") | _OF),
    # what is to come
    "planned": Kind(
        "planned {plan}: {stems} {crop}[ {variety}][ ({way})] for {use} by {due_on}[, sow {sow_on}]"
        "[, set out {set_out_on}][, cut from {cut_from}][: {seeds} seeds][ in {cell_size}s]"
        "[, {plants} plants][, {feet} ft][ in bed {bed}]",
        _needs(plan="code", crop="text", use="code", stems="count", due_on="day")
        | _may(
            variety="text",
            way="code",
            sow_on="day",
            set_out_on="day",
            cut_from="day",
            cells="count",
            cell_size="count",
            seeds="count",
            plants="count",
            feet="number",
            bed="code",
        ),
    ),
    "dropped": Kind("dropped plan {plan}", _needs(plan="code") | _OF),
    "capacity": Kind("room: {what} {count}", _needs(what="code", count="number")),
    # stems
    "cut": Kind(
        "cut {stems} {crop}[ {variety}] from bed {bed} for {use}[, {culls} culled][ ({cull_cause})]"
        "[, {minutes} min][, stage: {stage}][, {dry_hours} h out of water][, at {clock}]: {lot}",
        _needs(lot="code", crop="text", bed="code", use="code", stems="count")
        | _may(
            variety="text",
            planting="code",
            culls="count",
            cull_cause="text",
            minutes="number",
            stage="text",
            dry_hours="number",
            clock="clock",
        )
        | _OF,
    ),
    "hung": Kind(
        "hung {stems} of {lot} on {line}[ in bunches of {per}][, at {clock}]",
        _needs(lot="code", stems="count", source="code", line="code")
        | _may(per="count", clock="clock")
        | _OF,
    ),
    "weighed": Kind(
        "weighed {lot} on {source}: {grams} g[, at {clock}]",
        _needs(lot="code", source="code", grams="number") | _may(clock="clock") | _OF,
    ),
    "wired": Kind(
        "wired {heads} heads of {lot}, gauge {gauge}[, {wires} wires][, anyway: {insisted}]",
        _needs(lot="code", heads="count", source="code", gauge="count", wires="count")
        | _may(insisted="text", tape="number")
        | _OF,
    ),
    "tested": Kind(
        "snap test of {lot}[ on {place}]: {result}",
        _needs(lot="code", result="code") | _may(place="code") | _OF,
    ),
    "boxed": Kind(
        "boxed {bunches} of {lot}, {per} in each, from {source} into {box}[, {grade} grade]",
        _needs(lot="code", source="code", box="code", bunches="count", per="count")
        | _may(grade="code")
        | _OF,
    ),
    "moved": Kind(
        "moved {stems} of {lot} from {source} to {place}[, at {clock}]",
        _needs(lot="code", stems="count", source="code", place="code") | _may(clock="clock") | _OF,
    ),
    "sold": Kind(
        "sold {stems} stems of {lot} from {source}[ to {who}]",
        _needs(lot="code", stems="count", source="code") | _may(who="text") | _OF,
    ),
    "used": Kind(
        "used {stems} stems of {lot} from {source}[ for {purpose}][ in {piece}]",
        _needs(lot="code", stems="count", source="code") | _may(purpose="text", piece="code") | _OF,
    ),
    "lost": Kind(
        "lost {count}[ of lot {lot}][ from {source}][ of tray {tray}][ of planting {planting}], {cause}",
        _needs(count="count", cause="text")
        | _may(lot="code", source="code", tray="code", planting="code")
        | _OF,
    ),
    "counted": Kind(
        "counted {stems} stems of {lot} at {source}; the book had {expected}",
        _needs(lot="code", source="code", stems="count", expected="count") | _OF,
    ),
    # the shed: its lines, its air, its boxes
    "line": Kind(
        "{line}: {feet} ft[, dark: {dark}][, fan: {fan}]",
        _needs(line="code", feet="number") | _may(dark="flag", fan="flag"),
    ),
    "air": Kind(
        "air in {room}[: {f} F][, {rh_pct} % RH][, at {clock}]",
        _needs(room="code") | _may(f="number", rh_pct="number", clock="clock"),
    ),
    "air range": Kind(
        "air in {room} since it was last reset[: {low_f} to {high_f} F][, {low_rh} to {high_rh} % RH]",
        _needs(room="code") | _may(low_f="number", high_f="number", low_rh="number", high_rh="number"),
    ),
    "box": Kind(
        "{box}[: {where}][, in the light: {light}]", _needs(box="code") | _may(where="text", light="flag")
    ),
    "box checked": Kind("looked into {box}: {result}", _needs(box="code", result="code")),
    "box treated": Kind(
        "{box} {how}[ for {days} days][ for {hours} h]",
        _needs(box="code", how="code") | _may(days="number", hours="number"),
    ),
    # pieces
    "recipe": Kind(
        "recipe {recipe}: {sort}[ of {size_in} in][, {minutes} min]",
        _needs(recipe="code", sort="code") | _may(size_in="number", minutes="number"),
    ),
    "part": Kind(
        "{recipe} takes {count} {what}, {form}",
        _needs(recipe="code", what="text", count="number", form="code"),
    ),
    "made": Kind(
        "made {count} {recipe}[ in {minutes} min]: {piece}",
        _needs(piece="code", recipe="code", count="count") | _may(minutes="number"),
    ),
    "piece sold": Kind(
        "sold {count} of {piece}[ to {who}]", _needs(piece="code", count="count") | _may(who="text") | _OF
    ),
    "piece lost": Kind(
        "lost {count} of {piece}, {cause}", _needs(piece="code", count="count", cause="text") | _OF
    ),
    # makings
    "bought": Kind("bought {count} of {making}", _needs(making="text", count="number")),
    "stocktake": Kind(
        "{count} of {making} on the shelf, the book had {expected}",
        _needs(making="text", count="number", expected="number"),
    ),
    "spent": Kind(
        "{count} of {making} used[ in {piece}]", _needs(making="text", count="number") | _may(piece="code")
    ),
    "reorder": Kind("buy {making} again at {count}", _needs(making="text", count="number")),
    # weather and words
    "low": Kind("low last night {f} F", _needs(f="number")),
    "high": Kind("high {f} F", _needs(f="number")),
    "tonight": Kind("low forecast for tonight {f} F", _needs(f="number")),
    "wind": Kind("wind {mph} mph", _needs(mph="number")),
    "dusk": Kind(
        "two hours after sunset {f} F, dew point {dew_f} F[, {sky}]",
        _needs(f="number", dew_f="number") | _may(sky="code"),
    ),
    "note": Kind("note[ on {about}]: {text}", _needs(text="text") | _may(about="code")),
    "strike": Kind("struck {entry}", _needs(entry="code")),
}

USES = ("fresh", "dry", "wire")
SEASONS = ("spring", "autumn")
CLEAR = "clear"
SKIES = (CLEAR, "cloudy", "windy")
"""The night at dusk: only clear and calm nights count for reckoning lows."""
ROOMS = ("lights", "hardening", "line")
"""Room that is counted: trays under lights, tray spaces for hardening off, feet of line in the shed."""
RESULTS = ("snaps", "bends")
BOX_RESULTS = ("sound", "moth", "damp", "mice")
"""What a look into a box may find."""
TREATMENTS = ("frozen", "warmed")
"""What is done to a box for moths."""
PIECES = ("wired head", "buttonhole", "corsage", "crown", "wreath", "bouquet", "centrepiece")
"""The sorts of pieces."""
FORMS = ("fresh", "dry", "wired", "making")
"""In what form a recipe takes a part."""
WIRE_STANDARDS = ("SWG", "AWG")


def problem_with(kind: str, fields: Fields) -> Problem | None:
    """What is wrong with the shape of an entry (unknown kind, missing or ill-made field), or None.

    The shape only: whether the lot exists or holds enough is the fold's business.
    """
    known = KINDS.get(kind)
    if known is None:
        return Problem(f"There is no kind of entry called '{_short(kind)}'.", "unreadable")
    for name, field in known.fields.items():
        if name not in fields:
            if field.needed:
                return Problem(f"A '{kind}' entry needs its {name.replace('_', ' ')}.", "unreadable")
            continue
        wrong = _wrong(fields[name], field.holds)
        if wrong:
            return Problem(f"The {name.replace('_', ' ')} of a '{kind}' entry {wrong}.", "unreadable")
    for name in fields:
        if name not in known.fields:
            return Problem(f"A '{kind}' entry has no field '{_short(name)}'.", "unreadable")
    return None


def _wrong(value: Any, holds: Holds) -> str | None:
    if holds == "flag":
        return None if isinstance(value, bool) else "must be true or false"
    if holds in ("count", "number"):
        if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:
            return "must be a number"
        if holds == "count":
            return (
                None
                if isinstance(value, int) and 0 <= value <= COUNT_MOST
                else "must be a whole number from 0"
            )
        return None if abs(value) <= NUMBER_MOST else "is too large"
    if not isinstance(value, str) or not value or not is_clean(value):
        return "must be plain text"
    if holds == "code":
        return None if len(value) <= CODE_LONGEST else "is too long"
    if holds == "month_day":
        return None if month_day(value, 2024) else "must be a month and day such as 05-14"
    if holds == "day":
        return None if day_from_iso(value) else "must be a day such as 2026-06-23"
    if holds == "clock":
        return None if is_clock(value) else "must be a time such as 06:40"
    return None if len(value) <= LONGEST else f"is longer than {LONGEST} characters"


def _short(text: str) -> str:
    return clean(str(text))[:CODE_LONGEST]


def sentence(entry: Draft | Any) -> str:
    """The entry (or draft) as one plain sentence without its date; harmless on a terminal."""
    kind = KINDS.get(entry.kind)
    fields = entry.fields
    if kind is None:
        return clean(f"{entry.kind}: " + ", ".join(f"{k} {v}" for k, v in fields.items()))
    out: list[str] = []
    for part in kind.says.replace("[", "\0[").replace("]", "\0").split("\0"):
        optional, text = part.startswith("["), part.removeprefix("[")
        filled = _fill(text, fields)
        if filled is None:
            out.append("" if optional else text)
        else:
            out.append(filled)
    return clean("".join(out))


_PLACES = {
    "bucket": "the bucket",
    "bench": "the bench",
    "cooler": "the cooler",
    "shed": "the shed",
    "room": "the room",
}


def _fill(text: str, fields: Fields) -> str | None:
    for piece in text.split("{")[1:]:
        name = piece.partition("}")[0]
        if fields.get(name) is None:
            return None
        value = fields[name]
        if value == 1:
            text = text.replace(f"{{{name}}} {name}", f"{{{name}}} {name.removesuffix('s')}")
        if isinstance(value, bool):
            shown = "yes" if value else "no"
        elif isinstance(value, str):
            shown = _PLACES.get(value, value)
        else:
            shown = f"{value:g}" if isinstance(value, float) else str(value)
        text = text.replace("{" + name + "}", shown)
    return text
