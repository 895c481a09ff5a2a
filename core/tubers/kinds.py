"""What is written of tubers: lifted from a planting, divided, bought, lost, counted, planted out again, forced."""

from __future__ import annotations

from datetime import date

from core.beds.kinds import PLANTING
from core.book.entry import Draft, Entry
from core.dialect import told_degrees
from core.farm import Farm
from core.kinds import DEGREES_F, REF, Field, Kind, may, needs
from core.problems import Problem
from core.refusals import too_early
from core.settings.sheets import farm_sheet
from core.spelling import spelled
from core.text import named
from core.tubers.forcing import COLD_F, WEEKS_OF_COLD, Chill, Forced, chilled_until, take_out
from core.tubers.stock import CUT_BEYOND, Deal, Stock, Tubers, left_to_lift, note_cut_beyond, roots_of
from core.tubers.storing import STORING, check_in_store
from core.units import dated_text, plural, short_day

OVERDRAWN = "tubers overdrawn"
"""The sort of matter that a count settles: more went than lay in store."""
MISCOUNTED = "miscounted"
"""The cause under which a count keeps what it found missing; below 0 where it found more."""

FORCED = "forced"
"""Where bulbs stand that came out of the cold to flower: what is cut there stands in no bed."""

MOST_PIECES = 20
"""Pieces of one clump from which the number is asked about (ours)."""


def _some(draft: Draft, name: str) -> Problem | None:
    return Problem("At least one is counted.", "impossible") if draft.fields[name] < 1 else None


def _check_lifted(farm: Farm, draft: Draft) -> Problem | None:
    planting = PLANTING.need(farm, draft)
    if isinstance(planting, Problem):
        return planting
    called = f"{named(planting.crop, planting.variety)} in bed {planting.bed}"
    if not planting.is_live:
        return Problem(f"{called} was cleared on {dated_text(planting.cleared_on)}.", "impossible")
    if problem := too_early("The planting of", planting.crop, planting.out_on, draft) or _some(
        draft, "count"
    ):
        return problem
    left = left_to_lift(farm, planting)
    if left is not None and draft.fields["count"] > left:
        return Problem(
            f"{called} has {left} plants: {draft.fields['count']} is more than there is.", "impossible"
        )
    return None


def _lifted(farm: Farm, entry: Entry) -> None:
    planting = PLANTING.find_or_matter(farm, entry)
    if planting is None:
        return
    count, tubers = entry.fields["count"], farm.part(Tubers)
    stock = tubers.kept(planting.crop, planting.variety)
    stock.lifted += count
    stock.came(entry.on, count, planting.code, planting.bed)
    stock.lifted_on = entry.on
    stock.handle(entry.on)
    tubers.of_planting[planting.code] = tubers.of_planting.get(planting.code, 0) + count
    left = left_to_lift(farm, planting)
    if left is None or left <= 0:
        planting.cleared_on = planting.cleared_on or entry.on


def _enough(farm: Farm, draft: Draft, count: int) -> Problem | None:
    f = draft.fields
    called = named(f["crop"], f.get("variety"))
    stock = farm.part(Tubers).stock(f["crop"], f.get("variety"))
    if stock is None or stock.there < count:
        there = stock.there if stock is not None else 0
        return Problem(
            f"{there} of {called} are in store and {count} are needed: lift, buy or count them first.",
            "impossible",
        )
    return None


def _went(farm: Farm, stock: Stock, entry: Entry) -> None:
    """More that went than there was is a matter to settle."""
    stock.went(entry.on)
    if stock.there < 0:
        word = roots_of(farm, stock.crop)
        farm.note_matter(
            f"{-stock.there} more {word} of {stock.called} went than were in store: count them "
            f"('count 0 {stock.called} {word}'), or take back what did not happen.",
            entry.id,
            OVERDRAWN,
            stock.crop,
            stock.variety or "",
            amount=-stock.there,
        )


def _check_divided(farm: Farm, draft: Draft) -> Problem | None:
    count, into = draft.fields["count"], draft.fields["pieces"]
    if into < count:
        return Problem(f"{count} divided are {count} pieces at least: what rotted is lost.", "impossible")
    return _some(draft, "count") or _enough(farm, draft, count)


def _too_many_pieces(farm: Farm, draft: Draft) -> str | None:
    """A clump gives some five to ten pieces with an eye (common practice)."""
    count, into = draft.fields["count"], draft.fields["pieces"]
    if count < 1 or into <= MOST_PIECES * count:
        return None
    return f"{into} pieces of {count} are {into / count:.0f} of each"


def _divided(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    stock.gained += f["pieces"] - f["count"]
    stock.split(f["count"], f["pieces"], entry.on)
    stock.handle(entry.on)


def _check_bought(_farm: Farm, draft: Draft) -> Problem | None:
    return _some(draft, "count")


def _bought(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    farm.note_variety(f["crop"], f.get("variety"))
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    stock.bought += f["count"]
    stock.came(entry.on, f["count"])
    if "cents" in f:
        stock.deals.append(Deal(entry.on, f["count"], f["cents"], f.get("who"), is_sale=False))
    stock.handle(entry.on)


def _check_lost(farm: Farm, draft: Draft) -> Problem | None:
    return _some(draft, "count") or _enough(farm, draft, draft.fields["count"])


_check_sold = _check_lost


def _lost(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    cause = spelled(f["cause"])
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    stock.lost[cause] = stock.lost.get(cause, 0) + f["count"]
    stock.handle(entry.on)
    farm.note_cause(cause, entry.on)
    _went(farm, stock, entry)


def _sold(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    stock.sold += f["count"]
    stock.deals.append(Deal(entry.on, f["count"], f.get("cents"), f.get("who"), is_sale=True))
    farm.note_variety(f["crop"], f.get("variety"))
    _went(farm, stock, entry)


def _checked(farm: Farm, entry: Entry) -> None:
    for stock in farm.part(Tubers).of(entry.fields["crop"], entry.fields.get("variety")):
        stock.checked_on = max(entry.on, stock.checked_on or "")
        stock.handle(entry.on)


def _counted(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    if missing := stock.there - f["count"]:
        stock.lost[MISCOUNTED] = stock.lost.get(MISCOUNTED, 0) + missing
    stock.handle(entry.on)
    stock.went(entry.on)
    farm.settle(OVERDRAWN, stock.crop, stock.variety or "")


def _set_out(farm: Farm, entry: Entry) -> None:
    """What is planted of a variety of which some is in store comes out of it as far as that reaches; the rest was
    bought in."""
    f = entry.fields
    stock = farm.part(Tubers).stock(f["crop"], f.get("variety"))
    if stock is not None and "tray" not in f and stock.there > 0:
        count = min(stock.there, f.get("plants", 0))
        if came := stock.take_out(count):
            farm.part(Tubers).origins[f["planting"]] = came
        stock.planted += count
        stock.went(entry.on)


REMEMBERED = 12
"""So many liftings out of the cold are remembered one by one."""


def _check_chilled(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    if problem := _some(draft, "count") or _enough(farm, draft, f["count"]):
        return problem
    if (cold := f.get("cold_f")) is not None and not COLD_F[0] - 3 <= cold <= COLD_F[1] + 5:
        return Problem(
            f"{roots_of(farm, f['crop']).capitalize()} are chilled at {told_degrees(*COLD_F)}, not at "
            f"{told_degrees(cold)}: frozen ones are lost, warm ones do not flower.",
            "impossible",
        )
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    if f["count"] > (dry := stock.there - stock.in_cold):
        return Problem(
            f"{stock.in_cold} of the {stock.there} {stock.called} lie in the cold already, {dry} are left for it.",
            "impossible",
        )
    return None


def _chilled(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    stock.cold.append(Chill(entry.id, entry.on, f["count"], f.get("weeks"), f.get("cold_f")))
    stock.handle(entry.on)
    stock.went(entry.on)


def _check_forced(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    stock = farm.part(Tubers).stock(f["crop"], f.get("variety"))
    cold = stock.in_cold if stock is not None else 0
    called, word = named(f["crop"], f.get("variety")), roots_of(farm, f["crop"])
    if cold < 1 and f["count"] < 1:
        return Problem(
            f"No {called} {word} are in the cold: write what went in first, such as 'force 50 {called} {word}'.",
            "impossible",
        )
    if f["count"] > cold:
        return Problem(
            f"{cold} of {called} lie in the cold and {f['count']} are to come out: write what went in first, such as "
            f"'force {f['count']} {called} {word}'.",
            "impossible",
        )
    return _some(draft, "count")


def _too_early_out(farm: Farm, draft: Draft) -> str | None:
    """That some of what comes out has not had its weeks of cold: it may not flower."""
    f, left = draft.fields, draft.fields["count"]
    stock = farm.part(Tubers).stock(f["crop"], f.get("variety"))
    sheet = farm_sheet(farm, f["crop"], variety=f.get("variety"))
    for chill in sorted(stock.cold if stock is not None else (), key=lambda one: (one.on, one.entry)):
        if left < 1:
            break
        left -= chill.count
        done = chilled_until(chill, sheet)
        if done is not None and draft.on < done.first:
            been = (date.fromisoformat(draft.on) - date.fromisoformat(chill.on)).days // 7
            until = short_day(date.fromisoformat(done.first))
            return f"{plural(been, 'week')} in the cold, and chilled by {until} ({done.because})"
    return None


def _check_over(farm: Farm, draft: Draft) -> Problem | None:
    f = draft.fields
    stock, called = farm.part(Tubers).stock(f["crop"], f.get("variety")), named(f["crop"], f.get("variety"))
    left = stock.to_cut if stock is not None else 0
    if left < 1:
        return Problem(f"No forced {called} is left: nothing is to be cleared.", "unknown")
    if f["count"] > left:
        return Problem(
            f"{left} forced {roots_of(farm, f['crop'])} of {called} are left, not {f['count']}.",
            "impossible",
            (str(left),),
        )
    return _some(draft, "count")


def _over(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    stock.forced_over += f["count"]
    note_cut_beyond(farm, stock, entry.id)


def _forced(farm: Farm, entry: Entry) -> None:
    f = entry.fields
    stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
    take_out(stock.cold, f["count"])
    stock.forced += f["count"]
    stock.warm = [*stock.warm[1 - REMEMBERED :], Forced(entry.id, entry.on, f["count"])]
    stock.handle(entry.on)
    if not stock.cut_beyond:
        farm.settle(CUT_BEYOND, stock.crop, stock.variety or "")
    _went(farm, stock, entry)


def check_cut(farm: Farm, draft: Draft) -> Problem | None:
    """Why so many cannot be cut of forced bulbs: no more than came out of the cold."""
    f = draft.fields
    stock, called = farm.part(Tubers).stock(f["crop"], f.get("variety")), named(f["crop"], f.get("variety"))
    left = stock.to_cut if stock is not None else 0
    if left < 1:
        return Problem(
            f"No forced {called} is left to cut: write what came out of the cold first, "
            f"'force {called} {roots_of(farm, f['crop'])} out'.",
            "unknown",
        )
    if (cut := f["stems"] + f.get("culls", 0)) > left:
        word = roots_of(farm, f["crop"])
        says = f"{left} forced {word} of {called} are left to cut, and {cut} stems are more than they give"
        return Problem(f"{says}: a {word[:-1]} gives one.", "impossible", (str(left),))
    return None


def _cut(farm: Farm, entry: Entry) -> None:
    """What is cut of forced bulbs."""
    f = entry.fields
    if f["bed"] == FORCED and FORCED not in farm.beds:
        stock = farm.part(Tubers).kept(f["crop"], f.get("variety"))
        stock.forced_cut += f["stems"] + f.get("culls", 0)
        note_cut_beyond(farm, stock, entry.id)


HEARS = {"set out": _set_out, "cut": _cut}

_OF = needs(crop="text", count="count") | may(variety="text")

KINDS = (
    Kind(
        "lifted",
        "lifted {count} of {crop}[ {variety}] from bed {bed}",
        needs(planting="code", count="count", crop="text", bed="code") | may(variety="text") | REF,
        _lifted,
        check=_check_lifted,
    ),
    Kind(
        "divided",
        "divided {count} of {crop}[ {variety}] into {pieces}",
        _OF | needs(pieces="count"),
        _divided,
        check=_check_divided,
        slip=_too_many_pieces,
    ),
    Kind(
        "tubers bought",
        "{count} {crop}[ {variety}] bought into store[ for {cents}]",
        _OF | may(cents="count"),
        _bought,
        check=_check_bought,
    ),
    Kind(
        "tubers lost",
        "{count} {crop}[ {variety}] lost in store: {cause}",
        _OF | needs(cause="text"),
        _lost,
        check=_check_lost,
    ),
    Kind(
        "tubers sold",
        "sold {count} {crop}[ {variety}] out of store[ to {who}][ for {cents}]",
        _OF | may(who="text", cents="count"),
        _sold,
        check=_check_sold,
    ),
    Kind(
        "tubers checked",
        "looked over {crop}[ {variety}] in store",
        needs(crop="text") | may(variety="text"),
        _checked,
        check=check_in_store,
    ),
    Kind("tubers counted", "{count} {crop}[ {variety}] counted in store", _OF, _counted),
    Kind(
        "bulbs chilled",
        "{count} {crop}[ {variety}] into the cold[ for {weeks} weeks][ at {cold_f}]",
        _OF | may(weeks=Field("number", span=WEEKS_OF_COLD), cold_f=DEGREES_F),
        _chilled,
        check=_check_chilled,
    ),
    Kind(
        "bulbs forced",
        "{count} {crop}[ {variety}] out of the cold to flower",
        _OF,
        _forced,
        check=_check_forced,
        slip=_too_early_out,
    ),
    Kind("forced cleared", "{count} forced {crop}[ {variety}] cleared", _OF, _over, check=_check_over),
    *STORING,
)
