"""Frost dates and the cold a crop may take, in a line: "last frost 05-14", "risk tender 36F 10%"."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from core.dialect import told_frost
from core.language.days import month_and_day
from core.language.line import Line, Reading, Refused, either
from core.language.names import has_bed, has_lot, has_tray, names_crop
from core.language.offers import words
from core.language.tokens import Number, Token
from core.language.verb import LIKELY, NOT, Verb, leave_word
from core.language.words import DEGREES, FROST_SEASONS
from core.marked import typed_frost, typed_low
from core.reckon.climate.air import c_from_f
from core.settings.sheets import in_south, latitude_of
from core.units import day_text
from core.units_told import frost_in_f
from core.weather.kinds import HARDINESS

USUAL_THRESHOLD_F = 32
USUAL_RISK_PCT = 50
"""What packets mean by "last frost": 32 F, one year in two (common practice)."""


def frost(line: Line) -> Reading:
    """ "last frost 05-14", "frost spring 28F 10% 04-28": 32 F and one year in two unless said."""
    line.take_words(("frost", "average", "avg", "usual"))
    if any(
        t.is_word and t.low in ("black", "killing", "hard", "white", "ground", "tonight") for t in line.free()
    ):
        raise Refused(
            f"How cold was it, or will it be? Write low {typed_low(27)} for last night, tonight "
            f"{typed_low(27)} for the "
            "night to come; plants lost to it: lost all b3 zinnia frost.",
            near=(f"low {typed_low(27)}", f"tonight {typed_low(27)}"),
        )
    seasons = list(dict.fromkeys(FROST_SEASONS[t.low] for t in line.take_words(FROST_SEASONS)))
    if len(seasons) != 1:
        raise Refused(
            f"Last frost or first frost? Write 'last frost {_SUCH_AS['spring', in_south(line.farm)][0]}' or "
            f"'first frost {_SUCH_AS['autumn', in_south(line.farm)][0]}'.",
            near=("last", "first"),
        )
    threshold = _take_threshold(line)
    risk = line.take_unit("%", "percent")
    days = []
    for token in line.free():
        if not token.taken and (found := month_and_day(line, token)):
            token.taken = True
            days.append(found)
    if len(days) != 1:
        as_number, in_words = _SUCH_AS[seasons[0], in_south(line.farm)]
        raise Refused(f"On which day? Write it as {as_number} or {in_words}.", near=(as_number,))
    if (
        threshold is None or threshold >= USUAL_THRESHOLD_F
    ):  # colder ones may be of midwinter where it is mild
        _ask_season(line, seasons[0], days[0])
    return line.reading(
        line.draft(
            "frost",
            season=seasons[0],
            threshold_f=USUAL_THRESHOLD_F if threshold is None else threshold,
            risk_pct=USUAL_RISK_PCT if risk is None else risk,
            month_day=days[0],
        )
    )


_SUCH_AS: Mapping[tuple[str, bool], tuple[str, str]] = {
    ("spring", False): ("05-14", "14 may"),
    ("autumn", False): ("10-01", "1 october"),
    ("spring", True): ("10-10", "10 october"),
    ("autumn", True): ("05-01", "1 may"),
}
"""(season, whether south of the equator) -> a day of it, as an example."""
_MONTHS_OF: Mapping[tuple[str, bool], tuple[str, Collection[int]]] = {
    ("spring", False): ("from January to July", range(1, 8)),
    ("autumn", False): ("from August to January", (*range(8, 13), 1)),
    ("spring", True): ("from July to January", (*range(7, 13), 1)),
    ("autumn", True): ("from February to July", range(2, 8)),
}
"""(season, whether south of the equator) -> when its frosts fall, in words and as months."""


def _ask_season(line: Line, season: str, month_day: str) -> None:
    """Refuse a frost that is not of its season where the farm lies.

    Where that was never said, a last frost may tell it: all days hang on it, and it is what a new book asks first.
    """
    latitude, south = latitude_of(line.farm), in_south(line.farm)
    month = int(month_day[:2])
    in_words, months = _MONTHS_OF[season, south]
    tells_the_south = latitude is None and season == "spring" and month < 12
    if month in months or tells_the_south:
        if month not in months:
            line.remark("so the farm lies south of the equator; 'farm latitude -41' says where")
        return
    name, half = "last frost" if season == "spring" else "first frost", "south" if south else "north"
    ask = "write the farm's latitude first (farm latitude -35)" if latitude is None else "the farm's latitude"
    raise Refused(
        f"A {name} {half} of the equator falls {in_words}: check {day_text(f'2024-{month_day}')}, or {ask}.",
        "impossible",
    )


def risk(line: Line) -> Reading:
    """ "risk tender 36F 10%": the cold a hardiness class waits for in spring."""
    words = [t.low for t in line.take_words((*HARDINESS, "half"))]
    kind = "half-hardy" if words == ["half", "hardy"] else words[0] if len(words) == 1 else ""
    threshold = _take_threshold(line)
    chance = line.take_unit("%", "percent")
    line.refuse_leftovers(HARDINESS)
    if kind not in HARDINESS:
        raise Refused(
            f"Which crops? Write {either(HARDINESS)}: risk tender {typed_frost(36)} 10%.", near=HARDINESS
        )
    if threshold is None or chance is None:
        raise Refused(
            f"Which cold, and at which chance? Write both: risk {kind} {typed_frost(36)} 10%.",
            near=(f"{typed_frost(36)} 10%",),
        )
    wanted = "spring", round(threshold), round(chance)
    if not any(
        (row.season, round(row.threshold_f), round(row.risk_pct)) == wanted for row in line.farm.frost
    ):
        line.remark(
            f"no date of {told_frost(threshold)} at {chance:g} % is known yet: 'shedbook weather keep' brings it in"
        )
    return line.reading(line.draft("risk", hardiness=kind, threshold_f=threshold, risk_pct=chance))


def _take_threshold(line: Line) -> Number | None:
    """The cold of a frost in degrees F; one said in a whole degree C is the whole degree F that it is told for."""
    is_celsius = any(t.unit == "C" or (t.unit == DEGREES and line.way.celsius) for t in line.free())
    threshold = line.take_degrees("degrees")
    return frost_in_f(round(c_from_f(threshold), 2)) if is_celsius and threshold is not None else threshold


def claims_frost(line: Line, token: Token) -> int:
    if has_bed(line) or has_lot(line) or has_tray(line):
        return NOT
    is_said = any(t.is_word and t.low == "frost" for t in line.words)
    return LIKELY if is_said or not names_crop(line) else NOT


_JOB = "Weather and frost"

FROST = (
    Verb(
        "frost",
        frost,
        _JOB,
        (
            ("last frost 14 may", "{frost:32}, one year in two: every date is reckoned from it"),
            ("frost spring {typed_frost:28} 10% 04-28", "another threshold, another risk"),
            ("first frost 10-01", "the end of the season"),
        ),
        (words(*FROST_SEASONS, "frost"),),
        follow=lambda _line, _farm: (typed_frost(28), "10%"),
        own_day=True,
        claims=claims_frost,
        take=leave_word,
    ),
    Verb(
        "risk",
        risk,
        _JOB,
        (("risk tender {typed_frost:36} 10%", "the cold that tender, half-hardy or hardy crops wait for"),),
        (words(*HARDINESS),),
        follow=(),
    ),
)
"""The verbs of frost dates and risks."""
