"""Opening and writing a book loads little: every command that only writes a line starts with this."""

from __future__ import annotations

import subprocess
import sys

import pytest


@pytest.mark.parametrize(
    "module", ["core.book.book", "core.book.device", "core.book.lock", "core.book.drafts"]
)
def test_nothing_heavy_is_loaded(module: str) -> None:
    heavy = [
        "tinydb",
        "pendulum",
        "textual",
        "ctypes",
        "tempfile",
        "subprocess",
        "multiprocessing",
        "hashlib",
        "uuid",
    ]
    code = f"import sys, {module}; print(*(name for name in {heavy} if name in sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def test_only_tiny_knows_tinydb() -> None:
    code = (
        "import sys, core.book.audit, core.book.backup, core.book.follow, core.book.merge, core.book.repair\n"
        "print('tinydb' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
