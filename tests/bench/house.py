"""The house as it stands: what a new subject touches, imports inside functions, the session, the longest, the lines."""

from __future__ import annotations

import ast
import inspect
from collections.abc import Iterator
from pathlib import Path

from core import subject as registry
from core.session import Session

ROOT = Path(__file__).parents[2]
BEFORE = {
    "files touched for a new kind": 24,
    "imports inside functions": 204,
    "methods and properties of the session": 68,
    "lines of core, tui and demo_farm": 37_466,
}
"""Counted before the house was cut by subject."""
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


def main() -> None:
    """Print the table."""
    trees = {path: ast.parse(path.read_text("utf-8")) for path in _files("core", "tui")}
    inner = sum(len(_imports_inside(tree)) for tree in trees.values())
    shown = [n for n, _ in inspect.getmembers(Session) if not n.startswith("_")]
    lines = sum(_lines(path) for path in _files("core", "tui", "demo_farm"))
    now = {
        "files touched for a new kind": len(_touched()),
        "imports inside functions": inner,
        "methods and properties of the session": len(shown),
        "lines of core, tui and demo_farm": lines,
    }
    print(f"{'':36} {'before':>8} {'now':>8}")
    for what, count in now.items():
        print(f"{what:36} {BEFORE[what]:>8,} {count:>8,}")
    print(f"\nsubjects: {', '.join(home.removeprefix('core.') for home in registry.SUBJECTS)}")
    print(f"a new kind of entry stands in: {', '.join(_touched())}")
    print("\nmodules over 400 lines, and the longest functions:")
    for path in sorted(trees, key=_lines, reverse=True):
        if _lines(path) > 400:
            print(f"  {_lines(path):>5}  {path.relative_to(ROOT)}")
    longest = sorted(
        (
            (node.end_lineno - node.lineno + 1, f"{path.relative_to(ROOT)}: {node.name}")
            for path, tree in trees.items()
            for node in ast.walk(tree)
            if isinstance(node, FUNCTIONS) and node.end_lineno is not None
        ),
        reverse=True,
    )
    for length, name in longest[:5]:
        print(f"  {length:>5}  {name}")


def _touched() -> list[str]:
    """Where a kind of its own stands, taken from one that is there: the files that name it, its log's word, as text."""
    kind = '"air range"'
    found = [path for path in _files("core", "tui") if kind in path.read_text("utf-8")]
    return [str(path.relative_to(ROOT)) for path in found]


def _files(*folders: str) -> Iterator[Path]:
    for folder in folders:
        yield from sorted((ROOT / folder).rglob("*.py"))


def _lines(path: Path) -> int:
    return len(path.read_text("utf-8").splitlines())


def _imports_inside(tree: ast.AST) -> set[int]:
    """The lines of imports that stand inside a function."""
    return {
        inner.lineno
        for node in ast.walk(tree)
        if isinstance(node, FUNCTIONS)
        for inner in ast.walk(node)
        if isinstance(inner, (ast.Import, ast.ImportFrom))
    }
