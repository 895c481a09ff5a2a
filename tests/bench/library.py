"""What each figure of the crop library rests on, the crops below par, and what of the lists growers go by it lacks."""

from __future__ import annotations

from collections import Counter

from core.crops.library import crop_names, find_crops, sheet
from core.crops.sheet import FIGURES, OWN_ONLY, Sheet
from core.crops.sources import RESTS_ON, rests_on, sources

SHORT = ("A", "B", "C", "row", "practice", "derived", "memory")
WELL_FOUNDED = ("A", "B")
PAR = ("fresh_stage", "vase_life_days", "cut_weeks", "hardiness")
"""What a crop that is cut fresh should have; one that is only dried needs its stage and its drying in their place."""
NEEDS_GOOD = (
    "fresh_stage",
    "dry_stage",
    "vase_life_days",
    "hardiness",
    "zone",
    "hardiness_low_f",
    "drying_days",
)
"""Figures of which each should rest on a source of grade A or B."""

WHAT = {
    "C": "of a weak source",
    "one of the row's": "of one of the row's sources",
    "common practice": "common practice",
    "derived": "derived",
    "from memory": "from memory",
}
SHUT = (
    "Stages by crop stand in tables of which only the first page could be read: Kansas State (Gast, MF-2261; "
    "Stevens, MF-2155), Oklahoma State (the care and handling of cut flowers), Vermont (Perry, beyond the letter C), "
    "the care manual of the Society of American Florists (Nell and Reid), the cut flower manual of North Carolina "
    "(Whipker and Cavins), Armitage and Laushman, and Beutler.",
    "Where none was found for a crop, a rule of an extension service for all flowers to be dried, for grasses, seed "
    "heads or foliage, or for most of the daisy family stands in its place, and its source says so.",
)
"""Why: what is known to hold these figures, and was shut."""

LISTS = {
    "Iowa State University Extension, Perennials for Cut Flowers, 2018": (
        "bearded iris, coral bells, daffodil, hyacinth, lily-of-the-valley, peony, tulip, baby's breath, bee balm, "
        "liatris, coneflower, daylily, delphinium, gladiolus, globe thistle, hosta, lily, phlox, speedwell, yarrow, "
        "Michaelmas daisy, rudbeckia, chrysanthemum, dahlia, goldenrod, helenium, sunflower, larkspur, cosmos, zinnia, "
        "lilac, garden rose"
    ),
    "California cut flowers by stems sold, USDA 2004": (
        "gerbera, garden rose, iris, tulip, snapdragon, larkspur, delphinium, chrysanthemum, lisianthus, alstroemeria"
    ),
    "University of Vermont, Perennials for Cut Flowers (as far as it could be read)": (
        "yarrow, monkshood, lady's mantle, allium, Japanese anemone, marguerite daisy, columbine, butterfly weed, "
        "Michaelmas daisy, astilbe, masterwort, Canterbury bells, globe centaurea"
    ),
    "woody stems: New Hampshire and Oklahoma State Extension, Greer and Dole 2002": (
        "red-twig dogwood, winterberry, pussy willow, curly willow, hydrangea, butterfly bush, caryopteris, "
        "beautyberry, firethorn, magnolia"
    ),
}
UNREAD = (
    "Loyola, Dole and Dunning, HortTechnology 29:338 (2019): only its abstract could be read. Which 31 crops its "
    "tables treat and which 99 it lists besides is not known here, so what of it is lacking is not counted.",
    "USDA Agriculture Handbook 66 (cut flowers and greens): not to be had. Storage and ethylene rest on the UC Davis "
    "sheets by the same hand, on Wills et al. 1998 (S277) and on trials.",
    "A seed-testing handbook: not to be had. Seeds a gram rest on seed banks (S284) and wildflower lists (S285) where "
    "these have the crop; the rest is of seed sellers or from memory.",
    "40 CFR 170.311(b)(1) as it stands: not to be had. 170.403, which points to it, could be read: whoever works where "
    "something was put on within 30 days, or its interval ran, is told where what was put on is shown.",
)


def main() -> None:
    """Print the tables."""
    sheets = [found for crop in crop_names() if isinstance(found := sheet(crop), Sheet)]
    _by_figure(sheets)
    _wanting(sheets)
    _below_par(sheets)
    _coverage()


def _by_figure(sheets: list[Sheet]) -> None:
    print(f"{len(sheets)} crops, {len(sources())} sources\n")
    print(f"{'figure':44} {'filled':>6} " + " ".join(f"{name:>8}" for name in SHORT))
    total: Counter[str] = Counter()
    good: Counter[str] = Counter()
    for name in (name for name in FIGURES if name not in OWN_ONLY):
        of = Counter(rests_on(f.source) for s in sheets if (f := s.figures().get(name)) is not None)
        total += of
        if name in NEEDS_GOOD:
            good["all"] += of.total()
            good["good"] += sum(of[grade] for grade in WELL_FOUNDED)
        print(f"{FIGURES[name].label:44} {of.total():>6} " + " ".join(f"{of[g]:>8}" for g in RESTS_ON))
    print(f"{'all':44} {total.total():>6} " + " ".join(f"{total[g]:>8}" for g in RESTS_ON))
    share = " ".join(f"{total[g] / total.total():>8.0%}" for g in RESTS_ON)
    print(f"{'of all':44} {'':>6} {share}")
    print(f"\nfrom memory: {total['from memory'] / total.total():.1%} (goal: under 20 %)")
    print(
        f"stage, vase life, hardiness and drying with a source of grade A or B: "
        f"{good['good'] / good['all']:.0%} of {good['all']} (goal: all)"
    )


def _wanting(sheets: list[Sheet]) -> None:
    print("\nnot to be had here: a source of grade A or B for")
    for name in NEEDS_GOOD:
        on: dict[str, list[str]] = {}
        for found in sheets:
            figure = found.figures().get(name)
            if figure is not None and (ground := rests_on(figure.source)) not in WELL_FOUNDED:
                on.setdefault(ground, []).append(found.crop)
        for ground in (ground for ground in RESTS_ON if ground in on):
            print(f"  {FIGURES[name].label}, {WHAT[ground]}: {', '.join(on[ground])}")
    for why in SHUT:
        print(f"  {why}")


def _below_par(sheets: list[Sheet]) -> None:
    print("\ncrops below par (what is missing or only from memory):")
    for found in sheets:
        has = found.figures()
        wanted = (
            PAR if found.fresh_stage is not None else ("dry_stage", "drying_days", "cut_weeks", "hardiness")
        )
        lacking = [
            FIGURES[name].label + ("" if name not in has else " (memory)")
            for name in wanted
            if name not in has or rests_on(has[name].source) == "from memory"
        ]
        if lacking:
            print(f"  {found.crop}: {', '.join(lacking)}")


def _coverage() -> None:
    print("\nwhat the library lacks of lists that growers go by:")
    for title, named in LISTS.items():
        listed = named.split(", ")
        lacking = [crop for crop in listed if not find_crops(crop)]
        print(
            f"  {title}: {len(listed) - len(lacking)} of {len(listed)}; not {', '.join(lacking) or 'one lacking'}"
        )
    for source in UNREAD:
        print(f"  {source}")
