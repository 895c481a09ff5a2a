"""What a sale comes to: as the line says, or by the list of prices."""

from __future__ import annotations

from dataclasses import replace

from core.farm import Lot
from core.language.line import Line, Reading, Refused
from core.language.paid import Paid
from core.orders.prices import price_of, price_text, share
from core.places import Holding
from core.settings.sheets import sheet_bunch
from core.units import plural


def with_price(
    line: Line, reading: Reading, paid: Paid | None, who: str | None, *, in_bunches: bool
) -> Reading:
    """A sale of one crop with what it comes to in cents; of several lots each has its share by its stems.

    `in_bunches`: the number of the line counts bunches. Refused where a price of a bunch meets no whole bunches.
    """
    drafts = [draft for draft in reading.drafts if draft.kind == "sold"]
    total = sum(draft.fields["stems"] for draft in drafts)
    lot = line.farm.lots.get(drafts[0].fields["lot"])
    assert lot is not None  # it was named, or found
    held = lot.holdings.get(drafts[0].fields["source"])
    per = _bunch(line, lot, held)
    if paid is None:
        form = "fresh" if held is None else "dry" if held.form == "hanging" else held.form
        listed = price_of(line.farm, form, lot.crop, who)
        if listed is None or (listed.unit == "bunch" and (not per or total % per)):
            return reading
        paid = Paid(listed.cents, "bunches" if listed.unit == "bunch" else "stems")
        reading = replace(reading, remarks=(*reading.remarks, price_text(listed)))
    cents = paid.cents
    if paid.of == "stems" or (paid.of == "one" and not in_bunches):
        cents *= total
    elif paid.of != "all":
        if not per or total % per:
            raise Refused(
                f"{plural(total, 'stem')} are no whole bunches: write the price of a stem, or 'for' and that of all.",
                "impossible",
            )
        cents *= total // per
    priced, done = [], 0
    for draft in drafts:
        before = share(cents, done, total)
        done += draft.fields["stems"]
        priced.append(replace(draft, fields={**draft.fields, "cents": share(cents, done, total) - before}))
    return replace(reading, drafts=tuple(priced))


def _bunch(line: Line, lot: Lot, held: Holding | None) -> int | None:
    """Stems to a bunch: as it lies, else as the crop's sheet has it; None where neither is known."""
    if held is not None and held.per > 1:
        return held.per
    return sheet_bunch(line.farm, lot.crop, "fresh" if held is None or held.form == "fresh" else "dried")
