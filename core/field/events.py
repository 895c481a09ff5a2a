"""Until when beds are closed, for the calendar: for any work by a label's re-entry time, for a cut by its time to
harvest. The time of day stands in words; the label and the rules decide."""

from __future__ import annotations

from collections.abc import Iterator

from core.asks import Sight
from core.dated import Dated
from core.field.closed import Applied, because, local_text, span_of, told
from core.settings.local_time import zone


def _closed(sight: Sight) -> Iterator[Dated]:
    name = zone(sight.farm)
    for of in sight.farm.part(Applied).recent:
        span = span_of(of, name)
        beds = ", ".join(of.beds)
        work, harvest = local_text(span.work, name), local_text(span.harvest, name)
        if of.reentry_hours and beds:
            says = f"nobody into {beds} before {told(work)}"
            yield Dated((of.entry, "entry"), of.on, work[:10], says, because(of))
        if of.harvest_hours > of.reentry_hours and beds:
            says = f"no cutting in {beds} before {told(harvest)}"
            yield Dated((of.entry, "harvest"), of.on, harvest[:10], says, because(of))


EVENTS = {"closed": _closed}
