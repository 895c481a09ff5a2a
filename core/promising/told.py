"""An answer in at most ten lines, the first of which can be said into the telephone."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import islice
from typing import Any

from core.pieces.recipes import LIBRARY
from core.promising.answer import Answer, SourceRow
from core.promising.asks import HANDED
from core.promising.cut_list import COOL, DRY, CutList, CutRow, WorthCutting
from core.promising.telephone import Reply
from core.text import named, wrapped
from core.units import WEEKDAYS, plural, short_day

MOST_LINES = 10
WIDTH = 79
SAYS = {"surely": "surely", "likely": "likely", "no": "no"}
HEADS = {
    "on hand": "on hand",
    "drying": "drying",
    "in the field": "in the field",
    "in trays": "in trays",
    "planned": "not sown yet",
}


def reply_lines(replies: Sequence[Reply]) -> list[str]:
    """One answer in full, its longest lines cut off where it would be longer than ten lines; of several the first two
    sentences of each."""
    if len(replies) > 1:
        each = [line for reply in worst_first(replies) for line in islice(_lines(reply), 2)]
        return wrapped([verdict(replies), *each], WIDTH)
    answer, why, *more = _lines(replies[0])
    first = wrapped((answer, why), WIDTH)
    rest = wrapped(more, WIDTH)
    return [*first, *(rest if len(first) + len(rest) <= MOST_LINES else map(_fitted, more))][:MOST_LINES]


def worst_first(replies: Sequence[Reply]) -> list[Reply]:
    """What is least sure first."""
    return sorted(replies, key=lambda reply: (-[*SAYS].index(reply.answer.answer), reply.answer.chance))


def verdict(replies: Sequence[Reply]) -> str:
    """ "no 1, likely 2, surely 2: no: 60 zinnia pink fresh; likely: 3 bu statice dry, 2 corsage": what is in doubt of
    all that is asked, the worst first."""
    doubtful: dict[str, list[str]] = {}
    for reply in worst_first(replies):
        if reply.answer.answer != "surely":
            doubtful.setdefault(SAYS[reply.answer.answer], []).append(reply.text)
    if not doubtful:
        return "all of it can surely be promised"
    sure = len(replies) - sum(map(len, doubtful.values()))
    counts = [*(f"{says} {len(texts)}" for says, texts in doubtful.items()), f"surely {sure}" if sure else ""]
    told = "; ".join(f"{says}: {', '.join(texts)}" for says, texts in doubtful.items())
    return f"{', '.join(filter(None, counts))}: {told}"


def in_one_line(reply: Reply) -> str:
    """The answer and why, and what is counted for nothing, in one line."""
    return "; ".join([*(part.strip() for part in islice(_lines(reply), 2)), *reply.answer.uncounted])


def _lines(reply: Reply) -> Iterator[str]:
    found, text, deliveries = reply
    if found.what in LIBRARY:
        text = plural(found.wanted, found.what)
    year = "" if found.due[:4] == found.asked_on[:4] else f" {found.due[:4]}"
    stems = f" ({found.wanted} stems)" if " bu " in text else ""
    yield (
        f"{SAYS[found.answer]} ({times(found.chance)} in 100): {text}{stems} for "
        f"{week_day(date.fromisoformat(found.due))}{year}"
        f"{f', the worst of {deliveries} deliveries' if deliveries > 1 else ''}"
    )
    yield f"  {found.why}"
    if found.answer != "surely" and found.short_from not in (None, found.due):
        yield f"  a promise falls short already on {_day(found.short_from or found.due)}"
    yield from _taken_from(found)
    if found.answer == "surely" and found.leaves:
        yield f"  leaves {found.leaves} that can surely be promised for that day"
    yield from _sources(found.sources)
    if found.turns_on:
        yield f"  turns on {'; '.join(found.turns_on)}"
    if found.free_from:
        yield f"  free from about {_day(found.free_from)} on"
    if found.acts:
        yield f"  can be done: {'; '.join(act.says for act in reversed(found.acts))}"
    yield from (f"  {remark}" for remark in found.remarks)


def week_day(day: date) -> str:
    """ "Thu 15 Oct"."""
    return f"{WEEKDAYS[day.weekday()]} {short_day(day)}"


def _taken_from(found: Answer) -> Iterator[str]:
    if found.takes_from:
        of = "; ".join(
            f"{taken.amount} from {taken.order} {taken.buyer} ({_day(taken.due)}) {taken.times} times in 100"
            for taken in found.takes_from
        )
        yield f"  would take {of}"


def _sources(rows: Sequence[SourceRow]) -> Iterator[str]:
    """A line for each sort of source: how much of it, then each, the largest first."""
    for kind, head in HEADS.items():
        mine = sorted((row for row in rows if row.kind == kind), key=lambda row: (-row.amount, row.code))
        if not mine:
            continue
        if len(mine) == 1:
            yield f"  {head} {mine[0].code}: {mine[0].says}"
        else:
            total = sum(row.amount for row in mine)
            yield f"  {head} {total}: {', '.join(f'{row.code} {row.place} {row.amount}' for row in mine)}"


def times(chance: float) -> str:
    """Times in 100: never 100 for what is not certain, nor 0 for what is possible."""
    if chance in (0, 1):
        return f"{100 * chance:.0f}"
    return f"{min(max(100 * chance, 1), 99):.0f}"


def _day(iso: str) -> str:
    return short_day(date.fromisoformat(iso))


def _fitted(line: str) -> str:
    return line if len(line) <= WIDTH else line[: WIDTH - 2].rsplit(" ", 1)[0].rstrip(",;: ") + ".."


def reply_json(replies: Sequence[Reply]) -> dict[str, Any]:
    """The answer as plain values; of several things the worst of the answers, and each under "items"."""
    items = [_json(reply.answer, reply.text) for reply in replies]
    if len(items) == 1:
        return items[0]
    worst = worst_first(replies)[0]
    return {"answer": worst.answer.answer, "chance": worst.answer.chance, "items": items}


def _json(found: Answer, text: str) -> dict[str, Any]:
    return {
        "answer": found.answer,
        "chance": found.chance,
        "free_on_day": found.free_on_day,
        "free_as_usual": found.free_as_usual,
        "promised": found.promised,
        "sources": found.sources,
        "turns_on": found.turns_on,
        "last_day_to_act": found.last_day_to_act,
        "text": text,
        "what": found.what,
        "form": found.form,
        "wanted": found.wanted,
        "due": found.due,
        "short": found.short,
        "short_from": found.short_from,
        "why": found.why,
        "leaves": found.leaves,
        "takes_from": found.takes_from,
        "free_from": found.free_from,
        "acts": found.acts,
        "remarks": found.remarks,
    }


def cut_list_lines(found: CutList) -> list[str]:
    """The list on one page, to take along: a box to tick, the bed, how many of what, for whom; then its stage."""
    lines = [f"Cut list, {week_day(date.fromisoformat(found.day))}"]
    for when, head in ((COOL, "while it is cool, straight into water"), (DRY, "once the dew is gone")):
        rows = [row for row in found.rows if row.when == when]
        if rows:
            lines += [head, *(line for row in rows for line in _cut_row(row))]
    if not found.rows:
        lines.append("nothing is asked of the beds for any promise today")
    lines += short_lines(found)
    if found.worth:
        lines.append("worth cutting before it is too open")
        lines += [_worth_row(row) for row in found.worth]
    return wrapped(lines, WIDTH)


def short_lines(found: CutList) -> list[str]:
    """What will be short by the list, a line each."""
    told = {(short.order, short.item) for short in found.short}
    lacking = [
        f"! {one.stems} {one.item} for {one.order} {one.buyer}, {_day(one.due)}, stand nowhere by what was cut lately"
        for one in found.lacking
        if (one.order, one.item) not in told
    ]
    return [*(f"! {short.says}" for short in found.short), *lacking]


def closed_line(row: CutRow) -> str:
    """That its bed is closed, and until when; "" where it is open."""
    return f"! keep out: closed by a label until {row.closed}" if row.closed else ""


def _cut_row(row: CutRow) -> Iterator[str]:
    tick = "x" if not row.left else " "
    done = f", {row.cut} cut" if row.cut else ""
    use = HANDED[row.use]
    yield f"  [{tick}] {row.bed:4} {row.asked:4} {named(row.crop, row.variety)} {use}{done}{_too_few(row)}"
    for one in row.promised:
        yield f"             {one.stems} {f'{one.order} {one.buyer}'.strip() or 'to spare'}, {_day(one.due)}"
    if closed := closed_line(row):
        yield f"             {closed}"
    if row.left and row.stage:
        yield f"             {row.stage}"


def _too_few(row: CutRow) -> str:
    return f", about {row.standing} stand" if row.standing < row.left else ""


def _worth_row(row: WorthCutting) -> str:
    about = f"about {row.about} " if row.about else ""
    since = "new" if row.days_since is None else f"{row.days_since} d since the last cut"
    return f"      {row.bed:4} {about}{named(row.crop, row.variety)}, {'/'.join(row.uses)}: {since}"
