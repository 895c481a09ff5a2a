"""A slip of one letter is refused, or says the same; a number is stems, and the preview tells bunches beside it."""

from __future__ import annotations

from pathlib import Path

import pytest

from core.language.complete import WIDTH, complete
from core.session import Session, Written
from tests.bench.meaning import OTHER, slips
from tests.cases import some_of
from tests.farms import TODAY
from tests.language.meaning import farm_spoken_of


@pytest.mark.part
def test_hardly_a_slip_changes_an_entry_in_silence() -> None:
    """One in a thousand at the most; the bench counts 20,000 of them."""
    silent = {slip for slip in slips(len(some_of(range(1_000), 0))) if slip.became == OTHER}
    assert len(silent) <= 2, silent


def says(text: str) -> str:
    return complete(text, farm_spoken_of(), TODAY).says


def test_the_preview_tells_stems_and_bunches() -> None:
    assert says("sold 20 L001").endswith("(20 stems = 2 bunches of 10)")
    assert says("sold 2 bu L001").endswith("(20 stems = 2 bunches of 10)")
    assert says("sold 2 L001").endswith("(2 stems, no bunch of 10: 'b' means bunches)")
    assert says("count 28 L001").endswith("(28 stems = 2 bunches of 10 and 8 loose)")
    long = says("sold 20 L001 to the corner florist behind the old mill on the river")
    assert long.endswith("(20 stems = 2 bunches of 10)") and len(long) <= WIDTH


def test_a_line_by_somebody_else_is_theirs(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=TODAY)
    written = session.write("low 41 by jo")
    assert isinstance(written, Written) and [entry.by for entry in written.entries] == ["jo"]
    assert says("low 41 by jo").startswith("by jo: ")
    assert isinstance(session.write("low 42"), Written)
    assert [entry.by for entry in session.entries()][-1] == "ml"


def test_a_cut_to_be_repeated_was_made_by_the_day_the_book_is_read_on(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="ml", on=TODAY)
    for line in ("bed b1 50ft", "plant zinnia b1 20ft on 2026-05-01", "30 zinnia b1 fresh"):
        assert isinstance(session.write(line), Written), line
    session.close()
    earlier = Session.open(tmp_path / "farm", by="ml", on=TODAY.replace(day=20))
    assert "as L001" not in earlier.complete("45").says
    assert not isinstance(earlier.write("45"), Written)


def test_a_new_supply_is_told_as_new_and_a_slip_in_a_known_one_is_asked_about() -> None:
    assert says("bought 100 zip ties").endswith("(new: zip ties)")
    assert "new" not in says("bought 100 wire 22") and "new" not in says("bought 2 rolls tape")
    for slip in ("bought 100 wier 22", "bought 2 tpae", "bought 2 holls tape", "bought 2 rolls taep"):
        assert "Did you mean" in says(slip), slip
    assert says("bought 2 'holls tape'").startswith("bought 2 of holls tape")


def test_a_line_that_breaks_off_is_not_whole() -> None:
    for line in ("12 dahlia b1 fresh on", "40 strawflower b3 dry from", "sold 5 L002 at"):
        assert says(line).startswith(f"'{line.split()[-1]}' what?"), line
