"""Told beside what is written: whether an order can be kept; after a cut, that less is to come than was expected."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from core.book.entry import Draft
from core.farm import Farm
from core.promising.less_expected import less_expected
from core.promising.telephone import ask_for_order
from core.promising.told import in_one_line, verdict, worst_first


def answers(farm: Farm, today: date, drafts: Sequence[Draft]) -> Iterator[str]:
    """A line for each cut after which less is expected, and for each thing ordered that is not sure to be there, the
    worst first, after the verdict on the whole of an order."""
    yield from less_expected(farm, today, drafts)
    replies = ask_for_order(farm, today, drafts)
    doubtful = [reply for reply in worst_first(replies) if reply.answer.answer != "surely"]
    if replies and (len(replies) > 1 or not doubtful):
        yield verdict(replies)
    yield from map(in_one_line, doubtful)
