"""The command line on one farm, as a person types it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.farms import Days, farm_in
from tui.cli import main


class Shell:
    """Runs verbs on one farm, on one day unless another is said, and gives back status, output and error."""

    def __init__(self, farm: Path, capsys: pytest.CaptureFixture[str], on: str) -> None:
        self.farm, self.on, self._capsys = farm, on, capsys

    def __call__(self, *args: str, on: str = "") -> tuple[int, str, str]:
        self._capsys.readouterr()
        status = main(["--farm", str(self.farm), "--on", on or self.on, "--by", "ml", *args])
        shown = self._capsys.readouterr()
        return status, shown.out, shown.err

    def json(self, *args: str, on: str = "") -> Any:
        """What a verb that must succeed prints as JSON."""
        status, out, err = self(*args, "--json", on=on)
        assert (status, err) == (0, "")
        return json.loads(out)

    def text(self, *args: str, most: int = 78) -> str:
        """What a verb that must succeed prints: plain characters, no line wider than `most`."""
        status, out, err = self(*args)
        assert (status, err) == (0, "")
        assert out.isascii() and max(map(len, out.splitlines())) <= most
        return out

    def write(self, line: str, on: str = "") -> Any:
        """Write a line that must be taken."""
        return self.json("write", line, on=on)

    def begin(self, days: Days) -> Shell:
        """Make the farm, and write on each day its lines."""
        farm_in(self.farm, days or {self.on: ()})
        return self
