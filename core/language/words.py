"""The words of a line, in tables: what may be done, uses, causes, colours, days, units."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain

from core.measures import CM_AN_INCH, KM_A_MILE, METERS_A_FOOT, MM_AN_INCH
from core.subject import loose_words, sure_words

NAMES_WITH_A_KEYWORD = (
    *("butterfly weed", "cut dianthus", "fall aster", "joe pye weed", "money plant", "obedient plant"),
    *("pot marigold", "red hot poker"),
)
"""Names of crops that hold a word with a meaning of its own in a line, which it has not within them."""

USES: Mapping[str, tuple[str, ...]] = {
    "fresh": ("fresh",),
    "dry": ("dry", "dried", "drying"),
    "wire": ("wire", "wired", "wiring"),
}
USE_OF: Mapping[str, str] = {form: use for use, forms in USES.items() for form in forms}

CAUSES: Mapping[str, tuple[str, ...]] = {
    "mold": ("mold", "mould", "moldy", "mouldy", "rot", "rotten"),
    "gray mold": ("botrytis", "gray-mold", "grey-mould"),
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
    "shriveled": ("shriveled", "shrivelled", "shrivel", "shrunken"),
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
    **{(gray, mold): "gray mold" for gray in ("gray", "grey") for mold in ("mold", "mould")},
}


_COLOURS = (
    "white cream ivory yellow gold golden lemon apricot peach orange salmon coral pink rose blush red "
    "scarlet crimson burgundy wine plum purple violet mauve lilac lavender blue navy silver green lime "
    "bronze copper "
    "rust brick brown chocolate black tan champagne mixed mix bicolor bicolour carmine magenta fuchsia "
    "raspberry strawberry cherry pewter"
)
COLOURS = tuple(_COLOURS.split())
FLOWER_COLOURS = ("rose", "lilac", "lavender", "violet", "fuchsia")
"""Colors that are flowers as well, and may be a word of their names."""
SHADES = ("light", "pale", "dark", "deep", "bright", "soft", "dusty", "hot", "sky", "antique")
"""Words that may stand before a colour: "deep rose"."""


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

DEGREES = "degrees"
"""Said without their scale: those of the farm."""
SCALES = ("", DEGREES, "F", "C")
"""Units of a temperature; a bare number is one too."""

GLUED_UNITS: Mapping[str, str] = {
    "ft": "ft",
    "feet": "ft",
    "'": "ft",
    "in": "in",
    '"': "in",
    "min": "min",
    "mm": "mm",
    "cm": "cm",
    "m": "min",
    "g": "gauge",
    "ga": "gauge",
    "s": "size",
    "%": "%",
    "f": "F",
    "c": "C",
    "mph": "mph",
    "km/h": "km/h",
    "kmh": "km/h",
    "kph": "km/h",
    "m/s": "m/s",
    "b": "bunches",
    "bu": "bunches",
}
"""Written on a number without a space: 20ft, 36in, 12min, 22g, 10s, 50%, 34F, 1C."""

METRIC: Mapping[str, tuple[str, float]] = {
    "m": ("ft", 1 / METERS_A_FOOT),
    "cm": ("in", 1 / CM_AN_INCH),
    "mm": ("in", 1 / MM_AN_INCH),
    "km/h": ("mph", 1 / KM_A_MILE),
    "m/s": ("mph", 3.6 / KM_A_MILE),
}
"""A unit as it may be written -> the unit in which such a figure is kept, and how many of it."""

UNIT_WORDS: Mapping[str, str] = {
    "m": "m",
    "metres": "m",
    "metre": "m",
    "meters": "m",
    "meter": "m",
    "cm": "cm",
    **dict.fromkeys(("centimeter", "centimeters", "centimetre", "centimetres"), "cm"),
    **dict.fromkeys(("mm", "millimeter", "millimeters", "millimetre", "millimetres"), "mm"),
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
    "c": "C",
    "celsius": "C",
    "degrees": DEGREES,
    "mph": "mph",
    **dict.fromkeys(("km/h", "kmh", "kph"), "km/h"),
    "m/s": "m/s",
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
    "bu": "bunches",
    "b": "bunches",
    "seedlings": "plants",
    "seedling": "plants",
    "plugs": "plants",
    "culls": "culls",
    "cull": "culls",
    "culled": "culls",
}
"""Written after a number: "144 seeds"."""

MEASURES = {
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("floz", "fl-oz"), "fl oz"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("g", "gram", "grams"), "g"),
    **dict.fromkeys(("kg", "kilo", "kilos"), "kg"),
    **dict.fromkeys(("ml",), "ml"),
    **dict.fromkeys(("l", "liter", "liters", "litre", "litres"), "l"),
    **dict.fromkeys(("gal", "gallon", "gallons"), "gal"),
    **dict.fromkeys(("qt", "quart", "quarts"), "qt"),
    **dict.fromkeys(("pt", "pint", "pints"), "pt"),
    **dict.fromkeys(("tsp", "teaspoon", "teaspoons"), "tsp"),
    **dict.fromkeys(("tbsp", "tablespoon", "tablespoons"), "tbsp"),
    **dict.fromkeys(("cup", "cups"), "cups"),
    **dict.fromkeys(("bag", "bags"), "bags"),
}
"""Units of an amount as they are typed -> as they are kept."""
AREAS = {
    **dict.fromkeys(("acre", "acres", "ac"), "acre"),
    **dict.fromkeys(("sqft", "sq-ft", "ft2"), "sq ft"),
}
HOUR_WORDS = ("h", "hr", "hrs", "hour", "hours")
DOZEN = ("dozen", "doz")
DIVIDED = frozenset((*DOZEN, "fl", "sq", *MEASURES, *AREAS, *HOUR_WORDS, *UNIT_WORDS)) - {"b", "c", "f", "m"}
"""Before one of these "3/4" is an amount and no day."""

ONLY_AFTER_A_NUMBER = ("m", "mm")
"""Units that are initials elsewhere: "by m"."""
UNITS_BEFORE = {"culls", "cull", "culled", "gauge"}
"""Unit words that may also stand before their number: "culls 3"."""
UNITS_FIRST = UNITS_BEFORE - {"culled"}
"""Those that, between two numbers, belong to the second: "40 culls 3", but "3 culled 40"."""

_FILLERS = "of from in into at with the a and for on to is are out each per by still more"
FILLERS = frozenset(_FILLERS.split())
"""Small words that a line may have and that change nothing."""

TRAY_WORDS = ("tray", "trays", "flat", "flats")
ROOTS = (
    "tuber",
    "tubers",
    "clump",
    "clumps",
    "corm",
    "corms",
    "bulb",
    "bulbs",
    "rhizome",
    "rhizomes",
    "root",
    "roots",
)
"""What is planted may be called so: "plant dahlia b4 40ft 20 tubers"."""

LEADS_ON = frozenset(("of", "from", "into", "at", "with", "for", "on", "to", "per", "by", "and", "the", "a"))
"""Those with which no line ends: what should come after them is missing."""

_IN_FIGURES = "Write the number in figures, such as 40."
_NUMBER_WORDS = (
    "one two three four five six seven eight nine ten eleven twelve fifteen twenty thirty forty fifty sixty seventy "
    "eighty ninety hundred dozen"
)
NUMBER_WORDS = frozenset(_NUMBER_WORDS.split())
SAID_OTHERWISE: Mapping[str, str] = {
    **dict.fromkeys(NUMBER_WORDS, _IN_FIGURES),
    "put": "Put where? Of a tray write: set out S12 b3; of stems: hang L041 line 2, move L041 cooler, box L041 12x10.",
    **dict.fromkeys(
        ("gave", "given", "donate", "donated", "donation", "gift"),
        "What was given away is written so: used 10 L041 for a gift.",
    ),
    **dict.fromkeys(
        ("lat", "latitude", "lon", "longitude", "zone"),
        "That is of the farm: write farm latitude 44.1 longitude -72.6.",
    ),
    **dict.fromkeys(
        ("oops", "delete", "remove", "change", "fix", "edit", "wrong"),
        "A mistake is put right so: L041 was 35; taken back: undo, or cancel L041.",
    ),
    **dict.fromkeys(("hardened", "hardening", "harden"), "Each step of hardening off is written: step S12."),
    **dict.fromkeys(
        ("temp", "temperature", "humidity", "rh", "fridge"),
        "Of which room? Write shed {typed_degrees:72} 55%, or cooler {typed_degrees:38}.",
    ),
    "bring": "That a tray was brought in for a night is not kept: 'tonight' in the shell says each day which. A day on "
    "which it was not put out is: hold S12 cold.",
    **dict.fromkeys(("treat", "treated"), "How was it treated? Write freeze box 7, or warm box 7."),
    **dict.fromkeys(("press", "pressed"), "What is pressed leaves the stock so: used 10 L041 for pressing."),
    **dict.fromkeys(("pulled", "ripped"), "What is taken out of a bed is written: clear b4 zinnia."),
}
"""Words with which nothing is written -> what to write."""

ALONE: Mapping[str, str] = {
    "back": "Back from whom? Name the order it went out on: back 5 zinnia O014, back 1 bu statice O014; a market's too "
    "('orders' tells its code). To where it was picked from: back O014. Sold without an order: back 5 L041 from Ada.",
}
"""Words that say what was done only with another beside them -> what to write."""

INSIST = frozenset(("anyway", "!"))


PLACE_WORDS = ("line", "box", "bucket", "bench", "cooler")
WAITED = "waited"
"""Before the hours that cut stems lay out of water: "waited 2h"."""
ALL = "all"
"""Every one that fits: "move all zinnia cooler", "step all ready"."""
READY = "ready"
"""With "all": only those whose turn it is today."""
FROST_SEASONS: Mapping[str, str] = {
    "last": "spring",
    "spring": "spring",
    "first": "autumn",
    "autumn": "autumn",
    "fall": "autumn",
}

_PLAIN = frozenset(
    chain(
        USE_OF,
        WEEKDAYS,
        MONTHS,
        UNIT_WORDS,
        FILLERS,
        INSIST,
        PLACE_WORDS,
        FROST_SEASONS,
        CAUSE_OF,
        ("yesterday", "today", "tomorrow", "stage", "tuber", "tubers", ALL, READY, WAITED),
    )
)


def is_keyword(word: str) -> bool:
    """Whether the word has a meaning of its own in some line: none begins a crop's name, and no bed is called so."""
    return word in _PLAIN or word in sure_words() or word in loose_words()


def keywords() -> frozenset[str]:
    """Every word with a meaning of its own."""
    return _PLAIN.union(sure_words(), loose_words()) - {""}
