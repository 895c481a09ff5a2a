"""The letters of the keys: a deed has the same one in every view. Rows name the deed; the letter stands here alone.

There are more deeds than letters. So a letter stands for one sort of deed, and where it writes at once no other deed
has it in that view: what is pressed on the wrong row begins a line or asks, and writes nothing.
"""

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
    Letter("d", ("drop", "decline", "divide"), "do without: a plan, a line, a job; divide clumps"),
    Letter("f", ("freeze", "force", "used", "find"), "into the freezer or the cold; used for; find"),
    Letter("g", ("weigh",), "grams: weigh"),
    Letter("h", ("hang", "hand", "hold"), "hang; hand over; hold back"),
    Letter("i", ("wire", "prick"), "wire heads; prick out"),
    Letter("j", ("meet",), "join this book and the other machine's"),
    Letter("k", ("look", "make", "packed"), "looked over; make pieces; packed"),
    Letter("l", ("lost",), "lost, with the cause"),
    Letter("m", ("move",), "move to another place, or say where it stands"),
    Letter(
        "n",
        ("next", "note", "short"),
        "what is asked next is done: a step, a net, a pinch, a plan's part; a note; so many will not be there",
    ),
    Letter("o", ("set_out",), "out into a bed"),
    Letter("p", ("pick", "pot"), "pick an order; pot on"),
    Letter("r", ("step all", "reorder", "room"), "a step for all that are ready; a number anew"),
    Letter("s", ("sold", "sow"), "sold; sow"),
    Letter("t", ("snap", "test"), "tested: it snaps; a germination test"),
    Letter("v", ("cover",), "the cover over a bed"),
    Letter("x", ("box", "clear", "take_back"), "put away: boxed, cleared, taken back"),
    Letter("y", ("paid",), "money came"),
)
OF_DEED = {deed: letter.letter for letter in LETTERS for deed in letter.deeds}


def says_of(letter: str) -> str:
    """For what a letter is, where it is for anything; "" else."""
    return next((each.says for each in LETTERS if each.letter == letter), "")


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
