"""The look back in a line: "vase L041 9 days", "vase L041 7 days still good"; "leave out zinnia fresh"."""

from __future__ import annotations

from core.cutting.said import take_use
from core.farm import Farm
from core.language.crops import need_crop
from core.language.line import Line, Reading, Refused, either, whole
from core.language.names import take_lots
from core.language.offers import crops, words
from core.language.tokens import Token
from core.language.verb import FIRST, NOT, Verb
from core.learning.draft_year import drafted_from
from core.learning.kinds import VASE_DAYS
from core.places import USES

GOOD = ("still", "good", "fresh")
_COUNTED = ("day", "days")
_SMALL = ("lasted", "stood", "life", "in")


def vase(line: Line) -> Reading:
    """The days that stems of a lot stood in a vase, and whether they were still good."""
    line.take_words(_SMALL)
    lots = take_lots(line, empty=True)
    days = line.take_count("days")
    line.take_words(_COUNTED)
    good = any(t.is_word and t.low in GOOD for t in line.free())
    line.take_words(GOOD)
    if not lots:
        raise Refused("Of which lot? Write its code: vase L041 9 days.")
    if len(lots) > 1:
        raise Refused(
            f"Of {either([lot.code for lot in lots])}? Write one lot, for each has its days.", "ambiguous"
        )
    if days is None:
        raise Refused(
            f"How many days? Write them: vase {lots[0].code} 9 days, and 'still good' where it was."
        )
    line.refuse_leftovers(GOOD)
    if not VASE_DAYS.span[0] <= days <= VASE_DAYS.span[1]:
        raise Refused(f"Days in a vase are 1 to {VASE_DAYS.span[1]:g}: write how many.", "impossible")
    (lot,) = lots
    return line.reading(
        line.draft("in vase", lot=lot.code, days=days, good=good or None, ref=lot.made_by), lot=lot.code
    )


def leave_out(line: Line) -> Reading:
    """ "leave out zinnia fresh 2027": it is not asked for any more in the draft of that season's plan."""
    line.take_words(("out", "of", "for"))
    season = line.take_number("the year of the season")
    use = take_use(line)
    crop = need_crop(line)
    if use is None:
        raise Refused(f"For which use: fresh, dry or wire? Write it: leave out {crop} fresh.", near=USES)
    line.refuse_leftovers(USES)
    year = (
        drafted_from(line.farm, line.today) + 1 if season is None else whole(season, "the year of the season")
    )
    return line.reading(line.draft("left out", crop=crop, use=use, season=year))


def _claims_leaving(line: Line, token: Token) -> int:
    """ "leave out" at the beginning of a line: "left" alone says other things elsewhere."""
    after = line.after(token)
    return FIRST if token is line.words[0] and after is not None and after.low == "out" else NOT


def _claims(line: Line, token: Token) -> int:
    """Only a line that begins with the word is about a vase: it also stands in figures of a sheet."""
    return FIRST if token is line.words[0] else NOT


def _lots(_line: Line, farm: Farm) -> list[str]:
    """The lots that are anywhere, the newest first."""
    return [lot.code for lot in farm.lots.live()][::-1]


VERBS = (
    Verb(
        "vase",
        vase,
        "Looking back",
        (
            ("vase L041 9 days", "how long stems of it lasted; 'learn' holds them against the sheet"),
            ("vase L041 7 days still good", "not wilted yet: so many at least"),
        ),
        (_lots, words("days", "still good")),
        follow=("still good", "yesterday"),
        claims=_claims,
    ),
    Verb(
        "leave out",
        leave_out,
        "Looking back",
        (("leave out zinnia fresh", "of next season's plan, as 'shedbook draft' has it"),),
        (crops, words(*USES)),
        claims=_claims_leaving,
    ),
)
