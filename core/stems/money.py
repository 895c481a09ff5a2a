"""What a sale comes to: as the line says, or by the list of prices."""

from __future__ import annotations

from dataclasses import replace

from core.farm import Lot
from core.language.line import Line, Reading, Refused
from core.language.paid import Paid
from core.orders.prices import Price, price_of, price_text, share
from core.places import Holding
from core.settings.sheets import sheet_bunch
from core.units import money, plural


def with_price(line: Line, reading: Reading, paid: Paid | None, who: str | None, *, counted: str) -> Reading:
    """A sale of one crop with what it comes to in cents; of several lots each has its share by its stems.

    `counted`: "bunches" or "stems" where the line has a number of them, "" where it sells all. Refused where a price of
    a bunch meets no whole bunches.
    """
    drafts = [draft for draft in reading.drafts if draft.kind == "sold"]
    total = sum(draft.fields["stems"] for draft in drafts)
    lot = line.farm.lots.get(drafts[0].fields["lot"])
    assert lot is not None  # it was named, or found
    held = lot.holdings.get(drafts[0].fields["source"])
    per = _bunch(line, lot, held)
    form = "fresh" if held is None else "dry" if held.form == "hanging" else held.form
    listed = price_of(line.farm, form, lot.crop, who)
    if paid is None:
        if listed is None or (listed.unit == "bunch" and (not per or total % per)):
            return reading
        paid = Paid(listed.cents, "bunches" if listed.unit == "bunch" else "stems")
        reading = replace(reading, remarks=(*reading.remarks, price_text(listed)))
    elif paid.of == "one":
        paid = Paid(paid.cents, counted or _priced_by(held, listed))
        if not counted and paid.of == "bunches" and per:
            reading = _with_bunches_told(reading, total // per, paid.cents, who)
    cents = paid.cents
    if paid.of == "stems":
        cents *= total
    elif paid.of != "all":
        if not per or total % per:
            raise Refused(
                f"{plural(total, 'stem')} are no whole bunches: write the price of a stem, such as 'at 1 a stem', or "
                "'for' and that of all.",
                "impossible",
            )
        cents *= total // per
    priced, done = [], 0
    for draft in drafts:
        before = share(cents, done, total)
        done += draft.fields["stems"]
        priced.append(replace(draft, fields={**draft.fields, "cents": share(cents, done, total) - before}))
    return replace(reading, drafts=tuple(priced))


def _priced_by(held: Holding | None, listed: Price | None) -> str:
    """Of what a price is that is said with "all": as she prices it, else of a bunch where it lies in bunches."""
    if listed is not None:
        return "bunches" if listed.unit == "bunch" else "stems"
    return "bunches" if held is not None and held.unit == "bunches" else "stems"


def _with_bunches_told(reading: Reading, bunches: int, cents: int, who: str | None) -> Reading:
    """That it is the price of a bunch, said before it is written, and beside what is."""
    lots = ", ".join(dict.fromkeys(draft.fields["lot"] for draft in reading.drafts if "lot" in draft.fields))
    comes = f"{plural(bunches, 'bunch', 'bunches')} at {money(cents)} a bunch"
    says = f"sell all of {lots}{f' to {who}' if who else ''}: {comes}, {money(bunches * cents)}"
    return replace(reading, says=says, remarks=(*reading.remarks, comes))


def _bunch(line: Line, lot: Lot, held: Holding | None) -> int | None:
    """Stems to a bunch: as it lies, else as the crop's sheet has it; None where neither is known."""
    if held is not None and held.per > 1:
        return held.per
    return sheet_bunch(line.farm, lot.crop, "fresh" if held is None or held.form == "fresh" else "dried")
