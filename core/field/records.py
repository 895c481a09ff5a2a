"""The field record of a year as an inspector asks for it, and minutes by job: from the entries that count.

Fields of an application are those of 40 CFR 170.311(b)(1) (worker protection standard, in force since 2017) and 7 CFR
110.3(a) (restricted use products). State rules may ask more; the label and the state decide.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from core.book.entry import Entry
from core.dialect import told_area, told_degrees, told_rain, told_time, told_water, told_wind
from core.farm import Farm
from core.field.closed import KEPT_DAYS, dated, local_text, span_of
from core.field.kinds import application_of, beds_of
from core.settings.local_time import zone
from core.units import day_from_iso, number

OF_THE_FIELD = ("sprayed", "fed", "watered", "rain", "soil tested", "worked")
POSTED_DAYS = 30
"""Days after the re-entry time for which an application is shown to workers (40 CFR 170.311(b)(5))."""
KEPT_YEARS = 2
"""Years from the end of the re-entry time for which its record is kept (40 CFR 170.311(b)(6)); some states ask more."""


class ApplicationRow(NamedTuple):
    """One spray or feed with all that the rules ask for; "" for what was not written, which `missing` names.

    `place` says which beds of which farm, `area` what was typed, else the ground of the beds; `reentry_until` and
    `harvest_until` are the farm's day and time; `posted_until` and `kept_until` days.
    """

    on: str
    kind: str
    product: str
    reg_no: str
    active: str
    amount: str
    mix: str
    area: str
    crops: str
    place: str
    beds: str
    target: str
    method: str
    began: str
    ended: str
    reentry_hours: float | None
    reentry_until: str
    harvest_hours: float | None
    harvest_until: str
    wind: str
    temperature: str
    applicator: str
    license: str
    posted_until: str
    kept_until: str
    missing: tuple[str, ...]
    entry: str


BARE = "bare ground"
"""The site of what was put on where nothing stood."""
NEEDED = {
    "reg_no": "registration number",
    "active": "active ingredient",
    "amount": "amount of the product",
    "began": "time begun",
    "ended": "time ended",
}
"""Fields of a spray that the rules ask for and that may be left out of a line -> what they are called."""


def application_row(farm: Farm, entry: Entry) -> ApplicationRow:
    """The record of one application."""
    f, name = entry.fields, zone(farm)
    made = application_of(entry)
    span = span_of(made, name)
    work, harvest = local_text(span.work, name), local_text(span.harvest, name)
    opens = date.fromisoformat(work[:10])
    is_spray = entry.kind == "sprayed"
    wind = " ".join(filter(None, (told_wind(f["mph"]) if "mph" in f else "", f.get("wind_from", ""))))
    return ApplicationRow(
        on=entry.on,
        kind=entry.kind,
        product=f["product"],
        reg_no=f.get("reg_no", ""),
        active=f.get("active", ""),
        amount=f.get("amount", ""),
        mix=f.get("mix", ""),
        area=f.get("area") or _area(farm, made.beds),
        crops=f.get("crops", BARE),
        place=_place(farm, made.beds),
        beds=f["beds"],
        target=f.get("target", ""),
        method=f.get("method", ""),
        began=f.get("began", ""),
        ended=f.get("ended", ""),
        reentry_hours=f.get("reentry_hours"),
        reentry_until=work if is_spray or f.get("reentry_hours") else "",
        harvest_hours=f.get("harvest_hours"),
        harvest_until=harvest if f.get("harvest_hours") else "",
        wind=wind,
        temperature=told_degrees(f["f"]) if "f" in f else "",
        applicator=f.get("applicator", entry.by),
        license=f.get("license", ""),
        posted_until=(opens + timedelta(days=POSTED_DAYS)).isoformat() if is_spray else "",
        kept_until=_years_on(opens, KEPT_YEARS).isoformat() if is_spray else "",
        missing=tuple(called for field, called in NEEDED.items() if field not in f) if is_spray else (),
        entry=entry.id,
    )


def _years_on(day: date, years: int) -> date:
    try:
        return day.replace(year=day.year + years)
    except ValueError:  # the 29th of February
        return date(day.year + years, 3, 1)


def _area(farm: Farm, beds: Sequence[str]) -> str:
    """ "450 sq ft", the ground of the beds; "" where one is not known."""
    known = [farm.beds[bed] for bed in beds if bed in farm.beds]
    if not beds or len(known) < len(beds):
        return ""
    return told_area(sum(bed.feet * bed.width_in / 12 for bed in known))


def _place(farm: Farm, beds: Sequence[str]) -> str:
    """Where that is, by the farm's own names of its beds (7 CFR 110.3(a)(3)(ii): a written description)."""
    settings = farm.settings
    at = ""
    if settings.latitude is not None and settings.longitude is not None:
        at = f"{number(settings.latitude)}, {number(settings.longitude)}"
    where = " at ".join(filter(None, (settings.name, at)))
    trays = [code for code in beds if code not in farm.beds]
    named = (("bed", [code for code in beds if code not in trays]), ("tray", trays))
    told = [f"{what}{'s' if len(codes) > 1 else ''} {', '.join(codes)}" for what, codes in named if codes]
    return ", ".join(filter(None, (*told, where)))


class FieldRow(NamedTuple):
    """Anything else of the record: water, rain, a soil test, work."""

    on: str
    what: str
    beds: str
    amount: str
    by: str
    entry: str


def _other(entry: Entry) -> FieldRow:
    f = entry.fields
    told = {
        "minutes": "{} min",
        "ph": "pH {}",
        "organic_pct": "{} % organic",
        "n_ppm": "N {} ppm",
        "p_ppm": "P {} ppm",
        "k_ppm": "K {} ppm",
    }
    water = [told_rain(f["inches"], 4)] if "inches" in f else []
    water += [told_water(f["gallons"])] if "gallons" in f else []
    amount = ", ".join((*water, *(text.format(f"{f[name]:.6g}") for name, text in told.items() if name in f)))
    what = f["job"] if entry.kind == "worked" else entry.kind
    return FieldRow(entry.on, what, f.get("beds", ""), amount, f.get("lab", entry.by), entry.id)


class FieldRecord(NamedTuple):
    """The record: applications, and all else, each oldest first; inches of rain in all."""

    applications: tuple[ApplicationRow, ...]
    others: tuple[FieldRow, ...]
    rain_inches: float


def field_record(farm: Farm, entries: Iterable[Entry]) -> FieldRecord:
    """The record of a year's work in the field, of entries that count (none that was struck)."""
    of_field = [entry for entry in entries if entry.kind in OF_THE_FIELD]
    applied = [entry for entry in of_field if entry.kind in ("sprayed", "fed")]
    others = [entry for entry in of_field if entry.kind not in ("sprayed", "fed")]
    rain = sum(entry.fields["inches"] for entry in others if entry.kind == "rain")
    return FieldRecord(
        tuple(application_row(farm, entry) for entry in applied),
        tuple(map(_other, others)),
        round(rain, 4),
    )


def posted(record: FieldRecord, day: date) -> tuple[ApplicationRow, ...]:
    """The sprays that are to be shown to workers on that day (40 CFR 170.311(b))."""
    text = day.isoformat()
    return tuple(
        row for row in record.applications if row.kind == "sprayed" and row.on <= text <= row.posted_until
    )


# minutes


class JobRow(NamedTuple):
    """Minutes of one job, how often it was written, and the share of each bed."""

    job: str
    minutes: float
    times: int
    beds: dict[str, float]


def minutes_by_job(entries: Iterable[Entry]) -> list[JobRow]:
    """Minutes by job, most first: those of work, of watering, of cutting and of making up. What was written for several
    beds is shared evenly."""
    sums: dict[str, tuple[float, int, dict[str, float]]] = {}
    for entry in entries:
        minutes = entry.fields.get("minutes")
        if not minutes or (entry.kind not in _JOB_OF and entry.kind != "worked"):
            continue
        job = entry.fields["job"] if entry.kind == "worked" else _JOB_OF[entry.kind]
        total, times, beds = sums.get(job, (0.0, 0, {}))
        named = beds_of(entry) or tuple(filter(None, (str(entry.fields.get("bed", "")),)))
        for bed in named:
            beds[bed] = round(beds.get(bed, 0) + minutes / len(named), 2)
        sums[job] = total + minutes, times + 1, beds
    rows = [JobRow(job, round(total, 2), times, beds) for job, (total, times, beds) in sums.items()]
    return sorted(rows, key=lambda row: (-row.minutes, row.job))


def minutes_by_bed(entries: Iterable[Entry]) -> dict[str, float]:
    """Minutes of work and of watering in each bed, beside those of cutting; what was written for several beds is shared
    evenly."""
    found: dict[str, float] = {}
    for row in minutes_by_job(entry for entry in entries if entry.kind in ("worked", "watered")):
        for bed, minutes in row.beds.items():
            found[bed] = round(found.get(bed, 0) + minutes, 2)
    return found


_JOB_OF = {"cut": "cutting", "made": "making up", "watered": "watering"}


ASKED = (*NEEDED.values(), "began", "ended", "certificate or license")
"""What is named on paper though it was not written."""


def lines_of(row: ApplicationRow) -> Iterator[str]:
    """The record of one application in lines for paper, every field named."""
    of = row.on if day_from_iso(row.on) else "?"
    yield f"{of}  {row.kind} {row.product}"
    for called, value in (
        ("registration number", row.reg_no),
        ("active ingredient", row.active),
        ("amount of the product", row.amount),
        ("mixed in", row.mix),
        ("size of area", row.area),
        ("crop or site", row.crops),
        ("place", row.place),
        ("against", row.target),
        ("method", row.method),
        ("began", row.began and told_time(row.began)),
        ("ended", row.ended and told_time(row.ended)),
        ("re-entry time", _hours(row.reentry_hours, row.reentry_until)),
        ("time to harvest", _hours(row.harvest_hours, row.harvest_until)),
        ("wind", row.wind),
        ("temperature", row.temperature),
        ("applied by", row.applicator),
        ("certificate or license", row.license),
        ("to be shown until", row.posted_until),
        ("to be kept until", row.kept_until),
    ):
        if value or (row.kind == "sprayed" and called in ASKED):
            yield f"    {called + ':':24}{value or '(not written)'}"


def _hours(hours: float | None, until: str) -> str:
    return "" if hours is None else f"{number(hours)} h" + (f", until {dated(until)}" if until else "")


def year_bounds(year: int) -> tuple[date, date]:
    """The first and the last day of a year."""
    return date(year, 1, 1), date(year, 12, 31)


def posted_since(day: date) -> date:
    """The earliest day of an application that may still have to be shown."""
    return day - timedelta(days=POSTED_DAYS + KEPT_DAYS)
