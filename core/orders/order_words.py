"""What a line says of an order as a whole: the buyer, the day or the days, what is spare, the deposit, a note."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from core.codes import ORDER
from core.language.days import DATED, LATELY, WEEKS, coming, iso_in, month_and_day, take_weeks
from core.language.line import Line, Refused, either, whole
from core.language.money import take_cents
from core.language.own_words import take_by
from core.language.tokens import Token
from core.language.words import WEEKDAYS
from core.order_rows import LAST_PRIORITY, MOST_DELIVERIES, Order
from core.orders.buyer_words import order_of_buyer
from core.text import nearest
from core.units import dated_text, day_from_iso, long_day, month_day, plainly, plural

WEEK = 7
"""Days of a week."""
WEEKLY = ("weekly", "week", "wk")
EVERY = ("every", "each")
OTHER = ("other", "second")
FORTNIGHT = ("fortnightly", "biweekly", "fortnight")
UNTIL = ("until", "till", "til", "through", "thru")
BEFORE_DAY = ("by", "on", "due", "for", "from", "starting", "beginning", *UNTIL, "to")


# the days


@dataclass(slots=True)
class Days:
    """When an order is due: on one day, or every so many days from it to another."""

    due: date
    every: int = 0
    until: date | None = None

    def fields(self) -> dict[str, Any]:
        """As an entry has them."""
        found: dict[str, Any] = {"due_on": self.due.isoformat()}
        if self.every:
            found |= {"every_days": self.every, "until_on": (self.until or self.due).isoformat()}
        return found


def take_days(line: Line) -> Days | None:
    """The day or days named; None where none is. Refused where a standing order has no end."""
    every = _take_every(line)
    weeks = None
    if (said := take_weeks(line, MOST_DELIVERIES)) is not None:
        weeks, number = said
        _take_before(line, number)
    days, weekday = _take_named_days(line)
    if every == 0 and weeks is None:
        found = [_to_come(line, text) for text in days] + ([weekday] if weekday else [])
        if len(found) > 1:
            raise Refused(
                "By which day? Two are named: write one, or 'weekly from 07-01 to 08-26' for each week.",
                "ambiguous",
            )
        return Days(found[0]) if found else None
    if len(days) > 2:
        raise Refused("From when until when? Write two days: weekly from 07-01 to 08-26.", "ambiguous")
    start = _to_come(line, days[0]) if days else weekday
    if start is None:
        raise Refused("From which day? Write it: weekly from 07-01 to 08-26.", near=("from 07-01 to 08-26",))
    if weekday is not None and days:
        start += timedelta(days=(weekday.weekday() - start.weekday()) % 7)
    step = every or 7
    if weeks is not None:
        if len(days) == 2:
            raise Refused(f"For {plural(weeks, 'week')}, or until a day? Write one of them.", "ambiguous")
        return Days(start, step, start + timedelta(days=step * ((weeks * 7 - 1) // step)))
    if len(days) < 2:
        raise Refused(
            "Until when? Write the last day, or for how many weeks: weekly from 07-01 for 8 weeks.",
            near=("for 8 weeks",),
        )
    return Days(start, step, coming(days[1], start))


def _to_come(line: Line, text: str) -> date:
    """The next such day; asked where this year's has only just gone by."""
    this = day_from_iso(text) or month_day(text, line.on.year)
    if this is not None and 0 < (line.on - this).days <= LATELY:
        raise Refused(
            f"{long_day(this)} has gone by: an order is for a day to come. Where another year is meant, write it as "
            f"{this.replace(year=this.year + 1, day=min(this.day, 28))}.",
            "impossible",
        )
    if this is not None and this < line.on and len(text) > len("MM-DD"):
        raise Refused(f"{long_day(this)} has gone by: an order is for a day to come.", "impossible")
    return coming(text, line.on)


def _take_every(line: Line) -> int:
    """Days from one delivery to the next: 7 of "weekly", "every week", 14 of "every 2 weeks"; 0 where none is said."""
    found = 0
    for token in line.free():
        if token.taken or not token.is_word:
            continue
        after = line.after(token)
        then = line.after(token, 2)
        if token.low in FORTNIGHT:
            found, token.taken = 14, True
        elif token.low == "weekly":
            found, token.taken = 7, True
        elif token.low in (*EVERY, "a", "per") and after is not None and after.low in WEEKLY:
            found, token.taken, after.taken = 7, True, True
        elif token.low in EVERY and after is not None and after.low in WEEKDAYS:
            found, token.taken = 7, True
        elif token.low in EVERY and after is not None and then is not None and then.low in (*WEEKLY, *WEEKS):
            count = 2 if after.low in OTHER else after.number
            if count is None or not 1 <= count <= 8 or count != int(count):
                raise Refused("Every how many weeks? Write 1 to 8: every 2 weeks from 07-01 to 08-26.")
            found = 7 * int(count)
            token.taken = after.taken = then.taken = True
    return found


def _take_named_days(line: Line) -> tuple[list[str], date | None]:
    """Every day of the year that is named, and the weekday (or today, tomorrow) that is: the next there is."""
    days, weekday = [], None
    for token in line.free():
        if token.taken or not token.is_word:
            continue
        if token.low in WEEKDAYS:
            ahead = (WEEKDAYS[token.low] - line.on.weekday() - 1) % 7 + 1
            found: date | None = line.on + timedelta(days=ahead)
        elif token.low in ("today", "tomorrow"):
            found = line.today + timedelta(days=token.low == "tomorrow")
        elif (text := month_and_day(line, token)) is not None:
            days.append(iso_in(line, token) or text)
            found = None
        else:
            continue
        token.taken = True
        _take_before(line, token)
        if found is not None:
            if weekday is not None and found != weekday:
                raise Refused("Two days are named: write one, such as by 10-15.", "ambiguous")
            weekday = found
    return days, weekday


def _take_before(line: Line, token: Token) -> None:
    """The small words that stand before a day ("by", "starting on") belong to it."""
    at = line.words.index(token) - 1
    while at >= 0 and line.words[at].taken and not line.words[at].quoted and at > 0:
        at -= 1  # the number of "20 june"
    while (
        at >= 0 and not line.words[at].taken and line.words[at].is_word and line.words[at].low in BEFORE_DAY
    ):
        line.words[at].taken = True
        at -= 1


# the rest


def take_terms(line: Line) -> dict[str, Any]:
    """What is said of spare stems, priority, deposit, and the note, which is the rest of the line."""
    found: dict[str, Any] = {}
    note = next((t for t in line.free() if t.is_word and t.low in ("note", "notes")), None)
    if note is not None:
        rest = [t for t in line.free() if t.start > note.start]
        if not rest:
            raise Refused("What is to be noted? Write it after 'note'.")
        found["note"] = rest[0].text if len(rest) == 1 else line.text[rest[0].start : rest[-1].end].strip()
        for token in (note, *rest):
            token.taken = True
    spare = line.take_words(("spare", "extra"))
    percent = line.take_unit("%", "percent")
    if percent is not None:
        if not 0 < percent <= 100:
            raise Refused(
                f"{plainly(percent)} % spare cannot be: write above 0, and 100 at most.", "impossible"
            )
        found["spare_pct"] = percent
    elif spare:
        raise Refused("How much is spare? Write it in percent: spare 10%.", near=("10%",))
    for token in line.free():
        after = line.after(token)
        if token.low == "deposit" and token.is_word:
            of = after if after is None or after.low != "of" else line.after(after)
            amount = of if of is not None else line.after(token, -1)
            if (cents := take_cents(line, amount)) is None:
                raise Refused("How much is the deposit? Write the amount after it: deposit 50.")
            token.taken, found["deposit_cents"] = True, cents
            if of is not after and after is not None:
                after.taken = True
        elif token.low == "priority" and token.is_word:
            if after is None or after.number is None or not 1 <= after.number <= LAST_PRIORITY:
                raise Refused(f"Which priority? Write 1, which comes first, to {LAST_PRIORITY}: priority 1.")
            token.taken = after.taken = True
            found["priority"] = whole(after.number, "priority")
    return found


def take_yesterday(line: Line) -> None:
    """ "yesterday": the day of a line in which any other day is that of a delivery."""
    if line.take_words(("yesterday",)):
        line.on = line.today - timedelta(days=1)
        line.remark(f"{DATED} {long_day(line.on)}")


def take_signed(line: Line) -> None:
    """ "by jo": whose line it is, once the days are read."""
    take_by(line)


# an order by its code


def take_order(line: Line, *, must: bool = True) -> Order | None:
    """The one order named in the line; where none is, None, or the question which."""
    codes = line.take_codes(ORDER)
    if len(codes) > 1:
        raise Refused(f"{codes[0]} and {codes[1]}: write one line for each.", "ambiguous", codes)
    live = [order.code for order in line.farm.orders.live()]
    if not codes:
        if must and (named := order_of_buyer(line)) is not None:
            return named
        if must:
            raise Refused("Which order? Write its code, such as O014.", near=live[-6:])
        return None
    order = line.farm.orders.get(codes[0])
    if order is None:
        near = nearest(codes[0], live) or tuple(live[-3:])
        near = tuple(code for code in live if code.lower() in [n.lower() for n in near])
        hint = f"; there is {either(near, 'and')}." if near else " yet."
        raise Refused(f"There is no order {codes[0]}{hint}", "unknown", near)
    return order


def _past_day(line: Line, order: Order, text: str) -> date | None:
    """The day that is named, where it has gone by since the order was taken: this year's, else last year's."""
    years = (line.today.year, line.today.year - 1)
    days = [day_from_iso(text)] if len(text) > len("MM-DD") else [month_day(text, year) for year in years]
    taken = date.fromisoformat(order.taken_on)
    return next((day for day in days if day is not None and taken <= day < line.today), None)


def _date(line: Line, day: date) -> None:
    line.on = day
    line.remark(f"{DATED} {long_day(day)}")


def need_order(line: Line) -> Order:
    """The order named in the line; refused where it was cancelled."""
    order = take_order(line)
    assert order is not None
    if order.cancelled_on:
        raise was_cancelled(order)
    return order


def was_cancelled(order: Order) -> Refused:
    """The refusal of what is said of an order that was cancelled, with how it is brought back."""
    return Refused(
        f"{order.code} of {order.buyer} was cancelled on {dated_text(order.cancelled_on)}: "
        f"'restore {order.code}' brings it back.",
        "impossible",
        (f"restore {order.code}",),
    )


def take_delivery(line: Line, order: Order) -> int:
    """Which delivery of the order is meant, from 1: that of the day named; else the next that is not finished."""
    named = delivery_named(line, order)
    return order.next_delivery if named is None else named


def delivery_named(line: Line, order: Order, *, is_done_then: bool = True) -> int | None:
    """The delivery of the day that the line names, from 1; None where it names none.

    A day gone by is also the day on which it was done, found out later: the line is dated so, unless it says "today" or
    "yesterday". A day of no delivery is the day alone: what was done belongs to the last delivery due before it of
    which something was open, else to the next. `is_done_then`: whether what is done is done on the day of the delivery.
    """
    is_said = line.on != line.today or any(t.is_word and t.low == "today" for t in line.free())
    named, weekday = _take_named_days(line)
    if named and weekday == line.today:
        weekday = None  # "today" says when, the day which
    days = list(order.deliveries())
    if not named and weekday is None:
        return None
    past = _past_day(line, order, named[0]) if len(named) == 1 and weekday is None else None
    if not order.every_days and past is not None:
        _date(line, past)
        return None
    wanted = {text[-5:] for text in named} | ({weekday.strftime("%m-%d")} if weekday else set())
    fit = [n for n, day in days if day.strftime("%m-%d") in wanted]
    if len(fit) == 1:
        if past is not None and is_done_then and not is_said:
            _date(line, past)
        return fit[0]
    if past is None or fit:
        told = [day.strftime("%m-%d") for _, day in days]
        raise Refused(
            f"{order.code} has no such delivery: it is due {either(told[:6])}.", "unknown", told[:6]
        )
    _date(line, past)
    return _nearest_delivery(order, past) if is_done_then else None


def deliveries_skipped(line: Line, order: Order) -> list[tuple[int, date]]:
    """(number, day) of each delivery whose day the line names; refused where it names none, or a day of none."""
    named, weekday = _take_named_days(line)
    wanted = [text[-5:] for text in named] + ([weekday.strftime("%m-%d")] if weekday else [])
    days = [(number, day) for number, day in order.deliveries()]
    told = [day.strftime("%m-%d") for _, day in days if day >= line.today][:6]
    if not wanted:
        near = told[:1]
        raise Refused(
            f"Which delivery of {order.code}? Write its day: skip {order.code} {' '.join(near)}.", near=near
        )
    found = [(number, day) for number, day in days if day.strftime("%m-%d") in wanted]
    if missing := [text for text in wanted if all(day.strftime("%m-%d") != text for _, day in days)]:
        hint = f": it is due {either(told)}" if told else ""
        raise Refused(f"{order.code} has no such delivery, {missing[0]}{hint}.", "unknown", told)
    return found


def _nearest_delivery(order: Order, day: date) -> int:
    open_now = {n for (_, n), tally in order.tallies().items() if tally.open or tally.set_aside}
    due = [(n, on) for n, on in order.deliveries() if n in open_now]
    before = [n for n, on in due if on <= day]
    return before[-1] if before else due[0][0] if due else order.next_delivery
