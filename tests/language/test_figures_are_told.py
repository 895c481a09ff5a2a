"""A figure is told in the farm's unit where its sentence is made: no sentence of the program has F or feet written into
it, and no kind of entry says the unit of a field that is told with its own."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import core
import tui
from core.field_words import unit_of
from core.subject import all_kinds

UNIT = re.compile(r"\d ?(?:F|ft|mph)\b|\d ?in\b(?= (?:apart|wide|long|across|tall)\b)")
BOTH = (
    "Write the unit with it: 9C or 9F",
    "write it with its unit, as 4C or 39F",
    "write degrees F such as 72F, or C as 22C",
    "9 F (9 C)",
)
"""Where both scales are told, as they must be."""
FIGURE = "9"


def sentences(path: Path) -> Iterator[str]:
    """Every text of a module but its docstrings and the help of its options; a value in it as a figure."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    passed = {
        id(part)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) or (isinstance(node, ast.keyword) and node.arg == "help")
        for part in ast.walk(node)
        if isinstance(part, ast.Constant) and (isinstance(node, ast.keyword) or part is node.value)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            passed |= {id(part) for part in node.values}
            yield "".join(part.value if isinstance(part, ast.Constant) else FIGURE for part in node.values)
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in passed:
            yield node.value


TELLERS = {"dialect.py", "marked.py", "units_told.py"}
"""Modules that tell figures."""
OTHERS = {"heads.py", "arguments.py", "registry.py"}
"""The data dictionary, which tells figures as they are kept; arguments of the shell, which are read before any farm."""


def test_no_sentence_has_a_unit_of_one_farm_written_into_it() -> None:
    folders = [Path(package.__file__ or "").parent for package in (core, tui)]
    found = [
        f"{path.name}: {text}"
        for folder in folders
        for path in sorted(folder.rglob("*.py"))
        if path.name not in TELLERS | OTHERS
        for text in sentences(path)
        if UNIT.search(text) and not any(both in text for both in BOTH)
    ]
    assert found == []


def test_the_scan_would_find_one(tmp_path: Path) -> None:
    module = tmp_path / "one.py"
    module.write_text('x = 1\ny = f"at {x} F"\nz = f"{x}ft free"\nNOTE = "about 12 in apart"\n')
    assert [bool(UNIT.search(text)) for text in sentences(module)] == [True, True, True]


def test_no_kind_says_the_unit_of_a_field_that_is_told_with_its_own() -> None:
    for kind in all_kinds():
        for name, after in re.findall(r"\{(\w+)\} ?(\w+)", kind.says):
            assert unit_of(name) in ("", "%", "g") or after != unit_of(name), (kind.name, kind.says)
