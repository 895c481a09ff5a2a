"""Why something was lost or kept in, as a line says it."""

from __future__ import annotations

from core.farm import Farm
from core.language.line import Line, Refused, either, short
from core.language.tokens import Token
from core.language.words import CAUSE_OF, CAUSES, CAUSES_IN_TWO_WORDS, COLOURS, FILLERS, SHADES
from core.text import nearest


def take_cause(line: Line, near: Token | None = None) -> str | None:
    """The cause of a loss or a hold: a word of the table, one this farm has used, or text in quotes."""
    free = line.free()
    if near is not None:  # "culls 3 brown": the word beside its count is the cause, not a color
        free.sort(key=lambda t: (t.start < near.start, abs(t.start - near.start)))
    for token in free:
        if not token.is_word:
            continue
        after = line.after(token)
        if token.low in SHADES and after and after.low in COLOURS:  # "soft pink"
            continue
        if after and (cause := CAUSES_IN_TWO_WORDS.get((token.low, after.low))):
            token.taken = after.taken = True
            return cause
        if token.low in CAUSE_OF:
            token.taken = True
            cause = CAUSE_OF[token.low]
            if after is not None and after.low in cause.split()[1:]:
                after.taken = True
            return cause
    by_low = {cause.lower(): cause for cause in line.farm.causes}
    for token in free:
        if token.is_word and token.low in by_low:
            token.taken = True
            return by_low[token.low]
    return line.take_quoted()


def usual_causes(farm: Farm, short_list: tuple[str, ...]) -> tuple[str, ...]:
    """The causes of a short list, those this farm wrote most often first, "other" last."""
    return tuple(sorted(short_list, key=lambda cause: (cause == "other", -farm.causes.get(cause, 0))))


def need_cause(line: Line, short_list: tuple[str, ...]) -> str:
    """The cause, or the question with the short list of those that are usual here; any cause known will do."""
    cause = take_cause(line)
    if cause is not None:
        return cause
    usual = usual_causes(line.farm, short_list)
    for token in line.free():
        if token.is_word and token.low not in FILLERS:
            near = tuple(dict.fromkeys(CAUSE_OF.get(w, w) for w in nearest(token.low, (*CAUSES, *CAUSE_OF))))
            raise Refused(
                f"'{short(token.text)}' is no cause known here: {either(usual)}; others in quotes.",
                "unknown",
                near or usual,
            )
    raise Refused(f"What was the cause? {either(usual).capitalize()}.", near=usual)
