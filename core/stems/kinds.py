"""The double-sided ledger of stems: every move has a place it leaves and a place it comes to.

Stems cut = on hand + sold + used + lost, for every lot, always. Nothing here can make or lose a stem.
"""

from __future__ import annotations

from datetime import date
from typing import Final

from core.book.entry import Draft, Entry
from core.called import Called
from core.farm import Farm, Lot
from core.happened import Loss, Sale
from core.kinds import REF, Kind, may, needs
from core.places import BUCKET, Form, Holding, Place, holding_text, in_place, place_name
from core.problems import Problem
from core.refusals import check_some, too_early
from core.spelling import spelled
from core.stems.buyers import note_buyer
from core.stems.whereabouts import follow, forget, path_of
from core.usual import most_so_far, note_most, too_many

DRY: Final = "dry"
"""The form of what is boxed."""
OVERDRAWN = "stems overdrawn"
"""The sort of matter that a count settles: more left than there was."""
MISCOUNTED = "miscounted"
"""The cause under which a physical count's difference stands among the losses (negative: more was found)."""


LOT: Called[Lot] = Called("lot", lambda farm: farm.lots)
find_lot, lot_or_matter = LOT.find, LOT.find_or_matter


def need_lot(farm: Farm, draft: Draft) -> Lot | Problem:
    """The draft's lot, where it was cut by the draft's day."""
    lot = LOT.need(farm, draft)
    return lot if isinstance(lot, Problem) else too_early("Lot", lot.code, lot.cut_on, draft) or lot


def check_source(farm: Farm, draft: Draft, stems: int) -> Problem | None:
    """Whether `stems` of the draft's lot lie in its source place."""
    lot = need_lot(farm, draft)
    if isinstance(lot, Problem):
        return lot
    source = draft.fields["source"]
    held = lot.holdings.get(source)
    if held is None or held.stems <= 0:
        where = lot.whereabouts
        return Problem(
            f"{lot.code} has nothing {in_place(source)}; it has {where or 'nothing left'}.",
            "impossible",
            tuple(lot.holdings),
        )
    if stems < 1:
        return Problem("Less than one stem cannot be moved.", "impossible")
    if stems > held.stems:
        return Problem(
            f"{lot.code} has {holding_text(held)} {in_place(source)}: {stems} stems is more than there is.",
            "impossible",
            (str(held.on_hand),),
        )
    return None


def take(farm: Farm, lot: Lot, source: str, stems: int, entry: Entry) -> Holding:
    """`stems` leave `source`; what was held there before. Taking more than there is, is a matter to settle."""
    source = Place(source)
    held = lot.holdings.get(source) or Holding(0, 0, lot.cut_on, source.form)
    left = Holding(held.stems - stems, held.per, held.since, held.form, held.grade)
    if left.stems == 0:
        lot.holdings.pop(source, None)
        forget(lot, source)
    else:
        lot.holdings[source] = left
    if left.stems < 0:
        farm.note_matter(
            f"{-left.stems} more stems of {lot.code} left {place_name(source)} than it held: count {lot.code}, "
            "or take back what did not happen.",
            entry.id,
            OVERDRAWN,
            lot.code,
            source,
            amount=-left.stems,
        )
    keep_days(lot, held.form, -stems, entry.on)
    return held


def put(
    lot: Lot, place: str, stems: int, on: str, *, per: int = 0, form: Form | None = None, grade: str = ""
) -> Holding:
    """`stems` come to `place`; what is there then. What lies there already keeps its day and its form."""
    place = Place(place)
    held = lot.holdings.get(place)
    if held is None or held.stems == 0:
        held = Holding(0, per, on, form or place.form, grade)
    new = Holding(held.stems + stems, per or held.per, held.since, held.form, held.grade)
    if new.stems == 0:
        lot.holdings.pop(place, None)
        forget(lot, place)
    else:
        lot.holdings[place] = new
    return new


def enter(lot: Lot, form: str, stems: int) -> None:
    """Add `stems` to all that ever came into that form ("fresh", "hung", ...): losses in it are told as a share of
    these."""
    lot.entered[form] = lot.entered.get(form, 0) + stems


def keep_days(lot: Lot, form: str, stems: int, on: str) -> None:
    """Note that `stems` came into store on day `on`, or left it where below 0. Kept as a sum of stems times the number
    of the day, from which the days in store follow; only what is boxed dry is in store."""
    if form == DRY:
        lot.stored += stems * date.fromisoformat(on).toordinal()


def check_alike(lot: Lot, place: Place, coming: Holding) -> Problem | None:
    """Whether what comes to a box is as what lies there of the lot: only then can both be counted as one."""
    there = lot.holdings.get(place)
    if not place.is_box or there is None:
        return None
    if (there.form, there.per, there.grade) == (coming.form, coming.per, coming.grade):
        return None
    grade = f"{there.grade} grade" if there.grade else "no grade"
    return Problem(
        f"{place} holds {lot.code} {there.form} in {there.per}s, {grade}: use another box for these.",
        "impossible",
    )


def _check_leaving(farm: Farm, draft: Draft) -> Problem | None:
    return check_free(draft) or check_source(farm, draft, draft.fields["stems"])


def check_free(draft: Draft) -> Problem | None:
    """A problem where what is picked for an order would go elsewhere."""
    source = Place(draft.fields["source"])
    if not source.is_set_aside:
        return None
    code = source.removeprefix("for ")
    return Problem(
        f"These are picked {source}: hand them over ('handed over {code}'), or put them back first ('back {code}').",
        "impossible",
        (f"handed over {code}", f"back {code}"),
    )


def _sold(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        take(farm, lot, entry.fields["source"], entry.fields["stems"], entry)
        note_most(farm, "sold or used", lot.crop, entry.fields["stems"])
        if entry.kind == "sold":
            lot.sold += entry.fields["stems"]
            f = entry.fields
            lot.sales.append(Sale(entry.on, f["stems"], f.get("cents"), f.get("who", "")))
            if who := entry.fields.get("who"):
                note_buyer(farm, who)
        else:
            lot.used += entry.fields["stems"]


def _check_lost(farm: Farm, draft: Draft) -> Problem | None:
    return check_some(draft) or check_source(farm, draft, draft.fields["count"])


def _lose(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        count, cause = entry.fields["count"], spelled(entry.fields["cause"])
        before = take(farm, lot, entry.fields.get("source", BUCKET), count, entry)
        lot.losses.append(Loss(entry.on, before.form, cause, count))
        farm.note_cause(cause, entry.on)
        note_most(farm, "lost of lots", lot.crop, count)


def _check_moved(farm: Farm, draft: Draft) -> Problem | None:
    if problem := _check_leaving(farm, draft):
        return problem
    source, place = Place(draft.fields["source"]), Place(draft.fields["place"])
    if source == place:
        return Problem(f"They are {in_place(place)} already.", "impossible")
    if source.form != place.form:
        how = {"hanging": "hang", "wired": "wire", "dry": "box"}.get(place.form, "cut")
        return Problem(
            f"Moving from {place_name(source)} to {place_name(place)} changes what they are: write it as "
            f"'{how}'.",
            "impossible",
            (how,),
        )
    lot = find_lot(farm, draft)
    assert lot is not None
    return check_alike(lot, place, lot.holdings[source])


def _moved(farm: Farm, entry: Entry) -> None:
    if lot := lot_or_matter(farm, entry):
        f = entry.fields
        path = path_of(lot, f["source"])
        before = take(farm, lot, f["source"], f["stems"], entry)
        is_joining = f["place"] in lot.holdings
        if not is_joining:
            # what was tried on its line has been tried, on whichever line it goes on
            tried = [t._replace(line=Place(f["place"])) for t in lot.tests if t.line == f["source"]]
            lot.tests += [test for test in tried if test not in lot.tests]  # it may have hung there before
        # a bunch that changes its line has hung since it was first hung
        there = put(
            lot, f["place"], f["stems"], before.since, per=before.per, form=before.form, grade=before.grade
        )
        keep_days(lot, there.form, f["stems"], entry.on)
        follow(lot, path, f["place"], entry.on, f.get("clock"), is_joining=is_joining)


def _check_counted(farm: Farm, draft: Draft) -> Problem | None:
    lot = need_lot(farm, draft)
    if isinstance(lot, Problem):
        return lot
    source = draft.fields["source"]
    if not Place(source).is_known:
        return Problem(f"{source} is no place of the shed: bucket, cooler, bench, line 2, box 7.", "unknown")
    return None


def _counted(farm: Farm, entry: Entry) -> None:
    """A count is what she saw: the book comes to it, and the difference stands among the losses."""
    if lot := lot_or_matter(farm, entry):
        source, seen = entry.fields["source"], entry.fields["stems"]
        farm.settle(OVERDRAWN, lot.code, source)
        held = lot.holdings.get(source)
        missing = (held.stems if held else 0) - seen
        if missing == 0:
            return
        form = held.form if held else Place(source).form
        lot.losses.append(Loss(entry.on, form, MISCOUNTED, missing))
        keep_days(lot, form, -missing, entry.on)
        put(lot, source, -missing, held.since if held else lot.cut_on)


def _left_too_many(farm: Farm, draft: Draft) -> str | None:
    return _too_many(farm, draft, "sold or used", draft.fields["stems"], draft.kind)


def _lost_too_many(farm: Farm, draft: Draft) -> str | None:
    return _too_many(farm, draft, "lost of lots", draft.fields["count"], "lost")


def _too_many(farm: Farm, draft: Draft, sort: str, stems: int, done: str) -> str | None:
    lot = find_lot(farm, draft)
    held = lot.holdings.get(Place(draft.fields.get("source", BUCKET))) if lot is not None else None
    if lot is None or held is None or stems == held.stems:  # all that there is may go at once
        return None
    return too_many(stems, most_so_far(farm, sort, lot.crop), f"stems of {lot.crop} {done}")


KINDS = (
    Kind(
        "moved",
        "moved {stems} of {lot} from {source} to {place}[, at {clock}]",
        needs(lot="code", stems="count", source="code", place="code") | may(clock="clock") | REF,
        _moved,
        check=_check_moved,
    ),
    Kind(
        "sold",
        "sold {stems} stems of {lot}[ for {cents}] from {source}[ to {who}]",
        needs(lot="code", stems="count", source="code") | may(who="text", cents="count") | REF,
        _sold,
        check=_check_leaving,
        slip=_left_too_many,
    ),
    Kind(
        "used",
        "used {stems} stems of {lot} from {source}[ for {purpose}][ in {piece}]",
        needs(lot="code", stems="count", source="code") | may(purpose="text", piece="code") | REF,
        _sold,
        check=_check_leaving,
        slip=_left_too_many,
    ),
    Kind(
        "lost",
        "lost {count} of lot {lot}[ from {source}], {cause}",
        needs(count="count", cause="text", lot="code") | may(source="code") | REF,
        _lose,
        check=_check_lost,
        slip=_lost_too_many,
        when="lot",
    ),
    Kind(
        "counted",
        "counted {stems} stems of {lot} at {source}; the book had {expected}",
        needs(lot="code", source="code", stems="count", expected="count") | REF,
        _counted,
        check=_check_counted,
    ),
)
