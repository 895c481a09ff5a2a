"""What buyers were promised: the typed rows of orders, their items, and what was done of each.

Days are "YYYY-MM-DD", money is whole cents, numbers are stems (heads where wired) or pieces. A delivery is called by
its number, from 1: an order for one day has one, a standing order one for each of its days.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Literal, NamedTuple, TypeAlias

from core.places import Place, set_aside_for

ItemForm: TypeAlias = Literal["fresh", "dry", "wired", "piece"]
"""What is asked for: stems fresh or dry, wired heads, or pieces of a recipe."""
USUAL_PRIORITY, LAST_PRIORITY = 5, 9
"""The priority of an order of which none was said, and the last there is; 1 comes first (ours)."""
MOST_DELIVERIES = 160
"""Of one standing order: three years of weeks."""


class Item(NamedTuple):
    """One thing an order asks for, at each of its deliveries."""

    id: str
    """The id of the entry that wrote it."""
    place: int
    """What it is called by in its order, from 1."""
    number: int
    """Stems, or pieces."""
    form: ItemForm
    crop: str = ""
    """"" for pieces."""
    recipe: str = ""
    """"" for stems."""
    colors: tuple[str, ...] = ()
    """Those that will do, in order of liking; empty: any."""
    instead: tuple[str, ...] = ()
    """Other crops that will do where there is too little of the first."""
    per: int = 0
    """Stems to a bunch where it was ordered in bunches, else 0."""
    cents: int | None = None
    """The price of a bunch, of a stem where it was not ordered in bunches, or of a piece; None where none was said."""
    dropped_on: str = ""

    @property
    def name(self) -> str:
        """ "lavender", "zinnia coral or peach", "corsage"."""
        return " ".join((self.recipe or self.crop, " or ".join(self.colors))).strip()

    def value(self, number: int) -> int:
        """What so many stems or pieces of it come to, in cents; half a cent up. 0 where it has no price."""
        return (2 * number * (self.cents or 0) + max(self.per, 1)) // (2 * max(self.per, 1))


class Picked(NamedTuple):
    """Stems of a lot from a place, or pieces ("" is their place), set aside for an item of a delivery."""

    item: str
    delivery: int
    code: str
    source: Place
    number: int
    on: str = ""
    """The day on which the last of them were picked."""


class ToldShort(NamedTuple):
    """So many of an item will not be delivered."""

    on: str
    item: str
    delivery: int
    number: int


class HandedOver(NamedTuple):
    """So many of a lot, or of pieces, that the buyer has, and what they come to."""

    on: str
    item: str
    delivery: int
    code: str
    number: int
    cents: int


class CameBack(NamedTuple):
    """So many of an item that were loaded or handed over came home again, and are wanted no more."""

    on: str
    item: str
    delivery: int
    number: int


class Packed(NamedTuple):
    """A delivery was packed."""

    on: str
    delivery: int


class Skipped(NamedTuple):
    """A delivery that the buyer does not want: nothing is asked for it."""

    on: str
    delivery: int


class Payment(NamedTuple):
    """Money that came in for an order; below 0 where it was given back."""

    on: str
    cents: int


class Tally(NamedTuple):
    """How an item of a delivery stands. What is handed over was picked; what came back is neither any more."""

    asked: int
    picked: int
    short: int
    handed: int
    back: int = 0

    @property
    def open(self) -> int:
        """Still wanted: neither picked nor told short, and not come back."""
        return max(self.asked - self.picked - self.short - self.back, 0)

    @property
    def charged(self) -> int:
        """For how many the buyer pays in the end: what was told short or came back is not paid for."""
        return max(self.asked - self.short - self.back, self.handed)

    @property
    def set_aside(self) -> int:
        """Picked and not handed over yet."""
        return self.picked - self.handed


def deliveries_of(due_on: str, every_days: int, until_on: str) -> Iterator[tuple[int, date]]:
    """(number, day) of every delivery of an order with these days, as `Order` has them."""
    day, number = date.fromisoformat(due_on), 1
    yield number, day
    until = date.fromisoformat(until_on) if until_on and every_days > 0 else day
    while (until - day).days >= every_days > 0 and number < MOST_DELIVERIES:
        day, number = day + timedelta(days=every_days), number + 1
        yield number, day


@dataclass(slots=True, eq=False)
class Order:
    """What a buyer was promised for a day, or for every so many days from one to another."""

    code: str
    made_by: str
    """The id of the entry that made it."""
    by: str
    """Who wrote it."""
    buyer: str
    taken_on: str
    due_on: str
    """The first or only day."""
    every_days: int = 0
    """Days from one delivery to the next; 0 where there is one only."""
    until_on: str = ""
    """No delivery comes after it; "" where there is one only."""
    priority: int = USUAL_PRIORITY
    spare_pct: float = 0
    """So many stems more in a hundred are wanted beside what was promised."""
    deposit_cents: int = 0
    """What was agreed to be paid ahead."""
    note: str = ""
    cancelled_on: str = ""
    cancelled_by: str = ""
    """The id of the entry that cancelled it, which is struck where the order is brought back."""
    items: list[Item] = field(default_factory=list)
    """In the order they were written; those dropped too."""
    picks: list[Picked] = field(default_factory=list)
    shorts: list[ToldShort] = field(default_factory=list)
    packed: list[Packed] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    handed: list[HandedOver] = field(default_factory=list)
    payments: list[Payment] = field(default_factory=list)
    let_off: int = 0
    """By so many cents it comes to less than its goods: money was given back for what the buyer had and keeps."""
    kept: int = 0
    """Cents that were paid for what the buyer did not have, and are hers to keep: a deposit of an order cancelled."""
    returns: list[CameBack] = field(default_factory=list)
    unloaded: list[CameBack] = field(default_factory=list)
    """Of a market what was loaded and put back before its day, below 0 where it was loaded again: once it is over, this
    came home."""

    @property
    def is_live(self) -> bool:
        """Whether anything is still to be picked, handed over, paid or given back."""
        return self.owed > 0 or self.credit > 0 or not self.is_delivered

    @property
    def is_delivered(self) -> bool:
        """Whether nothing is still to be picked or handed over."""
        return not any(tally.open or tally.set_aside for tally in self.tallies().values())

    @property
    def is_market(self) -> bool:
        """Whether it is a market: what is loaded for it and not sold comes home, and it makes what it makes."""
        return is_market(self.buyer)

    @property
    def place(self) -> Place:
        """Where lies what is picked for it."""
        return set_aside_for(self.code)

    @property
    def wanted_items(self) -> list[Item]:
        """Those that were not dropped."""
        return [item for item in self.items if not item.dropped_on]

    def item(self, item_id: str) -> Item | None:
        """The item that the entry of that id wrote."""
        return next((item for item in self.items if item.id == item_id), None)

    def item_at(self, place: int) -> Item | None:
        """The item that is called by that number."""
        return next((item for item in self.items if item.place == place), None)

    @property
    def next_place(self) -> int:
        """What the next item is called by."""
        return max((item.place for item in self.items), default=0) + 1

    def deliveries(self) -> Iterator[tuple[int, date]]:
        """(number, day) of every delivery, in order."""
        return deliveries_of(self.due_on, self.every_days, self.until_on)

    @property
    def deposit_due(self) -> int:
        """What of the deposit that was agreed is not paid yet, in cents; 0 once all is handed over or cancelled."""
        if self.cancelled_on or self.is_delivered:
            return 0
        return max(self.deposit_cents - self.paid, 0)

    @property
    def next_delivery(self) -> int:
        """The first delivery of which something is still to be picked or handed over; the last where there is none."""
        unfinished = {
            number for (_, number), tally in self.tallies().items() if tally.open or tally.set_aside
        }
        numbers = [number for number, _ in self.deliveries()]
        return next((number for number in numbers if number in unfinished), numbers[-1])

    def tallies(self) -> dict[tuple[str, int], Tally]:
        """(item id, delivery) -> how it stands; of what was dropped, skipped or cancelled nothing more is asked."""
        picked, short, handed, back = (Counter[tuple[str, int]]() for _ in range(4))
        for pick in self.picks:
            picked[pick.item, pick.delivery] += pick.number
        for told in self.shorts:
            short[told.item, told.delivery] += told.number
        for given in self.handed:
            handed[given.item, given.delivery] += given.number
        for home in self.returns:
            back[home.item, home.delivery] += home.number
        skipped = {one.delivery for one in self.skipped}
        asked = {
            (item.id, number): 0 if item.dropped_on or self.cancelled_on or number in skipped else item.number
            for item in self.items
            for number, _ in self.deliveries()
        }
        return {
            key: Tally(asked.get(key, 0), picked[key], short[key], handed[key], back[key])
            for key in dict.fromkeys((*asked, *picked, *short, *handed, *back))
        }

    @property
    def price(self) -> int:
        """What all of it comes to, in cents, over all deliveries; what was told short or came back is not paid for, nor
        what was let off."""
        found = 0
        for (item_id, _), tally in self.tallies().items():
            if (item := self.item(item_id)) is not None:
                found += item.value(tally.charged)
        return max(found - self.let_off, 0)

    @property
    def most_due(self) -> int | None:
        """What may be paid for it, in cents: its price, or the deposit that was agreed where that is more; None where
        nobody knows, since some of it has no price."""
        if not self.price or any(item.cents is None for item in self.wanted_items):
            return None
        return max(self.price, self.deposit_cents)

    @property
    def taken(self) -> int:
        """What was handed over comes to, in cents."""
        return sum(given.cents for given in self.handed)

    @property
    def paid(self) -> int:
        """What came in for it, less what was given back, in cents."""
        return sum(payment.cents for payment in self.payments)

    @property
    def owed(self) -> int:
        """What the buyer has and has not paid, in cents; below 0 where more was paid, as by a deposit. A market owes
        nothing once it is told what it made."""
        return 0 if self.is_market and self.payments else self.taken - self.let_off + self.kept - self.paid

    @property
    def credit(self) -> int:
        """What was paid for more than the buyer had, once nothing more is to come, in cents: it is to be given back, or
        counts for another order, or is told to be kept, as may be agreed of one that was cancelled."""
        return max(-self.owed, 0) if self.is_delivered else 0


MARKET = "market"
AFTER_MARKET = ("in", "at", "on", "of", "by")
"""Where a market is, or when, begins with one of these."""


def is_market(buyer: str) -> bool:
    """Whether a buyer is a market: "market", "Saturday market", "market in Ely", "market 2"; "Market Street Flowers" is
    a shop."""
    words = buyer.lower().split()
    return any(
        word == MARKET and (i + 1 == len(words) or words[i + 1] in AFTER_MARKET or words[i + 1].isdigit())
        for i, word in enumerate(words)
    )
