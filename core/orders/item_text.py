"""What the items of an order are called: "20 bu lavender dry", "12 corsage"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from core.order_rows import Item
from core.units import money


def item_text(item: Item, number: int | None = None) -> str:
    """ "20 bu lavender dry", "12 corsage", "40 zinnia coral or peach fresh or cosmos"."""
    number = item.number if number is None else number
    form = "" if item.form == "piece" else f" {item.form}"
    return f"{amount_text(item, number)} {item.name}{form}{or_else(item.instead)}"


def or_else(instead: Sequence[str]) -> str:
    """ " or cosmos": what will do where there is too little of the first."""
    return "".join(f" or {crop}" for crop in instead)


def amount_text(item: Item, number: int) -> str:
    """ "20 bu" where it is ordered in bunches, "3 bu and 4", else "40"."""
    bunches, loose = divmod(number, item.per) if item.per > 1 else (0, number)
    return " and ".join(
        ([f"{bunches} bu"] if bunches else []) + ([f"{loose}"] if loose or not bunches else [])
    )


def texts(items: list[Item]) -> Iterator[str]:
    """Each item with its price; where some have one, that the others have none."""
    none = ", no price" if any(item.cents is not None for item in items) else ""
    for item in items:
        yield item_text(item) + (none if item.cents is None else f" at {money(item.cents)}")
