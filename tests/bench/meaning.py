"""Slips of one letter in good lines: how many are refused, how many still say the same, how many say something else.

The good lines are those of tests/language/said_and_meant.csv. A slip is a letter left out, put in, put wrong, or two
that have changed places, in any word but numbers and codes (S12, b3). What changes in silence is told apart: in her own
words (a note, a new name, what is in quotes), which may be anything, and elsewhere: an entry that she did not mean.
"""

from __future__ import annotations

import random
import re
import string
import sys
from collections import Counter
from collections.abc import Iterator
from typing import NamedTuple

from core.language.read import Reading
from core.problems import Problem
from core.stems.buyers import known_buyers
from tests.language.meaning import farm_spoken_of, read, rows

SLIPS = 20_000
SEED = 623
OWN_WORDS = {
    *("text", "note", "who", "purpose", "name", "where", "source", "by"),
    *("product", "active", "target", "applicator", "lab", "supplier", "seed_lot", "job"),
}
"""Fields that hold her own words."""
NEW_NAMES = {("bed", "bed"), ("recipe", "recipe"), ("crop", "crop")}
"""(kind, field) in which she gives a name to something new."""
_CODE = re.compile(r"[a-z]{1,2}\d+[a-z]?|\S*\d\S*|[a-z]", re.IGNORECASE)
REFUSED, SAME, OWN, OTHER = "refused", "says the same", "changed in her own words", "changed elsewhere"


class Slip(NamedTuple):
    """A good line, the line with the slip in it, and what became of it; `fields` are those that changed."""

    good: str
    slipped: str
    became: str
    fields: tuple[str, ...] = ()


def slips(count: int, seed: int = SEED) -> Iterator[Slip]:
    """So many slips, the same for the same seed."""
    chance = random.Random(seed)
    good = [row.said for row in rows() if not row.is_trap and row.meant != "undo"]
    meant = {line: read(line) for line in good}
    found: dict[tuple[str, str], Slip] = {}
    while count:
        line = chance.choice(good)
        slipped = _slip(line, chance)
        if slipped is None or slipped == line:
            continue
        count -= 1
        if (line, slipped) not in found:
            found[line, slipped] = _became(line, slipped, meant[line])
        yield found[line, slipped]


def _slip(line: str, chance: random.Random) -> str | None:
    """The line with one letter of one word wrong; None where the word drawn is a number, a code or a single letter."""
    words = [found for found in re.finditer(r"[^\s,.']+", line) if not _CODE.fullmatch(found[0])]
    if not words:
        return None
    word = chance.choice(words)
    at = chance.randrange(len(word[0]))
    text, letter = word[0], chance.choice(string.ascii_lowercase)
    match chance.randrange(4):
        case 0:
            new = text[:at] + text[at + 1 :]
        case 1:
            new = text[:at] + letter + text[at:]
        case 2:
            new = text[:at] + letter + text[at + 1 :]
        case _:
            new = text[:at] + text[at : at + 2][::-1] + text[at + 2 :]
    return line[: word.start()] + new + line[word.end() :]


def _became(line: str, slipped: str, meant: Reading | Problem) -> Slip:
    now = read(slipped)
    if isinstance(now, Problem):
        return Slip(line, slipped, REFUSED)
    assert isinstance(meant, Reading), line
    if now.drafts == meant.drafts and now.by == meant.by:
        return Slip(line, slipped, SAME)
    fields = tuple(_changed(meant, now))
    if fields == ("making",) and meant.drafts[0].fields["making"] not in farm_spoken_of().makings:
        return Slip(line, slipped, OWN, fields)  # a name for a new supply: told as new before Enter
    if fields == ("buyer",) and meant.drafts[0].fields["buyer"] not in known_buyers(farm_spoken_of()):
        return Slip(line, slipped, OWN, fields)  # a new buyer: told as new before Enter
    own = OWN_WORDS | {field for kind, field in NEW_NAMES if meant.drafts[0].kind == kind}
    is_own = _unquoted(line) == _unquoted(slipped) or (fields and set(fields) <= own)
    return Slip(line, slipped, OWN if is_own else OTHER, fields)


def _unquoted(line: str) -> str:
    return re.sub(r"'[^']*'", "", line)


def _changed(meant: Reading, now: Reading) -> Iterator[str]:
    if [draft.kind for draft in meant.drafts] != [draft.kind for draft in now.drafts]:
        yield "kind"
        return
    for before, after in zip(meant.drafts, now.drafts, strict=True):
        if before.on != after.on:
            yield "on"
        for name in {**before.fields, **after.fields}:
            if before.fields.get(name) != after.fields.get(name):
                yield name
    if meant.by != now.by:
        yield "by"


def main() -> None:
    """Print what became of the slips, and with "show" those that changed in silence."""
    made = list(slips(SLIPS))
    count = Counter(slip.became for slip in made)
    print(f"{SLIPS:,} slips of one letter in {len({slip.good for slip in made})} lines")
    for what in (REFUSED, SAME, OWN, OTHER):
        print(f"  {what:26} {count[what]:>7,}  {100 * count[what] / SLIPS:6.2f} %")
    if "show" in sys.argv:
        for slip in sorted({slip for slip in made if slip.became == OTHER}):
            print(f"    {slip.good}  ->  {slip.slipped}  ({', '.join(slip.fields)})")
