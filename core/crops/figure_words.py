"""What the figures of a crop sheet are called in a line, and a sentence for one that is missing."""

from __future__ import annotations

from collections.abc import Mapping

from core.crops.figure_values import read_value
from core.crops.sheet import FIGURES, KINDS, Figure, value_text
from core.dialect import size_unit
from core.marked import label_told, value_told
from core.problems import Problem

WORDS: Mapping[str, tuple[str, ...]] = {
    "life_cycle": ("kind of plant", "life cycle"),
    "hardiness_low_f": ("lowest", "hardy to", "hardy down to"),
    "zone": ("hardy to zone", "hardiness zone", "winter hardy to zone"),
    "direct_sow_weeks": ("weeks of bed sowing", "drill weeks"),
    "fall_sow_weeks": ("fall sowing", "autumn sowing", "sown in autumn weeks before first frost"),
    "fall_sow_zone": ("sown in autumn to zone",),
    "germination_days": ("days to germinate", "days to come up", "germination"),
    "weeks_in_tray": ("weeks in the tray", "weeks in trays", "tray weeks"),
    "sow_weeks_before": ("weeks before last frost", "weeks before the last frost"),
    "set_out_weeks": ("weeks from last frost", "weeks after last frost", "weeks from the last frost"),
    "spacing_in": ("spacing", "apart"),
    "netting": ("net", "nets", "netted"),
    "pinch": ("pinched",),
    "comes_up_pct": ("comes up", "come up", "share up"),
    "culled_pct": ("cull share",),
    "lost_drying_pct": ("drying waste",),
    "days_to_first_cut": (
        "days to the first cut",
        "days to cut",
        "days to maturity",
        "days to bloom",
        "days to flower",
        "days to harvest",
    ),
    "days_from_sowing": ("days from seed", "days from bed sowing"),
    "heat_units_to_first_cut": (
        "to first cut degree days",
        "to first cut degree days c",
        "degree days to first cut",
    ),
    "flowers_weeks": ("bloom weeks", "weeks to bloom"),
    "bloom": ("blooms", "blooms from", "first bloom"),
    "cut_weeks": ("weeks of cutting", "weeks of cuts", "weeks of harvest"),
    "stems_per_plant": ("stems a plant", "stems each plant"),
    "first_cut_year": ("year of the first cut", "first year of cutting", "first cutting in year"),
    "bears_years": ("years it bears", "bears for", "stands for"),
    "divide_years": ("divided every", "divide every", "cut back every", "years between divisions"),
    "chill_weeks": ("weeks of cold", "weeks of chilling", "chilling weeks"),
    "forcing_weeks": ("weeks of forcing", "forcing"),
    "winter_store": ("stored in winter", "winter storage"),
    "fresh_stage": ("stage", "cut when", "cut fresh when"),
    "dry_stage": ("cut for drying when", "cut to dry when"),
    "wire_stage": ("cut for wiring when", "cut to wire when"),
    "drying_days": ("days to dry", "days on the line"),
    "stems_per_fresh_bunch": ("stems a bunch", "stems per bunch", "bunch of", "fresh bunch of"),
    "stems_per_dried_bunch": ("stems a dried bunch", "dried bunch of", "dry bunch of"),
    "vase_life_days": ("vase life", "vase days", "days in a vase"),
    "storage_days_max": ("days in the cooler", "cooler days"),
    "prime_months": ("months at its prime", "months in the box"),
    "seeds_per_gram": ("seeds a gram",),
    "seed_years": ("seed keeps", "years seed keeps", "seed life"),
    "uses": ("use", "grown for"),
    "color": ("colour",),
    "height_in": ("height", "tall"),
    "form": ("flower form",),
    "flowering_group": ("group", "day length"),
}
"""Figure -> what she may call it besides its name and its label on the sheet: exactly so, in these words."""

TYPED: Mapping[str, tuple[str, str]] = {
    "days_to_first_cut": ("days to first cut", "80"),
    "days_from_sowing": ("days from seed", "75"),
    "stems_per_plant": ("stems a plant", "8"),
    "flowers_weeks": ("bloom weeks", "2 to 4"),
    "bloom": ("bloom", "1 july"),
    "cut_weeks": ("weeks of cutting", "4"),
    "spacing_in": ("spacing", "9"),
    "weeks_in_tray": ("weeks in the tray", "6"),
    "set_out_weeks": ("weeks from last frost", "0"),
    "direct_sow_weeks": ("drill weeks", "0"),
    "fresh_stage": ("fresh stage", "half open"),
    "dry_stage": ("dry stage", "fully open"),
    "wire_stage": ("wire stage", "half open"),
    "drying_days": ("days to dry", "14"),
    "seed_years": ("seed keeps", "3"),
}
"""Figure -> how it is typed where it is missing, and a value that some crop might have."""

LONGEST = 10
"""Words in the longest name of a figure."""


def _phrases() -> dict[str, str]:
    found = {name.replace("_", " "): name for name in KINDS}
    for name, about in FIGURES.items():
        label = about.label.lower().replace(",", "")
        if sum(other.startswith(label.replace(" ", "_")) for other in KINDS) < 2:  # "drying" may be several
            found.setdefault(label, name)
    alone = [about.label.lower().partition(",")[0] for about in FIGURES.values()]
    for name, label in zip(FIGURES, alone, strict=True):
        if alone.count(label) == 1:  # "boxed" may be several
            found.setdefault(label, name)
    for name, said in WORDS.items():
        for phrase in said:
            found[phrase] = name
    return found


PHRASES: Mapping[str, str] = _phrases()
"""Every name of a figure, in small letters -> the figure."""


def figure_label(figure: str) -> str:
    """What a figure is called where an entry is told: "days to first cut", "lowest once hardened, F"; one that is not
    known by its name."""
    if figure not in FIGURES:
        return figure.replace("_", " ")
    return TYPED[figure][0] if figure in TYPED else FIGURES[figure].told


def figure_told(figure: str, value: str) -> str:
    """A figure's value as an entry is told: a day of the year as "5 Jun", all else as it was written, a spacing with
    its unit, which its name does not say there."""
    if figure == "spacing_in":
        return f"{value_told(FIGURES[figure].label, value)} {size_unit()}"
    if KINDS.get(figure) != "MonthDay":
        return value_told(FIGURES[figure].label, value) if figure in FIGURES else value
    found = read_value(figure, value)
    return value if isinstance(found, Problem) else value_text(found)


def cooler_told(warmth: Figure[str] | None) -> str:
    """ "cooler, F: 36 to 38", "" where the sheet does not say it."""
    label = "cooler, F"
    return f"{label_told(label)}: {value_told(label, warmth.text)}" if warmth is not None else ""


def figure_called(words: str) -> str | None:
    """The figure that these words name exactly, in small letters with blanks between; None where none is."""
    return PHRASES.get(words.replace("_", " ").replace(",", ""))


def figures_begun(words: str) -> list[str]:
    """The figures that these words name, or whose names they begin: several where it is ambiguous."""
    if exact := figure_called(words):
        return [exact]
    typed = words.replace(" ", "_")
    return [name for name in KINDS if name.startswith(typed)] if len(typed) >= 3 else []


def example(figure: str) -> str:
    """A figure as it is typed: "days to first cut 80"."""
    return " ".join(TYPED.get(figure, (FIGURES[figure].told, "...")))


def how_to_write(crop: str, figure: str) -> str:
    """The line that gives a crop the figure: "sheet didiscus days to first cut 80"."""
    return f"sheet {crop} {example(figure)}"


def lacks(crop: str, *figures: str) -> str:
    """The sentence for figures that a crop's sheet does not have, with the line that would give each; of more than two,
    which only a crop of the farm's own can lack, the one line that gives all."""
    if len(figures) > 2:
        said = ", ".join(example(figure) for figure in figures)
        return f"The sheet of {crop} lacks {len(figures)} figures for a plan: write, with yours, 'crop {crop} {said}'."
    names = " and no ".join(TYPED.get(figure, (FIGURES[figure].told,))[0] for figure in figures)
    lines = " and ".join(f"'{how_to_write(crop, figure)}'" for figure in figures)
    return f"The sheet of {crop} has no {names}: write {lines}."
