"""A delivery that the buyer does not want, in one line."""

from __future__ import annotations

from core.book.entry import Draft
from core.language.line import Line, Reading, Refused
from core.language.own_words import take_by
from core.orders.back_lines import put_back
from core.orders.order_words import deliveries_skipped, need_order, take_yesterday


def skip(line: Line) -> Reading:
    """ "skip O014 7-15", "O014 skips 7-15 and 7-22": nothing is wanted or owed for these; what is picked goes back."""
    line.verb = "skip"
    take_by(line)
    take_yesterday(line)
    kept = need_order(line)
    if not kept.every_days:
        raise Refused(
            f"{kept.code} is for one day: 'cancel {kept.code}' takes it back, '{kept.code} was by ...' moves it.",
            "impossible",
            (f"cancel {kept.code}",),
        )
    drafts: list[Draft] = []
    for number, due in deliveries_skipped(line, kept):
        drafts += put_back(line, kept, number)
        drafts.append(
            line.draft(
                "skipped",
                order=kept.code,
                buyer=kept.buyer,
                due_on=due.isoformat(),
                order_ref=kept.made_by,
                delivery=number if number > 1 else None,
            )
        )
    if any(draft.kind == "put back" for draft in drafts):
        line.remark("what is picked for it goes back to where it came from")
    return line.reading(*drafts)
