"""The words of a line, in tables: what may be done, uses, causes, colours, days, units."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain

VERBS: Mapping[str, tuple[str, ...]] = {
    "cut": ("cut", "cutting"),
    "hang": ("hang", "hung", "hanging"),
    "wire": ("wired", "wiring"),
    "snap": ("snaps", "snapped"),
    "bend": ("bends", "bend", "bent"),
    "box": ("boxed", "boxing"),
    "weigh": ("weigh", "weighed"),
    "lost": ("lost", "lose", "loss"),
    "sold": ("sold", "sell"),
    "used": ("used", "use"),
    "move": ("move", "moved"),
    "count": ("count", "counted"),
    "recipe": ("recipe",),
    "part": ("part",),
    "make": ("make", "made"),
    "reorder": ("reorder",),
    "check": ("check", "checked", "look", "looked"),
    "freeze": ("freeze", "frozen", "froze"),
    "warm": ("warm", "warmed"),
    "sow": ("sow", "sown", "sowed"),
    "up": ("up", "emerged"),
    "prick": ("prick", "pricked"),
    "pot": ("pot", "potted"),
    "step": ("step", "stepped"),
    "hold": ("hold", "held"),
    "set out": ("set", "setting"),
    "plant": ("plant", "planted"),
    "drill": ("drill", "drilled"),
    "pinch": ("pinch", "pinched"),
    "net": ("net", "netted"),
    "cover": ("cover", "covered"),
    "uncover": ("uncover", "uncovered"),
    "clear": ("clear", "cleared"),
    "plan": ("plan", "planned"),
    "drop": ("drop", "dropped"),
    "room": ("room",),
    "risk": ("risk",),
    "dusk": ("dusk",),
    "sheet": ("sheet",),
    "farm": ("farm",),
    "note": ("note",),
    "bought": ("bought", "buy"),
    "undo": ("undo",),
    "strike": ("strike", "struck"),
}
"""What is done -> the forms it is written in. These words mean nothing else."""

LOOSE_VERBS: Mapping[str, tuple[str, ...]] = {
    "wire": ("wire",),
    "snap": ("snap",),
    "box": ("box",),
    "bed": ("bed",),
    "frost": ("frost", "last", "first"),
    "shed": ("shed", "cooler"),
    "line": ("line",),
    "weather": ("low", "high", "tonight", "wind"),
}
"""Words that say what is done only where nothing else in the line does: "wire" is also a use of a cut, "snap"
the beginning of snapdragon, "box 7", "line 2" and "cooler" places, "frost", "wind" and "shed" also causes."""

VERB_OF: Mapping[str, str] = {form: verb for verb, forms in VERBS.items() for form in forms}
LOOSE_VERB_OF: Mapping[str, str] = {form: verb for verb, forms in LOOSE_VERBS.items() for form in forms}

AFTER_VERB: Mapping[str, tuple[str, ...]] = {
    "set out": ("out",),
    "prick": ("out",),
    "pot": ("on", "up"),
    "hang": ("up",),
    "clear": ("out",),
}
"""Small words that belong to the verb before them."""

CROPS_BEGUN_BY_A_VERB = ("pot marigold", "cut dianthus")

USES: Mapping[str, tuple[str, ...]] = {
    "fresh": ("fresh",),
    "dry": ("dry", "dried", "drying"),
    "wire": ("wire", "wired", "wiring"),
}
USE_OF: Mapping[str, str] = {form: use for use, forms in USES.items() for form in forms}

CAUSES: Mapping[str, tuple[str, ...]] = {
    "mould": ("mould", "mold", "mouldy", "moldy", "rot", "rotten"),
    "grey mould": ("botrytis", "grey-mould", "gray-mold"),
    "shatter": ("shatter", "shattered", "shed"),
    "brittle": ("brittle",),
    "dropped": ("dropped", "fallen"),
    "split": ("split",),
    "soft": ("soft",),
    "damp": ("damp",),
    "blown": ("blown", "overblown"),
    "brown": ("brown", "browned", "browning"),
    "broken": ("broken", "snapped-off", "bent-over"),
    "faded": ("faded", "bleached"),
    "short": ("short", "crooked"),
    "dirty": ("dirty", "muddy"),
    "wilted": ("wilted", "wilt", "limp"),
    "unsold": ("unsold",),
    "mice": ("mice", "mouse"),
    "moth": ("moth", "moths", "beetle", "beetles"),
    "slugs": ("slugs", "slug", "snails"),
    "damping off": ("damping", "damping-off", "damped"),
    "dried out": ("dried-out", "drought", "thirst"),
    "leggy": ("leggy", "drawn"),
    "pests": ("pests", "pest", "aphids", "thrips", "beetles", "caterpillars"),
    "frost": ("frost", "frosted"),
    "cold": ("cold",),
    "heat": ("heat", "hot"),
    "wind": ("wind", "windy"),
    "rain": ("rain", "rainy"),
    "hail": ("hail",),
    "deer": ("deer",),
    "rabbits": ("rabbits", "rabbit"),
    "disease": ("disease", "diseased", "mildew", "wilt-disease"),
    "drowned": ("drowned", "flood", "waterlogged"),
    "no time": ("no-time",),
    "low": ("low",),
    "other": ("other", "unknown"),
}
"""Cause -> the forms it is written in; where two causes have a form, the first has it."""

CAUSE_OF: Mapping[str, str] = {
    form: cause for cause, forms in reversed(list(CAUSES.items())) for form in forms
}

CAUSES_IN_TWO_WORDS: Mapping[tuple[str, str], str] = {
    ("damping", "off"): "damping off",
    ("damped", "off"): "damping off",
    ("dried", "out"): "dried out",
    ("no", "time"): "no time",
    ("grey", "mould"): "grey mould",
    ("gray", "mold"): "grey mould",
}

CAUSES_FOR: Mapping[str, tuple[str, ...]] = {
    "lot": ("mould", "shatter", "blown", "brown", "broken", "faded", "moth", "wilted", "other"),
    "fresh": ("wilted", "unsold", "grey mould", "blown", "broken", "other"),
    "hanging": ("mould", "shatter", "brown", "brittle", "blown", "broken", "dropped", "other"),
    "wired": ("split", "broken", "soft", "other"),
    "dry": ("moth", "damp", "faded", "mice", "shatter", "broken", "other"),
    "tray": ("damping off", "dried out", "leggy", "slugs", "mice", "frost", "pests", "other"),
    "planting": ("slugs", "frost", "wind", "pests", "deer", "rabbits", "dried out", "disease", "other"),
    "piece": ("broken", "faded", "shatter", "mould", "moth", "mice", "unsold", "other"),
    "cull": ("blown", "brown", "broken", "short", "pests", "dirty", "shatter", "other"),
    "hold": ("wind", "rain", "low", "cold", "heat", "no time", "other"),
}
"""The short list that is offered for each (for a lot: by the form of what lies where it is lost from); any cause of
the table will do, and others in quotes."""

BOX_RESULTS: Mapping[str, tuple[str, ...]] = {
    "sound": ("sound", "ok", "fine", "clean"),
    "moth": ("moth", "moths", "beetle", "beetles", "webbing"),
    "damp": ("damp", "mould", "mold", "mouldy", "moldy"),
    "mice": ("mice", "mouse"),
}
BOX_RESULT_OF: Mapping[str, str] = {form: result for result, forms in BOX_RESULTS.items() for form in forms}
"""What a look into a box found."""
LIGHT_WORDS: Mapping[str, bool] = {"light": True, "lit": True, "dark": False}
"""How a box stands."""
GRADE_OF: Mapping[str, str] = {
    form: grade for grade in ("first", "second", "third") for form in (grade, f"{grade}s", f"{grade}-grade")
}
"""How good the bunches are that go into a box."""

_COLOURS = (
    "white cream ivory yellow gold golden lemon apricot peach orange salmon coral pink rose blush red "
    "scarlet crimson burgundy wine plum purple violet mauve lilac lavender blue navy silver green lime "
    "bronze copper "
    "rust brick brown chocolate black tan champagne mixed mix bicolor bicolour carmine magenta fuchsia "
    "raspberry strawberry cherry pewter"
)
COLOURS = tuple(_COLOURS.split())
SHADES = ("light", "pale", "dark", "deep", "bright", "soft", "dusty", "hot", "sky", "antique")
"""Words that may stand before a colour: "deep rose"."""

_STAGE_WORDS = (
    "row rows bract bracts open opening opened closed shut half quarter quarters third thirds two three "
    "tight full fully firm soft bud buds coloured colored floret florets petal petals centre center pollen "
    "showing unfurled loosened loose just lower basal first second outer inner most nearly cracking colour "
    "color all past"
)
STAGE_WORDS = frozenset(_STAGE_WORDS.split())
"""Words that go on with a stage ("stage 3 rows open"); anything longer is put in quotes."""

WEEKDAYS: Mapping[str, int] = {
    form: day
    for day, forms in enumerate(
        (
            ("mon", "monday"),
            ("tue", "tues", "tuesday"),
            ("wed", "wednesday"),
            ("thu", "thur", "thurs", "thursday"),
            ("fri", "friday"),
            ("sat", "saturday"),
            ("sun", "sunday"),
        )
    )
    for form in forms
}

_MONTH_NAMES = "january february march april may june july august september october november december"
MONTHS: Mapping[str, int] = {
    form: month
    for month, name in enumerate(_MONTH_NAMES.split(), start=1)
    for form in (name, name[:3])
    # "20 mar" would be twenty marigolds as well: March is written out
    if form != "mar"
} | {"sept": 9}

GLUED_UNITS: Mapping[str, str] = {
    "ft": "ft",
    "feet": "ft",
    "in": "in",
    '"': "in",
    "min": "min",
    "m": "min",
    "g": "gauge",
    "ga": "gauge",
    "s": "size",
    "%": "%",
    "f": "F",
    "mph": "mph",
}
"""Written on a number without a space: 20ft, 36in, 12min, 22g, 10s, 50%, 34F."""

UNIT_WORDS: Mapping[str, str] = {
    "ft": "ft",
    "feet": "ft",
    "foot": "ft",
    "inch": "in",
    "inches": "in",
    "min": "min",
    "mins": "min",
    "minute": "min",
    "minutes": "min",
    "gauge": "gauge",
    "percent": "%",
    "%": "%",
    "f": "F",
    "degrees": "F",
    "mph": "mph",
    "plants": "plants",
    "seeds": "seeds",
    "seed": "seeds",
    "cells": "cells",
    "cell": "cells",
    "stems": "stems",
    "stem": "stems",
    "heads": "stems",
    "bunches": "bunches",
    "bunch": "bunches",
    "culls": "culls",
    "cull": "culls",
    "culled": "culls",
}
"""Written after a number: "144 seeds"."""

UNITS_BEFORE = {"culls", "cull", "culled", "gauge"}
"""Unit words that may also stand before their number: "culls 3"."""
UNITS_FIRST = UNITS_BEFORE - {"culled"}
"""Those that, between two numbers, belong to the second: "40 culls 3", but "3 culled 40"."""

_FILLERS = "of from in into at with the a an and for on to is are out each per by"
FILLERS = frozenset(_FILLERS.split())
"""Small words that a line may have and that change nothing."""

INSIST = frozenset(("anyway", "!"))

PIECE_OF: Mapping[str, str] = {
    "head": "wired head",
    "heads": "wired head",
    "buttonhole": "buttonhole",
    "boutonniere": "buttonhole",
    "corsage": "corsage",
    "crown": "crown",
    "wreath": "wreath",
    "bouquet": "bouquet",
    "posy": "bouquet",
    "centrepiece": "centrepiece",
    "centerpiece": "centrepiece",
}
"""Words for a sort of piece -> the sort."""
_MAKING_WORDS = (
    "wire tape ring hoop frame base ribbon raffia twine string lace pin glue foam moss vase jar bowl sleeve wrap "
    "paper card bow magnet clip comb elastic tube pick"
)
MAKING_WORDS = frozenset(_MAKING_WORDS.split())
"""Words that begin the name of a making: "ring 12in" in a recipe is no crop, though none was bought yet."""

PLACE_WORDS = ("line", "box", "bucket", "bench", "cooler")
WAITED = "waited"
"""Before the hours that cut stems lay out of water: "waited 2h"."""
ALL = "all"
"""Every lot that fits: "move all zinnia cooler"."""
FROST_SEASONS: Mapping[str, str] = {
    "last": "spring",
    "spring": "spring",
    "first": "autumn",
    "autumn": "autumn",
    "fall": "autumn",
}
SKY_WORDS: Mapping[str, str] = {
    "clear": "clear",
    "calm": "clear",
    "cloudy": "cloudy",
    "cloud": "cloudy",
    "overcast": "cloudy",
    "windy": "windy",
    "wind": "windy",
}
"""How a night begins: clear (and calm), or not."""
FARM_WORDS: Mapping[str, str] = {
    "name": "name",
    "latitude": "latitude",
    "lat": "latitude",
    "longitude": "longitude",
    "lon": "longitude",
    "zone": "zone",
    "wire": "wire",
}
FIGURES_MEANT: Mapping[str, str] = {"spacing": "spacing_in", "stage": "fresh_stage"}
"""Short words for a figure of the crop sheet that several figures begin with."""

KEYWORDS = frozenset(
    chain(
        VERB_OF,
        LOOSE_VERB_OF,
        USE_OF,
        WEEKDAYS,
        MONTHS,
        UNIT_WORDS,
        FILLERS,
        INSIST,
        PLACE_WORDS,
        FROST_SEASONS,
        CAUSE_OF,
        ("yesterday", "today", "stage", ALL, WAITED),
    )
)
"""Words with a meaning of their own in some line: none begins a crop's name, and no bed is called so."""
