"""What is said to put a mistake right: "L009 was 20", "S12 was zinnia lime"."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from core.at_odds import is_apart
from core.book.entry import Draft, Entry
from core.codes import canonical, code_in, named
from core.crops.color import called_so, is_of_color
from core.farm import Planting
from core.language.again import asked_of_corrected
from core.language.line import Line, Reading, Refused, either, short
from core.language.offers import beds, crops, words
from core.language.tokens import Token
from core.language.verb import ALWAYS, NOT, Verb
from core.mending.fields import changes, code_of, unchanged, was
from core.patterns import pattern
from core.places import BUCKET, USES
from core.seeds.choosing import from_packet
from core.shared_codes import SharedCodes
from core.subject import kind_of, reader_of_change

MOST_NAMED = 6
"""Codes that are named of what is corrected with an entry."""
_ID = pattern(r"[0-9a-f][0-9a-f-]{3,35}")


def correct(line: Line) -> Reading:
    """ "L009 was b4", "S12 was zinnia lime", "7f3a09c2 was to florist": what is wrong in an entry, as it should be."""
    called = SharedCodes(line.farm)
    target = called.of(_target(line))
    read = reader_of_change(target.kind) or changes
    now = read(line, target)
    if not now:
        raise Refused("What was it? Write what is right after 'was': L009 was 20, L009 was b4.")
    if target.kind == "cut":
        _stand_elsewhere(line, target, now)
        _tell_more(line, target, now)
    _drawer_follows(line, target, now)
    drafts = [_draft(line, target, now)]
    notes = asked_of_corrected(line, Draft(target.kind, target.on, {**target.fields, **_said(now)}))
    drafts += [_draft(line, called.of(entry), follows) for entry, follows in _what_follows(line, target, now)]
    if len(drafts) > 1:
        others = [str(draft.fields["about"]) for draft in drafts[1:]]
        more = len(others) - MOST_NAMED
        line.remark(
            f"with it {either([*others[:MOST_NAMED], f'{more} more'] if more > 1 else others, 'and')}"
        )
    return line.reading(*drafts, *notes, lot=target.fields.get("lot") if target.kind == "cut" else None)


def _tell_more(line: Line, cut: Entry, now: dict[str, Any]) -> None:
    """Say where stems are that were cut beside those written: in the bucket, though all that was written left it."""
    more = (now.get("stems") or 0) - cut.fields["stems"]
    lot = line.farm.lots.get(cut.fields["lot"])
    if more <= 0 or lot is None or BUCKET in lot.holdings:
        return
    told = f"{more} more in the bucket"
    line.amount = f"{line.amount}; {told}" if line.amount else told
    line.remark(
        f"the {told}: hang, sell or move them; where they went with the others, correct that line as well"
    )


def _said(now: dict[str, Any]) -> dict[str, Any]:
    """What is changed in the fields of an entry, without what is left out and its day and person."""
    return {name: value for name, value in now.items() if value is not None and name not in ("on", "by")}


def _draft(line: Line, entry: Entry, now: dict[str, Any]) -> Draft:
    made = kind.makes if (kind := kind_of(entry.kind, entry.fields)) is not None else ""
    may_say_again = is_apart(line.farm, entry.id)
    for name in unchanged(entry, now):
        if not may_say_again or name == made:
            del now[name]
    if not now:
        about = code_of(entry) or f"that '{entry.kind}' entry"
        raise Refused(f"{about} says so already: nothing is changed.", "impossible")
    before = {name: value for name in now if name != "ref" and (value := was(entry, name)) is not None}
    return line.draft(
        "correct", entry=entry.id, of=entry.kind, now=now, was=before or None, about=code_of(entry)
    )


def _target(line: Line) -> Entry:
    """The entry that is named before "was": by the code of what it made, or by the end of its id."""
    words = line.free()
    if not words or line.words.index(words[0]) > 1:
        raise Refused("Correct what? Begin with its code: L009 was 20.")
    first, *rest = words
    first.taken = True
    if rest and rest[0].low == "was":
        rest[0].taken = True
    named = entry_named(line, first.low)
    if named is None:
        shown = short(first.text)
        raise Refused(
            f"'{shown}' is no lot, tray, planting or plan, and no entry: begin with a code, such as L009.",
            "unknown",
        )
    found = line.known.find(named)
    if not found:
        raise Refused(f"There is no entry {short(first.text)} in the book.", "unknown")
    if len(found) > 1:
        raise Refused(
            f"{len(found)} entries end with {short(first.text)}: give more of the id.",
            "ambiguous",
            [entry.id for entry in found[:3]],
        )
    return found[0]


def entry_named(line: Line, word: str) -> str | None:
    """The id, or its end, of the entry that a word names; None where it is no name of an entry."""
    code = code_in(word)
    if (found := named(line.farm, code)) is not None:
        return found.made_by
    if canonical(word):
        raise Refused(f"There is no {code} in the book.", "unknown")
    return word if _ID.fullmatch(word) else None


def _stand_elsewhere(line: Line, cut: Entry, now: dict[str, Any]) -> None:
    """The planting that a cut of another bed or crop came from: the one that stood there on the day."""
    if "planting" in now or not now.keys() & {"bed", "crop"}:
        return
    bed, crop = now.get("bed", cut.fields["bed"]), now.get("crop", cut.fields["crop"])
    on = now.get("on", cut.on)
    stood = [p for p in line.farm.plantings.all() if (p.bed, p.crop) == (bed, crop) and _stood(p, on)]
    variety = now.get("variety") or (None if "crop" in now else cut.fields.get("variety"))
    fit = (called_so(stood, variety) if variety else []) or stood
    if len(fit) > 1:
        raise Refused(
            f"Which planting: {either([p.code for p in fit])}? Write its code.",
            "ambiguous",
            [p.code for p in fit],
        )
    if fit:
        now |= {"planting": fit[0].code, "ref": fit[0].made_by}
        now.setdefault("variety", fit[0].variety)
        return
    standing = tuple(dict.fromkeys(p.bed for p in line.farm.plantings.all() if p.crop == crop))
    if standing and not line.insists:
        raise Refused(
            f"No {crop} stood in bed {bed} on that day; it stands in {either(standing, 'and')}. Add 'anyway' to "
            "insist.",
            "impossible",
            standing,
        )
    now |= {name: None for name in ("planting", "ref") if name in cut.fields}


def _drawer_follows(line: Line, sowing: Entry, now: dict[str, Any]) -> None:
    """What was sown is of another crop or variety: its seed came from a packet of that, and went out of no other."""
    seeds: int | None = now.get("seeds", sowing.fields.get("seeds"))
    if sowing.kind not in ("sown", "drilled") or seeds is None:
        return
    if now.get("packet") is not None or not now.keys() & {"crop", "variety"}:
        return
    crop = str(now.get("crop", sowing.fields["crop"]))
    variety = now["variety"] if "variety" in now else sowing.fields.get("variety")
    kept = line.farm.packets.get(str(sowing.fields.get("packet")))
    if kept is not None and kept.crop == crop and (not kept.variety or is_of_color(kept.variety, variety)):
        return
    line.on = date.fromisoformat(now.get("on", sowing.on))
    found = from_packet(line, crop, variety, seeds, None)
    line.on = line.today
    if found["variety"] != variety:
        now["variety"] = found["variety"]
    for name in ("packet", "packet_seeds", "ref"):
        if found.get(name) is not None or name in sowing.fields:
            now[name] = found.get(name)


def _stood(planting: Planting, on: str) -> bool:
    return planting.out_on <= on and (planting.cleared_on is None or on <= planting.cleared_on)


def _what_follows(line: Line, of: Entry, now: dict[str, Any]) -> Iterator[tuple[Entry, dict[str, Any]]]:
    """What came of a sowing or a planting is of the same crop, and stood in the same bed: it is corrected with it."""
    farm = line.farm
    plantings: list[Planting] = []
    if of.kind == "sown":
        plantings = [p for p in farm.plantings.all() if p.tray == of.fields["tray"]]
    elif of.kind in ("set out", "drilled"):
        plantings = [p for p in farm.plantings.all() if p.made_by == of.id]
    codes = {p.code for p in plantings}
    makers = [p.made_by for p in plantings if p.made_by != of.id]
    makers += [lot.made_by for lot in farm.lots.all() if lot.planting in codes]
    shared = ("crop", "variety", "way") if of.kind == "sown" else ("crop", "variety", "way", "bed")
    for entry in line.known.find(*makers) if makers else ():
        same = {
            name: now[name]
            for name in shared
            if name in now and was(entry, name) == was(of, name)
            and (was(entry, name) != now[name] or is_apart(farm, entry.id))
            and not (name == "way" and entry.kind == "cut")
        }  # fmt: skip
        if same:
            yield entry, same


def _claims(line: Line, token: Token) -> int:
    """A line that begins with "correct", or with a code or an id and "was" after it."""
    first = line.words[0]
    if token.low == "correct":
        return ALWAYS if token is first else NOT
    is_named = code_in(first.low) or _ID.fullmatch(first.low)
    return ALWAYS if is_named and line.words.index(token) == 1 else NOT


VERBS = (
    Verb(
        "correct",
        correct,
        "Put right",
        (
            ("L041 was 20", "corrects a count that was written wrong; what rests on it stays"),
            ("L041 was fresh", "the bed, the crop, the use, the day: what is said is changed"),
            ("N01 was by 10-1", "a kept plan is changed in place and reckoned anew; or: N01 was 150"),
            ("S12 was cosmos", "of another crop: what was set out and cut of it goes with it"),
        ),
        (beds, words(*USES), crops, words("by", "to")),
        follow=(),
        own_day=True,
        own_words=True,
        claims=_claims,
    ),
)
