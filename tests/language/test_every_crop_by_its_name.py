"""Every crop of the library is called by its whole name, whatever its words mean elsewhere in a line."""

from __future__ import annotations

from pathlib import Path

from core.crops.library import every_name
from core.language.read import Reading
from core.session import Session
from tests.farms import TODAY

WHOLE = [(crop, name) for crop, name in every_name() if name.replace(" ", "").replace("-", "").isalpha()]


def test_a_cut_of_each_is_read_as_one_of_it(tmp_path: Path) -> None:
    session = Session.create(tmp_path / "farm", by="jm", on=TODAY)
    session.write("bed b6 50ft")
    other = {}
    for crop, name in WHOLE:
        read = session.understood(f"10 {name} b6 fresh")
        drafts = read.drafts if isinstance(read, Reading) else ()
        if [(d.kind, d.fields["crop"]) for d in drafts] != [("cut", crop)]:
            other[name] = read
    assert not other
    assert len(WHOLE) > 200
