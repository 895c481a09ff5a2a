"""One spelling for the words that the program says of itself: that of the trade in North America.

Old entries hold words as an older shedbook spelled them. The entry stays as it is; what is folded, shown and offered
has the spelling of this table, so that mould and mold are one cause.
"""

from __future__ import annotations

from collections.abc import Mapping

SPELLED: Mapping[str, str] = {
    "mould": "mold",
    "grey mould": "gray mold",
    "buttonhole": "boutonniere",
    "centrepiece": "centerpiece",
}
"""A cause or a sort of piece as it was spelled -> as it is said."""
SHOWN: Mapping[str, str] = {**SPELLED, "autumn": "fall"}
"""The same, and words that entries go on holding as they did: "autumn", the season of a first frost."""
FIELDS = frozenset(("cause", "cull_cause", "sort", "season"))
"""The fields of entries that hold such words; in any other they are her own."""


def spelled(word: str) -> str:
    """The cause or sort of piece as it is said."""
    return SPELLED.get(word, word)
