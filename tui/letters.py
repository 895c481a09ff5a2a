"""The letters of the keys: a deed has the same one in every view. Rows name the deed; the letter stands here alone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from core.language.words import ALL, READY
from tui.row_keys import Ask, RowKey, Typed


class Letter(NamedTuple):
    """A letter, the deeds it does wherever they can be done, and how that is told in the help."""

    letter: str
    deeds: tuple[str, ...]
    says: str


LETTERS = (
    Letter(
        "a",
        ("plant", "again", "part", "plan"),
        "add: what stands in a bed, a part, a plan for an order, the same again",
    ),
    Letter("b", ("bought", "back", "bend"), "it was bought, or came back; on a line: it bends"),
    Letter("c", ("cut", "count", "correct"), "cut; count what is there; correct what is written"),
    Letter("d", ("drop", "decline", "divide"), "drop a plan, leave a line out, do without; divide clumps"),
    Letter("f", ("freeze", "force", "used", "find"), "into the freezer or the cold; used for; find"),
    Letter("g", ("weigh",), "grams: weigh"),
    Letter("h", ("hang", "hand", "hold"), "hang; hand over; hold back"),
    Letter("i", ("wire", "prick"), "wire heads; prick out"),
    Letter("j", ("meet",), "join this book and the other machine's"),
    Letter("k", ("look", "make", "packed"), "looked over; make pieces; packed"),
    Letter("l", ("lost",), "lost, with the cause"),
    Letter("m", ("move",), "move to another place, or say where it stands"),
    Letter(
        "n", ("next", "net", "note", "short"), "the next is done; the net; a note; so many will not be there"
    ),
    Letter("o", ("set_out",), "out into a bed"),
    Letter("p", ("pick", "pot", "pinch"), "pick an order; pot on; pinch"),
    Letter("r", ("step all", "reorder", "room"), "a step for all that are ready; a number anew"),
    Letter("s", ("sold", "step", "sow"), "sold; a step; sow"),
    Letter("t", ("snap", "test"), "tested: it snaps; a germination test"),
    Letter("v", ("cover",), "the cover over a bed"),
    Letter("x", ("box", "clear", "take_back"), "put away: boxed, cleared, taken back"),
    Letter("y", ("paid",), "money came"),
)
OF_DEED = {deed: letter.letter for letter in LETTERS for deed in letter.deeds}


def deed(id: str, short: str, words: str, line: Callable[[Any], Typed | Ask]) -> RowKey:
    """A row's key for a deed, with the letter that it has everywhere."""
    key = OF_DEED[id]
    return RowKey(id, (key,), key, short, words, line)


STEP_ALL = deed(
    "step all",
    "step all",
    "today's step for every tray that nothing keeps in; Enter writes it",
    lambda _: Typed(f"step {ALL} {READY}"),
)
"""What Today and Trays do of no row: it stands here, so that the one needs not load the other."""
