"""`shedbook reckon promise` and `reckon spare`: what may be promised by when of what does not spoil, and how many to
have so that enough are left."""

from __future__ import annotations

import argparse
from argparse import Namespace

from core.problems import Problem
from core.reckon.promise.available import discrete, look_ahead, plain
from core.reckon.promise.spare import Heap, Setback, chance_with, joint_chance, spare_for
from tui.arguments import number, share_of
from tui.calculation import calculation, tell
from tui.out import good

MOST = 100_000
MOST_PERIODS = 200


def _amounts(text: str) -> list[int]:
    """Whole numbers written 0,0,70."""
    found = [number(part) for part in text.split(",")]
    if len(found) > MOST_PERIODS or any(value != int(value) or not 0 <= value <= MOST for value in found):
        raise argparse.ArgumentTypeError(f"write whole numbers from 0 to {MOST}, such as 0,0,70")
    return [int(value) for value in found]


def _heap(text: str) -> Heap:
    """A heap written 60@0.9: so many stems, of which that share is left."""
    stems, _, left = text.partition("@")
    return Heap(_amounts(stems)[0], share_of(left))


def _heaps(text: str) -> list[Heap]:
    return [_heap(part) for part in text.split(",")]


def _setback(text: str) -> Setback:
    chance, _, lost = text.partition("@")
    return Setback(share_of(chance), share_of(lost))


def _promise_options(promise: argparse.ArgumentParser) -> None:
    promise.add_argument("--have", metavar="N", type=_amounts, required=True, help="on hand now")
    promise.add_argument(
        "--supply", metavar="N,N", type=_amounts, required=True, help="what comes in each week"
    )
    promise.add_argument(
        "--orders", metavar="N,N", type=_amounts, required=True, help="what is promised for each week"
    )


def reckon_promise(args: Namespace) -> int:
    """What may be promised by the end of each week, of what does not spoil."""
    weeks = max(len(args.supply), len(args.orders))
    supply, orders = (row + [0] * (weeks - len(row)) for row in (args.supply, args.orders))
    have = args.have[0]
    rows = list(
        zip(
            range(1, weeks + 1),
            supply,
            orders,
            discrete(have, supply, orders),
            plain(have, supply, orders),
            look_ahead(have, supply, orders),
            strict=True,
        )
    )
    names = ("week", "supply", "orders", "of_each_supply", "running", "can_be_promised")
    lines = ["week  supply  orders  by then may be promised"]
    lines += [f"{week:4}  {come:6}  {gone:6}  {free:23}" for week, come, gone, _, _, free in rows]
    if rows[-1][-1] > max(rows[0][-1], 0) or rows[0][-1] < rows[0][-2]:
        lines.append("less is free early than lies there: later orders have the rest")
    because = (
        "Available to promise, cumulative with look-ahead: on hand and all supply so far, less all orders so far, "
        "lowered to the least from there on (the textbook rule).",
        "Of what spoils this is not right: 'shedbook promise' reckons with the life of each lot.",
    )
    return tell(args, {"weeks": [dict(zip(names, row, strict=True)) for row in rows]}, lines, because)


def _spare_options(spare: argparse.ArgumentParser) -> None:
    spare.add_argument("--good", metavar="N", type=_amounts, required=True, help="good ones wanted")
    spare.add_argument("--left", metavar="SHARE", type=share_of, help="share that is left, such as 0.9")
    spare.add_argument("--sure", metavar="SHARE", type=share_of, default=0.95, help="0.95 unless said")
    spare.add_argument("--have", metavar="N", type=_amounts, help="the chance of so many")
    spare.add_argument(
        "--heaps", metavar="N@SHARE,..", type=_heaps, help="the chance of these together: 60@0.9,40@0.8"
    )
    spare.add_argument(
        "--setback",
        metavar="CHANCE@SHARE",
        type=_setback,
        help="with that chance all lose so much more: 0.1@0.2",
    )


def reckon_spare(args: Namespace) -> int:
    """How many to have so that enough are left, or the chance that those there are enough."""
    wanted = args.good[0]
    if args.heaps is None and args.left is None:
        good(Problem("Say what share is left, such as --left 0.9, or of which heaps: --heaps 60@0.9,40@0.8."))
    if args.heaps is not None:
        chance = joint_chance(wanted, args.heaps, args.setback)
        there = sum(heap.stems for heap in args.heaps)
        value = {"good": wanted, "have": there, "chance": round(chance, 5)}
        lines = [f"of {there} at least {wanted} are left {100 * chance:.1f} times in 100"]
    else:
        found = good(spare_for(wanted, args.left, args.sure))
        value = {"good": wanted, "have": found.have, "chance": round(found.chance, 5)}
        lines = [f"have {found.have}: of them {wanted} are left {100 * found.chance:.1f} times in 100"]
        if args.have is not None:
            chance = chance_with(args.have[0], wanted, args.left)
            value |= {"asked_have": args.have[0], "asked_chance": round(chance, 5)}
            lines.append(f"with {args.have[0]} it is {100 * chance:.1f} times in 100")
    because = (
        "Binomial: each is lost or not on its own, which is why a common setback (weather, a bad week) must be said: "
        "it is nearly all of the doubt of a promise that rests on many heaps.",
    )
    return tell(args, value, lines, because)


COMMANDS = {
    "promise": calculation(reckon_promise, _promise_options, shared=False),
    "spare": calculation(reckon_spare, _spare_options, shared=False),
}
