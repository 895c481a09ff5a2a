"""The course of a crop: whether it stands for years, flowers in its second year, or is over with its first frost."""

from __future__ import annotations

from datetime import date

from core.crops.sheet import Sheet

SUMMER_MONTH = 7
SPRING_JOBS = 4, 1
"""Month and day from which what stood the winter is worked on again (common practice: nets go up in spring)."""


def stays(sheet: Sheet) -> bool:
    """Perennials, shrubs and bulbs stand for years; those "grown as annual" do not."""
    cycle = sheet.life_cycle.value if sheet.life_cycle else ""
    return cycle.startswith(("perennial", "shrub", "bulb")) and " as " not in cycle


def is_planted(sheet: Sheet) -> bool:
    """Whether it is mostly planted as a bulb, a tuber or a young plant, and not raised from seed in a tray."""
    cycle = sheet.life_cycle.value if sheet.life_cycle else ""
    return cycle.startswith(("perennial", "shrub", "bulb", "tuber", "corm"))


def is_stored(sheet: Sheet) -> bool:
    """Whether it is bought and kept dry as a bulb, a tuber or a corm."""
    cycle = sheet.life_cycle.value if sheet.life_cycle else ""
    return cycle.startswith(("bulb", "tuber", "corm"))


ROOTS = ("bulb", "corm", "rhizome", "tuber")
"""What lies in store and is planted, by the words of the kind of plant."""


def roots(sheet: Sheet | None) -> str:
    """What of it lies in store, in the word of its own kind: "bulbs", "corms", "rhizomes", "tubers"; "roots" of other
    plants that stand for years; "tubers" where no sheet tells the kind."""
    cycle = sheet.life_cycle.value if sheet is not None and sheet.life_cycle else ""
    other = "root" if cycle.startswith(("perennial", "shrub")) else "tuber"
    return next((word for word in ROOTS if word in cycle), other) + "s"


def is_sown(sheet: Sheet) -> bool:
    """Whether it may be begun in a tray: bulbs, tubers and corms are planted, but for those of the cool season, whose
    roots are sprouted in trays (common practice)."""
    return not is_stored(sheet) or "cool season" in (sheet.life_cycle.value if sheet.life_cycle else "")


def is_biennial(sheet: Sheet) -> bool:
    """Whether it flowers in its second year."""
    return sheet.life_cycle is not None and sheet.life_cycle.value.startswith("biennial")


def is_lifted(sheet: Sheet) -> bool:
    """Whether its tubers are lifted in fall: tender ones only (common practice)."""
    cycle = sheet.life_cycle.value if sheet.life_cycle else ""
    return cycle.startswith(("tuber", "corm")) and sheet.hardiness_class == "tender"


def goes_out_before(sheet: Sheet) -> bool:
    """Whether it goes into the bed in the year before it flowers: biennials, and bulbs planted in fall, of which it is
    known when they flower."""
    cycle = sheet.life_cycle.value if sheet.life_cycle else ""
    in_fall = (
        cycle.startswith("bulb") and sheet.set_out_weeks is None and (sheet.flowers_weeks or sheet.bloom)
    )
    return is_biennial(sheet) or bool(in_fall)


def summer_year(day: date, *, south: bool) -> int:
    """The year by which the growing season of a day is called: its own; in the south, where a season spans two, that in
    which its summer begins, from July on."""
    return day.year - (south and day.month < SUMMER_MONTH)


def is_late(out: date, *, south: bool) -> bool:
    """Whether a day lies in the second half of its season."""
    return (out.month >= SUMMER_MONTH) != south


def first_season(sheet: Sheet, out: date, *, south: bool) -> int:
    """The season of the first cutting of what stands for years, at the earliest; planted in the second half of one, its
    first is the next."""
    first = summer_year(out, south=south) + is_late(out, south=south)
    return first + (int(sheet.first_cut_year.value[0]) - 1 if sheet.first_cut_year is not None else 0)


def flowers_again(sheet: Sheet) -> bool:
    """Whether what stands in the bed flowers, or goes on, in a later year than it was set out."""
    return stays(sheet) or is_biennial(sheet)


def flowers_next_year(sheet: Sheet, out: date, *, south: bool) -> bool:
    """A biennial set out in summer, and a bulb planted in fall, flower in the year after (common practice)."""
    return goes_out_before(sheet) and is_late(out, south=south)


def jobs_from(sheet: Sheet, out: date, days: int, *, south: bool) -> date:
    """The day from which a job is due that comes so many days after setting out; of a biennial set out in summer, not
    before the spring in which it grows up."""
    from_out = out.toordinal() + days
    if flowers_next_year(sheet, out, south=south):
        month, day = SPRING_JOBS
        spring = date(summer_year(out, south=south) + 1, month + 6 * south, day)
        from_out = max(from_out, spring.toordinal())
    return date.fromordinal(from_out)
