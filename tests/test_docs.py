"""The documents tell the truth: every verb, every example and the map are checked against the program."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import core
from core.language.line import Known
from core.language.read import read_line
from core.problems import Problem
from tests.farms import beds
from tui.cli import parser

ROOT = Path(core.__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def _verbs() -> list[str]:
    actions = [a for a in parser()._actions if hasattr(a, "choices") and isinstance(a.choices, dict)]
    return [name for action in actions for name in action.choices]


def test_every_verb_is_in_the_readme() -> None:
    assert [verb for verb in _verbs() if not re.search(rf"`[^`]*\b{verb}\b", README)] == []


def test_every_line_of_the_morning_is_one_the_book_takes() -> None:
    block = README.split("from a file:")[1].split("Words come in any order")[0]
    lines = [re.split(r"\s{2,}", line.strip())[0] for line in block.splitlines() if line.strip()]
    assert len(lines) >= 10
    pencil = beds("b3", "b4", "b5", start="2026-06-01")
    pencil.write("set out", planting="P01", crop="strawflower", bed="b3", feet=25)
    pencil.write("sown", tray="S12", crop="cosmos", cells=72, seeds=72)
    pencil.write("cut", lot="L041", crop="strawflower", bed="b3", planting="P01", use="dry", stems=130)
    pencil.write("hung", lot="L041", source="bucket", line="line 2", stems=130, per=10)
    pencil.write("cut", lot="L040", crop="strawflower", bed="b3", planting="P01", use="dry", stems=20)
    pencil.write("hung", lot="L040", source="bucket", line="line 1", stems=20, per=10)
    pencil.write("boxed", lot="L040", source="line 1", box="box 1", bunches=2, per=10)
    pencil.write("ordered", order="O014", buyer="Lane", due_on="2026-09-01")
    pencil.write("order item", order="O014", item=1, crop="strawflower", form="dry", count=20)
    pencil.write("cut", lot="L042", crop="strawflower", bed="b3", planting="P01", use="dry", stems=40)
    for line in lines:
        read = read_line(
            line,
            pencil.farm,
            date(2026, 6, 20),
            Known(find=lambda *ids: [e for e in pencil.entries if e.id in ids]),
        )
        assert not isinstance(read, Problem), f"{line}: {read}"


def test_the_map_names_every_part_of_core() -> None:
    folder = Path(core.__file__).parent
    parts = {p.stem for p in folder.iterdir() if p.suffix == ".py" or (p / "__init__.py").exists()}
    parts -= {"__init__", "__pycache__"}
    tree = DEVELOPERS.split("```")[1]
    assert {part for part in parts if not re.search(rf"\b{part}\b", tree)} == set()


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "tui",
        "core",
        "tests",
        "demo_farm",
        "screenshots",
    }
    build = {"build", "dist"}
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
    assert {name for name in found - build if not name.endswith(".egg-info")} <= allowed


def test_the_code_speaks_of_the_project_alone() -> None:
    """No machine's own paths in anything that is shipped."""
    own = re.compile(r"/(?:work|root|home)/\w|file://")
    for folder in ("core", "tui", "demo_farm", "tests"):
        for path in (ROOT / folder).rglob("*.py"):
            if path.name != "test_docs.py":
                assert not own.search(path.read_text(encoding="utf-8")), path
