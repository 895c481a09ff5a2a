"""Every key of the screen, once: the bindings, the key line and the help are all made from this table."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

VIEWS: dict[str, str] = {
    "today": "Today",
    "trays": "Trays",
    "beds": "Beds",
    "cut": "Cut",
    "buckets": "Buckets",
    "shelf": "Shelf",
    "bench": "Bench",
    "stock": "Stock",
    "plan": "Plan",
    "weather": "Weather",
}
"""The views in the order of their number keys (the tenth has 0), and how they are called on the screen."""


def number_key(n: int) -> str:
    """The key of the `n`th view, counted from 1."""
    return str(n % 10)


KINDS: dict[str, tuple[str, ...]] = {
    "today": ("tray", "planting", "hanging", "fresh", "to cut", "to write", "planned", "group", "box"),
    "trays": ("tray",),
    "beds": ("planting", "bed"),
    "cut": ("cut",),
    "buckets": ("fresh",),
    "shelf": ("hanging",),
    "bench": ("piece", "heads", "recipe", "making"),
    "stock": ("stock", "box"),
    "lot": ("hanging", "fresh", "stock"),
    "plan": ("plan", "room", "ground"),
    "weather": (),
}
"""Which kinds of rows a view may show; the keys of a row are those of its kind."""


@dataclass(frozen=True, slots=True)
class Key:
    """One thing a key does.

    `keys` are the toolkit's names, `shown` how the key is written for people. `short` stands in the key line
    ("" for keys that only the help tells), `words` in the help.
    """

    id: str
    keys: tuple[str, ...]
    shown: str
    short: str
    words: str


EVERYWHERE: tuple[Key, ...] = (
    *(
        Key(f"show.{view}", (number_key(n),), number_key(n), "", f"go to {name}")
        for n, (view, name) in enumerate(VIEWS.items(), start=1)
    ),
    Key("write", ("w", "slash"), "w", "write", "go to the entry line and write (/ and Tab too)"),
    Key(
        "undo",
        ("u", "ctrl+z"),
        "u",
        "undo",
        "take back the line just written; asks before an older one (ctrl+z too)",
    ),
    Key("help", ("question_mark", "f1"), "?", "help", "this page (F1 too); Esc or ? goes back"),
    Key("quit", ("q", "ctrl+q"), "q", "quit", "leave: all that says 'written' is on the disk"),
)
"""Keys that work wherever the entry line does not have the focus; those with ctrl or F work there too."""

LIST: tuple[Key, ...] = (
    Key("enter", ("enter",), "Enter", "", "more of what the row speaks of, or to the entry line"),
    Key("up", ("up",), "Up Down", "", "choose a row; PageUp, PageDown, Home and End too"),
)
"""Keys of every list. Moving in a list is its own business: only the first is bound from here."""

ENTRY: tuple[Key, ...] = (
    Key("send", ("enter",), "Enter", "writes", "write the line into the book"),
    Key("complete", ("tab",), "Tab", "completes", "put in what is shown dim, or the next that would do"),
    Key("earlier", ("up",), "Up Down", "earlier lines", "lines written before; in Cut: the cut to repeat"),
    Key("leave", ("escape",), "Esc", "leaves", "go back to the list; what is typed stays"),
    Key("help", ("f1",), "F1", "help", "help for this view"),
)
"""Keys while the entry line has the focus; letters and digits are text there."""

ROWS: dict[str, tuple[Key, ...]] = {
    "tray": (
        Key("step", ("s",), "s", "step", "today's hardening step is done"),
        Key("hold", ("h",), "h", "hold", "no step today: asks why"),
        Key("set_out", ("o",), "o", "set out", "set out into a bed"),
        Key("up", ("g",), "g", "count up", "write how many are up"),
        Key("pot", ("p",), "p", "pot on", "pot on into bigger cells"),
        Key("prick", ("i",), "i", "", "prick out"),
        Key("lost", ("l",), "l", "", "plants lost, with the cause"),
    ),
    "planting": (
        Key("cut", ("c",), "c", "cut", "write a cut from here, its stage card in sight"),
        Key("pinch", ("p",), "p", "pinch", "it is pinched"),
        Key("net", ("n",), "n", "net", "the net is up"),
        Key("cover", ("v",), "v", "cover", "the bed is covered; when it is, uncovered"),
        Key("clear", ("x",), "x", "clear", "it is done and cleared away"),
        Key("lost", ("l",), "l", "lost", "plants lost, with the cause"),
        Key("plant", ("a",), "a", "", "something more stands in this bed"),
    ),
    "bed": (
        Key("plant", ("a",), "a", "plant", "write what stands in it"),
        Key("cover", ("v",), "v", "cover", "the bed is covered; when it is, uncovered"),
    ),
    "cut": (),
    "to cut": (Key("cut", ("c",), "c", "cut", "write a cut from here, its stage card in sight"),),
    "to write": (),
    "group": (),
    "hanging": (
        Key("snap", ("t",), "t", "it snaps", "tested: the stem snaps, it is dry"),
        Key("bend", ("b",), "b", "it bends", "tested: it still bends, leave it"),
        Key("box", ("x",), "x", "box", "box it in bunches"),
        Key("lost", ("l",), "l", "lost", "stems lost, with the cause"),
        Key("move", ("m",), "m", "", "move to another line"),
        Key("weigh", ("g",), "g", "weigh", "its marked bunch on the scale, in grams"),
    ),
    "fresh": (
        Key("hang", ("g",), "g", "hang", "hang it on a line"),
        Key("wire", ("i",), "i", "wire", "wire the heads while fresh"),
        Key("sold", ("s",), "s", "sold", "stems sold"),
        Key("move", ("m",), "m", "move", "into the cooler, or out of it"),
        Key("lost", ("l",), "l", "lost", "stems lost, with the cause"),
    ),
    "stock": (
        Key("sold", ("s",), "s", "sold", "sold, and to whom"),
        Key("used", ("f",), "f", "used for", "used for a piece"),
        Key("count", ("c",), "c", "count", "what is really there"),
        Key("move", ("m",), "m", "move", "move to another place"),
        Key("lost", ("l",), "l", "lost", "lost, with the cause"),
    ),
    "box": (
        Key("check", ("c",), "c", "looked into", "looked into, and what was found"),
        Key("freeze", ("f",), "f", "freeze", "into the freezer against moths"),
        Key("where", ("p",), "p", "stands", "where it stands, dark or in the light"),
    ),
    "recipe": (
        Key("make", ("k",), "k", "make", "make some: their parts leave the stock"),
        Key("part", ("p",), "p", "part", "put a part in, change it, or take it out with 0"),
    ),
    "piece": (
        Key("sold", ("s",), "s", "sold", "sold, and to whom"),
        Key("lost", ("l",), "l", "lost", "lost, with the cause"),
    ),
    "heads": (),
    "making": (
        Key("bought", ("b",), "b", "bought", "more was bought"),
        Key("count", ("c",), "c", "count", "what is really there"),
        Key("reorder", ("r",), "r", "buy again at", "the number at which to buy it again"),
    ),
    "planned": (Key("next", ("n",), "n", "done", "write that what is due is done"),),
    "plan": (
        Key("next", ("n",), "n", "next is done", "write that its next part is done"),
        Key("drop", ("d",), "d", "drop", "give the plan up"),
    ),
    "room": (Key("room", ("r",), "r", "room", "write how much room there is"),),
    "ground": (),
}
"""Keys of the row the cursor is on, by its kind. Each writes a line, or begins one in the entry line."""


QUESTION: tuple[Key, ...] = (
    Key("send", ("enter",), "Enter", "answers, or passes over", "answer the question"),
    Key("leave", ("escape",), "Esc", "passes over all", "go to Today"),
    Key("quit", ("ctrl+q",), "ctrl+q", "quits", "leave"),
)
"""Keys while the first questions are asked."""


def row_key(kind: str, key: str) -> Key | None:
    """What `key` does on a row of that kind."""
    return next((k for k in ROWS.get(kind, ()) if key in k.keys), None)


LETTERS = sorted({key for keys in ROWS.values() for k in keys for key in k.keys})
"""Every letter that does something on some row."""


def key_line(kind: str | None, *, entry: bool = False) -> list[tuple[str, str]]:
    """(key, word) pairs for the bottom line: those of the row, then those that always work."""
    if kind == "question":
        return [(k.shown, k.short) for k in QUESTION]
    if entry:
        return [(k.shown, k.short) for k in ENTRY if k.short]
    first: Iterable[Key] = ROWS.get(kind or "", ())
    return [(k.shown, k.short) for k in (*first, *EVERYWHERE) if k.short]
