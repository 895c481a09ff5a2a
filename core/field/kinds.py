"""What is written of the field: sprays and feeds from the label, water, rain, soil tests, minutes of work."""

from __future__ import annotations

from datetime import date, timedelta

from core.book.entry import Draft, Entry
from core.dialect import is_metric, told_rain
from core.farm import Farm
from core.field.closed import KEPT_DAYS, Application, Applied, Label
from core.kinds import DEGREES_F, HOURS, PERCENT, SIZE, Field, Kind, may, needs
from core.problems import Problem
from core.refusals import unknown
from core.units import number, plainly

PH = Field("number", span=(0, 14))
MOST_HOURS = KEPT_DAYS * 24
"""No label closes a bed for longer: more is a slip of the pen."""
WET_INCHES = 6
"""So much at once is asked about (ours): it is more than most places ever see in a day, and mm were meant."""
MOST_INCHES = 40
"""Of rain or of water at once: more than fell anywhere in a day is a slip of the pen."""


def beds_of(item: Draft | Entry) -> tuple[str, ...]:
    """The beds that an entry names, and the trays."""
    return tuple(str(item.fields.get("beds", "")).split())


def check_beds(farm: Farm, draft: Draft) -> Problem | None:
    """A problem where one of the draft's beds, or trays, is not the farm's."""
    strange = (code for code in beds_of(draft) if code not in farm.beds and farm.trays.get(code) is None)
    return next((unknown("bed", code, list(farm.beds)) for code in strange), None)


def check_hours(draft: Draft) -> Problem | None:
    """A problem where no label could close a bed for so long."""
    hours = max(draft.fields.get("reentry_hours", 0), draft.fields.get("harvest_hours", 0))
    if hours > MOST_HOURS:
        return Problem(
            f"No label closes a bed for {number(hours)} hours: read it again, and write hours as 12h and days as 1d.",
            "impossible",
        )
    return None


def _check_applied(farm: Farm, draft: Draft) -> Problem | None:
    return check_hours(draft) or check_beds(farm, draft)


def application_of(item: Draft | Entry) -> Application:
    """What an entry of a spray or a feed, or the draft of one, says was put on; a draft has no id yet: ""."""
    f = item.fields
    return Application(
        item.id if isinstance(item, Entry) else "",
        item.on,
        f.get("began"),
        f.get("ended"),
        beds_of(item),
        f["product"],
        f.get("reentry_hours", 0),
        f.get("harvest_hours", 0),
    )


def _applied(farm: Farm, entry: Entry) -> None:
    f, applied = entry.fields, farm.part(Applied)
    made = application_of(entry)
    oldest = (date.fromisoformat(entry.on) - timedelta(days=KEPT_DAYS)).isoformat()
    applied.recent = [one for one in applied.recent if one.on >= oldest]
    if made.reentry_hours or made.harvest_hours or entry.kind == "sprayed":
        applied.recent.append(made)
    before = applied.labels.get(f["product"].lower(), Label(f["product"], None, None, None, None))
    applied.labels[f["product"].lower()] = Label(
        f["product"],
        f.get("reg_no", before.reg_no),
        f.get("active", before.active),
        f.get("reentry_hours", before.reentry_hours),
        f.get("harvest_hours", before.harvest_hours),
    )


def _check_water(farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields.get("inches", 0) > MOST_INCHES:
        return Problem(
            f"{told_rain(draft.fields['inches'])} at once is no watering: write {told_rain(1)}.", "impossible"
        )
    return check_beds(farm, draft)


def _check_rain(_farm: Farm, draft: Draft) -> Problem | None:
    if draft.fields["inches"] > MOST_INCHES:
        return Problem(
            f"{told_rain(draft.fields['inches'])} never fell in a day: write {told_rain(0.4)}.", "impossible"
        )
    return None


def _nothing(_farm: Farm, _entry: Entry) -> None:
    """It is kept in the record, and nothing of the farm rests on it."""


def _too_wet(_farm: Farm, draft: Draft) -> str | None:
    inches = draft.fields.get("inches", 0)
    said = "" if is_metric() else f" (in mm it is written: {number(inches)} mm)"
    return f"{told_rain(inches)} of water at once{said}" if inches > WET_INCHES else None


def _too_long(farm: Farm, draft: Draft) -> str | None:
    minutes = draft.fields.get("minutes", 0)
    return (
        f"{plainly(minutes)} minutes are {minutes / 60:.0f} hours of {draft.fields['job']}"
        if minutes > 960
        else None
    )


_OF_LABEL = may(
    reg_no="text",
    active="text",
    amount="text",
    mix="text",
    area="text",
    target="text",
    crops="text",
    harvest_hours=HOURS,
    began="clock",
    ended="clock",
    mph=SIZE,
    wind_from="code",
    f=DEGREES_F,
    applicator="text",
    license="text",
    method="text",
)
_SAYS = (
    "[ ({reg_no})][, {active}][: {amount}][ in {mix}][, {area}][ on {crops}][ in {beds}][ for {target}]"
    "[, {method}][, began {began}][, ended {ended}][, re-entry {reentry_hours} h][, harvest {harvest_hours} h]"
    "[, wind {mph}][ {wind_from}][, {f}][, by {applicator}][ ({license})]"
)

KINDS = (
    Kind(
        "sprayed",
        "sprayed {product}" + _SAYS,
        needs(product="text", beds="text", reentry_hours=HOURS) | _OF_LABEL,
        _applied,
        check=_check_applied,
    ),
    Kind(
        "fed",
        "fed {product}" + _SAYS,
        needs(product="text", beds="text") | may(reentry_hours=HOURS) | _OF_LABEL,
        _applied,
        check=_check_applied,
    ),
    Kind(
        "watered",
        "watered {beds}[, {inches}][, {gallons}][, {minutes} min]",
        needs(beds="text") | may(inches=SIZE, gallons=SIZE, minutes=SIZE),
        _nothing,
        check=_check_water,
        slip=_too_wet,
    ),
    Kind(
        "rain",
        "rain {inches}",
        needs(inches="number"),
        _nothing,
        check=_check_rain,
        slip=_too_wet,
        is_reading=True,
    ),
    Kind(
        "soil tested",
        "soil of {beds}[: pH {ph}][, {organic_pct} % organic][, N {n_ppm} ppm][, P {p_ppm} ppm]"
        "[, K {k_ppm} ppm][, by {lab}]",
        needs(beds="text")
        | may(ph=PH, organic_pct=PERCENT, n_ppm="number", p_ppm="number", k_ppm="number", lab="text"),
        _nothing,
        check=check_beds,
    ),
    Kind(
        "worked",
        "{job}[ in {beds}][, {minutes} min]",
        needs(job="text") | may(beds="text", minutes=SIZE),
        _nothing,
        check=check_beds,
        slip=_too_long,
    ),
)
