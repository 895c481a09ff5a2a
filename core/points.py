"""Where points of the past are kept from which a farm is folded on: close together near the end, far apart long ago."""

from __future__ import annotations

from core.cache import Point
from core.past import joined


def cuts(count: int, *, step: int, most: int, left: int) -> list[int]:
    """After how many of `count` entries points are made: the nearer the end, the closer.

    `step` entries lie between two at most; none are made of `most` entries or fewer, and `left` stay after the last.
    """
    if count <= most:
        return []
    found = {count - left, *range(step, count - step, step)}
    back = most
    while back < min(count, step):
        found.add(count - back)
        back *= 2
    return sorted(found)


def thinned(points: list[Point], count: int, *, step: int) -> tuple[Point, ...]:
    """Without those whose neighbours lie no farther apart than what lies after them, or than `step`: their parts
    are joined. `count` are the entries of the whole book.
    """
    kept = points[:1]
    for point in points[1:]:
        if len(kept) > 1 and point.place - kept[-2].place <= min(step, count - point.place):
            between = kept.pop()
            point = point._replace(part=joined(between.part, point.part))
        kept.append(point)
    return tuple(kept)
