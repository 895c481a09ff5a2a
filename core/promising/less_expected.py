"""After a cut: whether less is expected of the rest of its bed than before, by more than was cut, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from core.book.entry import Draft
from core.farm import Farm
from core.happened import CutOf
from core.promising.field import in_field
from core.promising.growth import Growth, Wanted
from core.promising.open_claims import open_claims

LEAST = 0.1
"""What is expected less is told from such a share of the rest on, and from as many stems as `FEWEST`."""
FEWEST = 10


def less_expected(farm: Farm, today: date, drafts: Sequence[Draft]) -> Iterator[str]:
    """A sentence for each cut that is being written of a planting whose crop is promised, after which less is expected
    of the rest than before."""
    cuts = [draft for draft in drafts if draft.kind == "cut" and "planting" in draft.fields]
    claims = open_claims(farm, today) if cuts else ()
    for draft in cuts:
        planting = farm.plantings.get(draft.fields["planting"])
        if planting is None or not any(one.crops is None or planting.crop in one.crops for one in claims):
            continue
        wanted = Wanted((today.toordinal(),), ())
        before = next(
            (one for one in in_field(farm, today, wanted, [planting.crop]) if one.code == planting.code), None
        )
        # the first cut begins the season, and tells nothing of how much is to come
        if before is not None and not before.awaited:
            yield from _told(before, draft)


def _told(before: Growth, draft: Draft) -> Iterator[str]:
    good = draft.fields["stems"]
    cut = CutOf(draft.on, good, draft.fields.get("asked", 0))
    after = replace(
        before, cut=before.cut + good + draft.fields.get("culls", 0), lately=(*before.lately, cut)
    )
    had, has = before.rest(float(before.from_day)) - good, after.rest(after.day.toordinal() + 1.0)
    if had - has >= max(LEAST * had, FEWEST):
        yield (
            f"less is expected of the rest of {after.code} in {after.place}: about {round(has)} good stems, not "
            f"{round(had)}, for it gives {round(100 * after.measure)} in 100 of what its sheet has"
        )
