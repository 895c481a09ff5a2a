"""The lines by job, each with what it does: for the help of the screen and for the README."""

from __future__ import annotations

from typing import NamedTuple


class Example(NamedTuple):
    """One line as it is typed, and what it does."""

    line: str
    does: str


class Job(NamedTuple):
    """A job of the day and its lines."""

    name: str
    examples: tuple[Example, ...]


def _job(name: str, *examples: tuple[str, str]) -> Job:
    return Job(name, tuple(Example(*example) for example in examples))


GUIDE: tuple[Job, ...] = (
    _job(
        "Cut",
        ("40 strawflower b3 dry", "40 stems from bed b3 into the bucket, to be dried"),
        ("40", "the same again: crop, colour, bed and use of the last cut"),
        ("30 zin b4 fresh pink culls 3 blown 12min", "a colour, culls with their cause, the minutes it took"),
        ("24 straw b3 wire stage 2 rows open", "for wiring, with the stage seen"),
        (
            "30 zin b4 fresh waited 2h",
            "out of water for two hours; 'at 6:40' is when it came into the bucket",
        ),
    ),
    _job(
        "Hang, wire, box",
        ("hang", "the newest lot in the bucket onto the line used last"),
        ("hang 30 L041 line 2 10s", "30 stems on line 2 in bunches of 10"),
        ("wire 24 L041 22g", "24 heads onto wire while they are fresh"),
        ("snap L038", "the snap test: the stem snaps, it is dry"),
        ("bends L038", "the stem still bends"),
        ("weigh L038 412g", "one marked bunch, always the same: the fourth weighing dates its end"),
        ("box L038 3x10 box 7", "3 bunches of 10 into box 7; 'second' at the end is their grade"),
    ),
    _job(
        "The shed",
        ("shed 72F 55%", "its air just now; also: cooler 36F 88%, shed 22C 55% at 6:40"),
        ("shed 58 to 84 41 to 68%", "what the max-min thermometer saw since it was last reset"),
        ("line 2 is 40ft dark fan", "a line's feet; also: light, no fan"),
    ),
    _job(
        "In store",
        ("check box 7 sound", "looked into; or moth, damp, mice"),
        ("hang L035 box 7 line 2", "found damp: out of the box, back onto a line"),
        ("freeze box 7 7 days", "a week against moths"),
        ("warm box 7 3 hours", "3 hours at 125-130 F against moths, watched all the while"),
        ("box 7 dark attic", "where it stands; 'box 7 is in the light', where colour fades"),
    ),
    _job(
        "Stock",
        ("lost 6 mould L038", "stems lost, with their cause"),
        (
            "sold 2 L035 to corner florist",
            "bunches, or stems; a crop without a lot: first what expires first",
        ),
        ("used 10 L041 for crown", "what went into a piece"),
        ("move 10 L038 line 3", "to another line or box"),
        ("move L041 cooler", "out of the bucket; 'move all strawflower cooler' takes every lot of it"),
        ("count 34 L038", "what is really there; the difference is kept"),
    ),
    _job(
        "Pieces and makings",
        ("recipe wreath-12 as wreath 12in", "begun from the library, for that ring; or from one of yours"),
        (
            "recipe posy bouquet 15min: 8 dry straw, 1 ribbon",
            "in your own words; 'any filler' will do for a part",
        ),
        (
            "part crown-b 6 dry strawflower apricot",
            "a part put in or changed; 0 takes it out; 'drop crown-b' them all",
        ),
        ("make 2 crown-b 80min", "the oldest dry stems go in, and the makings are counted down"),
        ("sold 1 M001 to corner florist", "pieces by their code"),
        ("lost 1 M001 broken", "also faded, unsold, moth"),
        ("bought 500 wire 22", "makings; 'count 480 wire 22' puts them right"),
        ("reorder 200 wire 22", "the number at which to buy it again"),
    ),
    _job(
        "Seed and trays",
        (
            "sow 72 strawflower early apricot 128s 144 seeds",
            "72 cells sown the early way; a seed a cell unless said",
        ),
        ("up 60 S12", "seedlings counted"),
        ("prick 58 S12 72s", "pricked out into 72s"),
        ("pot 50 S12 50s", "potted on into 50s"),
        ("step S12", "today's step of hardening off is done"),
        ("hold S12 wind", "no step today, and why"),
        ("lost 4 damping S12", "seedlings lost, with their cause"),
    ),
    _job(
        "Beds",
        ("bed b9 50ft", "a new bed, 36 in wide unless said"),
        ("set out S12 b5 20ft", "a tray into a bed"),
        ("plant peony b5 10ft 12 plants on 2024-10-01", "bought in, or standing there already"),
        ("drill larkspur b5 20ft", "sown where it is to stand"),
        ("pinch b4", "also: net b4, cover b4, uncover b4"),
        ("lost 5 slugs b3 strawflower", "plants lost in a bed"),
        ("clear b4 zinnia", "done with, its feet are free"),
    ),
    _job(
        "What is to come",
        (
            "plan 120 strawflower apricot dry by 2027-09-19",
            "a wish reckoned back to the seed, kept as a plan",
        ),
        ("plan 12 bunches sunflower fresh by 09-05 b4", "in bunches, and in that bed"),
        (
            "plan 10 bunches zinnia fresh a week from 07-01",
            "every week till the first frost, a plan a sowing",
        ),
        (
            "plan 120 strawflower dry by 2027-09-19 60% 162s",
            "60 % of its seed comes up; in trays of 162 cells",
        ),
        ("drop N01", "the plan is given up"),
        ("room lights 24", "trays under lights; also: room hardening 12, room line 120ft"),
    ),
    _job(
        "Weather and frost",
        ("low 34 high 61", "last night and today, degrees F"),
        ("tonight 38", "the low forecast for tonight"),
        ("dusk 52 dew 44 clear", "two hours after sunset; also: rh 74 for the dew point, cloudy"),
        ("wind 18", "miles an hour"),
        ("last frost 14 may", "32 F, one year in two: every date is reckoned from it"),
        ("frost spring 28F 10% 04-28", "another threshold, another risk"),
        ("first frost 10-01", "the end of the season"),
        ("risk tender 36F 10%", "the cold that tender, half-hardy or hardy crops wait for"),
    ),
    _job(
        "The book",
        ("note b3 slugs along the north edge", "a note about a bed, tray or lot, or about nothing"),
        ("sheet strawflower drying_days 14-21 own record", "a figure of your own in the crop's sheet"),
        ("farm name 'Low Barn' latitude 44.1", "also longitude, zone; 'farm wire SWG' for gauges"),
        ("40 strawflower b3 dry yesterday", "any line may say its day: mon, 20 june, on 2026-06-20"),
        ("undo", "takes your last line back; 'strike 0190a3' an older one"),
    ),
)
"""Words may stand in any order; a crop is named by any beginning that is not another's; 'anyway' insists."""
