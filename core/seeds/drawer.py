"""What other subjects do with the drawer: a sowing names the packet that its seed came from."""

from __future__ import annotations

from core.book.entry import Draft, Entry, Fields
from core.called import Called
from core.farm import Farm
from core.kinds import REF, may
from core.problems import Problem
from core.refusals import too_early
from core.seed_rows import Packet
from core.text import named

PACKET: Called[Packet] = Called("packet", lambda farm: farm.packets)

FROM_PACKET = may(packet="code", packet_seeds="count") | REF
"""Fields of a sowing: the packet, and how many of its seeds came out of that where it was not all of them."""

OVERDRAWN = "seeds overdrawn"
"""The sort of matter that a count settles: more went than the packet held."""


def called(packet: Packet) -> str:
    """ "K012 (zinnia lime)"."""
    return f"{packet.code} ({named(packet.crop, packet.variety)})"


def check_taken(farm: Farm, draft: Draft) -> Problem | None:
    """Why a sowing cannot have its seed from the packet that it names; None where it can, or names none."""
    f = draft.fields
    if "packet" not in f:
        return None
    packet = PACKET.need(farm, draft)
    if isinstance(packet, Problem):
        return packet
    if packet.crop != f["crop"]:
        return Problem(f"{packet.code} is {packet.crop}, not {f['crop']}.", "impossible", (packet.code,))
    taken = _taken(f)
    if taken > f.get("seeds", 0):
        return Problem(f"{taken} of {f.get('seeds', 0)} seeds cannot come from {packet.code}.", "impossible")
    return too_early("Packet", packet.code, packet.on, draft) or check_there(packet, taken)


def check_there(packet: Packet, seeds: int) -> Problem | None:
    """A problem where the packet holds fewer seeds."""
    if seeds <= packet.there:
        return None
    return Problem(
        f"{called(packet)} holds {max(packet.there, 0)} seeds: {seeds} is more than there is. Are there more? Count "
        f"them: count {seeds} seeds {packet.code}.",
        "impossible",
        (str(max(packet.there, 0)),),
    )


def take(farm: Farm, entry: Entry) -> None:
    """The seeds of a sowing leave the packet that it names."""
    if "packet" not in entry.fields or (packet := PACKET.find_or_matter(farm, entry)) is None:
        return
    packet.sown += _taken(entry.fields)
    packet.sowings += 1
    note_overdrawn(farm, packet, entry.id)


def note_overdrawn(farm: Farm, packet: Packet, entry: str) -> None:
    """More that went than there was is a matter to settle."""
    if packet.there < 0:
        farm.note_matter(
            f"{-packet.there} more seeds of {called(packet)} went than it held: count them ('count 0 seeds "
            f"{packet.code}'), or take back what did not happen.",
            entry,
            OVERDRAWN,
            packet.code,
            amount=-packet.there,
        )


def _taken(fields: Fields) -> int:
    found: int = fields.get("packet_seeds", fields.get("seeds", 0))
    return found
