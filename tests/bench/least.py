"""The least bytes that turn one picture of a terminal into another: the floor under what a key costs.

For each line the cheapest way is found among all there are to move (to a place, some columns on, over what stands
there), to change the look, to write, and to clear what is left of the line; lines are drawn from the top. Nothing of
the program is used here: cells are those of a terminal emulator.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

Look = tuple[bool, bool, bool, bool, str]
"""Bold, dim, underlined, reversed, and the color of the letter."""
Cell = tuple[str, Look]
Picture = list[list[Cell]]

PLAIN: Look = (False, False, False, False, "default")
BLANK: Cell = (" ", PLAIN)
CODES = (1, 2, 4, 7)
RESET = len("\x1b[m")
CLEAR = len("\x1b[K")
NEVER = 1 << 30


def picture(screen: Any) -> Picture:
    """What a terminal emulator shows; one that knows no dim shows it as italics (tests/tui/terminal.py)."""
    return [
        [
            (c.data, (c.bold, c.italics, c.underscore, c.reverse, c.fg))
            for c in (screen.buffer[y][x] for x in range(screen.columns))
        ]
        for y in range(screen.lines)
    ]


def least_bytes(before: Picture, after: Picture) -> int:
    """The least that shows `after` where `before` stands, beginning and ending in the plain look."""
    cost, follows = 0, False
    for y, (old, new) in enumerate(zip(before, after, strict=True)):
        cost += _line(tuple(old), tuple(new), y, follows)
        follows = old != new
    return cost


@lru_cache(maxsize=4096)
def _line(old: tuple[Cell, ...], new: tuple[Cell, ...], y: int, follows: bool) -> int:
    width = len(new)
    changed = [x for x in range(width) if old[x] != new[x]]
    if not changed:
        return 0
    full = max((x for x in range(width) if new[x] != BLANK), default=-1)
    best: list[dict[Look, int]] = [{} for _ in range(width + 1)]
    done = NEVER

    def reach(x: int, look: Look, cost: int) -> None:
        best[x][look] = min(cost, best[x].get(look, NEVER))

    for x in range(changed[0] + 1):
        reach(x, PLAIN, len(f"\x1b[{y + 1};{x + 1}H") if x else len("\r\n" if follows else f"\x1b[{y + 1}H"))
    for x in range(width + 1):
        to_come = next((c for c in changed if c >= x), None)
        for look, cost in best[x].items():
            ending = cost + _change(look, PLAIN)
            if to_come is None:
                done = min(done, ending)
                continue
            if x > full:
                done = min(done, ending + CLEAR)
            character, wanted = new[x]
            reach(x + 1, wanted, cost + _change(look, wanted) + len(character.encode()))
            for target in range(x + 1, to_come + 1):
                reach(target, look, cost + len(f"\x1b[{target - x if target - x > 1 else ''}C"))
    return done


def _change(look: Look, wanted: Look) -> int:
    """Bytes that turn one look into another."""
    if look == wanted:
        return 0
    had, wants = _codes(look), _codes(wanted)
    anew = len(f"\x1b[0;{';'.join(wants)}m") if wants else RESET
    if set(had) - set(wants):
        return anew
    return min(anew, len(f"\x1b[{';'.join(c for c in wants if c not in had)}m"))


def _codes(look: Look) -> list[str]:
    on = [str(code) for code, is_on in zip(CODES, look[:4], strict=True) if is_on]
    return on + ["31"] * (look[4] != "default")
