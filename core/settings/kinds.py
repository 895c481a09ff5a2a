"""What the farm told the book about itself: place, frost dates, own figures; the day's weather; notes."""

from __future__ import annotations

from core.book.entry import Draft, Entry
from core.codes import GIVEN_TWICE, named
from core.crops.figure_words import how_to_write
from core.crops.library import crop_called, is_in_library, own_value
from core.dialect import AMERICAN, BRITISH
from core.farm import Farm
from core.happened import Note, OwnCrop, OwnFigure, Settings
from core.kinds import LATITUDE, LONGITUDE, Kind, may, needs
from core.measures import FEET, METERS
from core.problems import Matter, Problem
from core.refusals import unknown
from core.register import as_called, as_given

NOTES_KEPT = 30
WINTER_ZONES = range(1, 14)
"""The zones of the USDA map of hardiness, of which 1 is the coldest."""


def _check_farm(_farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if not f:
        return Problem("Say what to set, such as its name or its latitude.", "unreadable")
    if abs(f.get("latitude", 0)) > 90 or abs(f.get("longitude", 0)) > 180:
        return Problem("Latitude runs from -90 to 90 and longitude from -180 to 180.", "impossible")
    if "zone" in f:
        import pendulum  # 50 ms: only where a zone is chosen

        zones = pendulum.timezones()
        if zones and f["zone"] not in zones:
            return unknown("time zone", f["zone"], sorted(zones))
    if f.get("words") not in (None, AMERICAN, BRITISH):
        return unknown("way to speak", f["words"], [AMERICAN, BRITISH])
    if f.get("winters") not in (None, *WINTER_ZONES):
        return Problem(
            f"The map of hardiness has zones {WINTER_ZONES[0]} to {WINTER_ZONES[-1]}.", "impossible"
        )
    for name, known in (("degrees", ("F", "C")), ("lengths", (FEET, METERS)), ("hours", (12, 24))):
        if f.get(name) not in (None, *known):
            return unknown(name, str(f[name]), [*map(str, known)])
    return None


def _farm(farm: Farm, entry: Entry) -> None:
    told = {name: value for name, value in entry.fields.items() if name in Settings._fields}
    farm.settings = farm.settings._replace(**told)


def library_has(name: str, crop: str) -> Problem:
    """Why a crop of the library is not described as one of the farm's own."""
    it = crop if name == crop.lower() else f"{name}, as {crop}"
    line = how_to_write(crop, "spacing_in")
    return Problem(f"The library has {it}: a figure of it is made yours so: {line}.", "impossible", (crop,))


def _check_crop(farm: Farm, draft: Draft) -> Problem | None:
    crop, like = draft.fields["crop"], draft.fields.get("like")
    if crop != crop.lower():
        return Problem(f"A crop of your own is written in small letters: {crop.lower()}.", "unreadable")
    if (known := crop_called(crop)) is not None:
        return library_has(crop, known)
    if like is not None and (like == crop or not (is_in_library(like) or like in farm.crops)):
        return Problem(f"{crop} cannot be like {like}: there is no such other crop.", "unknown")
    return None


def _crop(farm: Farm, entry: Entry) -> None:
    """A crop of the farm's own; of two that describe one, the later counts."""
    farm.crops[entry.fields["crop"].lower()] = OwnCrop(entry.fields.get("like", ""))


def _check_sheet(_farm: Farm, draft: Draft) -> Problem | None:
    value = own_value(draft.fields["crop"], draft.fields["figure"], draft.fields["value"])
    return value if isinstance(value, Problem) else None


def sheet_name(crop: str, way: str | None) -> str:
    """The name a crop's own sheet goes by: "strawflower" or "strawflower (early)"."""
    return f"{crop} ({way})" if way else crop


def _variety_sheet(farm: Farm, entry: Entry) -> None:
    """A figure of a variety, which goes before the crop's; one that cannot be is told as one of a crop is."""
    f = entry.fields
    figure = _usable(farm, entry, f"{f['crop']} {f['variety']}", f"own sheet of {f['variety']}, {entry.on}")
    if figure is not None:
        farm.note_variety(f["crop"], f["variety"])
        of_crop = farm.variety_sheets.setdefault(f["crop"], {})
        of_crop.setdefault(f["variety"].lower(), {})[f["figure"]] = figure


UNUSABLE = "unusable figure"
"""The sort of matter that a good figure settles: one that no crop can have."""


def _sheet(farm: Farm, entry: Entry) -> None:
    """A figure of the farm's own; one that cannot be is told and not used, and the next good one settles it."""
    f = entry.fields
    name = sheet_name(f["crop"], f.get("way"))
    figure = _usable(farm, entry, name, f"own sheet, {entry.on}")
    if figure is not None:
        farm.sheets.setdefault(name, {})[f["figure"]] = figure


def _usable(farm: Farm, entry: Entry, name: str, source: str) -> OwnFigure | None:
    """The figure that the entry gives `name`, from the `source` it says or this; None, and a matter, where it cannot be
    one."""
    f = entry.fields
    farm.settle(UNUSABLE, name, f["figure"])
    value = own_value(f["crop"], f["figure"], f["value"])
    if isinstance(value, Problem):
        told = f"The sheet of {name}, {f['figure']}: {value.sentence} It is not used."
        farm.note_matter(told, entry.id, UNUSABLE, name, f["figure"])
        return None
    return OwnFigure(f["value"], f.get("source") or source)


def _note(farm: Farm, entry: Entry) -> None:
    note = Note(entry.on, entry.by, entry.fields.get("about", ""), entry.fields["text"])
    farm.notes = [*farm.notes, note][-NOTES_KEPT:]


def open_clashes(farm: Farm, code: str) -> list[Matter]:
    """The open matters of a code that machines apart gave twice; `code` is any of its names."""
    return [m for m in farm.matters if m.key[:2] == (GIVEN_TWICE, as_given(code))]


def _check_settled(farm: Farm, draft: Draft) -> Problem | None:
    code, ref = draft.fields["about"], draft.fields["ref"]
    if any(matter.entry == ref for matter in open_clashes(farm, code)):
        return None
    return Problem(f"Nothing about {code} is to be settled so.", "impossible")


def _settled(farm: Farm, entry: Entry) -> None:
    """Settled is what had that name: what a merge has since given another one is to be told anew."""
    code, ref = as_called(entry.fields["about"]), entry.fields["ref"]
    found = named(farm, code)
    if found is not None and found.made_by == ref:
        farm.settle(GIVEN_TWICE, as_given(code), entry=ref)


def _nothing(_farm: Farm, _entry: Entry) -> None:
    """A strike says nothing of the farm: it does its work before the fold, in core.amend."""


WIRE_STANDARDS = ("SWG", "AWG")

KINDS = (
    Kind(
        "farm",
        "farm[ {name}][, latitude {latitude}][, longitude {longitude}][, clock {zone}]"
        "[, wire gauges by {wire}][, {words} words][, degrees {degrees}]"
        "[, lengths in {lengths}][, {hours} hours to the clock][, winters of zone {winters}]",
        may(name="text", latitude=LATITUDE, longitude=LONGITUDE, zone="code", wire="code", words="code")
        | may(degrees="code", lengths="code", hours="count", winters="count"),
        _farm,
        check=_check_farm,
        describes=True,
    ),
    Kind(
        "crop",
        "{crop} is a crop of your own[, like {like}]",
        needs(crop="code") | may(like="code"),
        _crop,
        check=_check_crop,
        describes=True,
    ),
    Kind(
        "sheet",
        "{crop}[ ({way})]: {figure} is {value}[, {source}]",
        needs(crop="text", figure="code", value="text") | may(way="code", source="text"),
        _sheet,
        check=_check_sheet,
        describes=True,
    ),
    Kind(
        "variety sheet",
        "{crop} {variety}: {figure} is {value}[, {source}]",
        needs(crop="text", variety="text", figure="code", value="text") | may(source="text"),
        _variety_sheet,
        check=_check_sheet,
        describes=True,
    ),
    Kind("note", "note[ on {about}]: {text}", needs(text="text") | may(about="code"), _note),
    Kind(
        "settled",
        "settled: {about} is told apart by its tag",
        needs(about="code", ref="code"),
        _settled,
        check=_check_settled,
    ),
    Kind(
        "strike",
        "struck {entry}",
        needs(entry="code") | may(undo="flag", known_corrections="count"),
        _nothing,
    ),
)
