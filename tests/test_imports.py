"""What really loads, in fresh interpreters: the promises about imports that a list of imports cannot prove."""

from __future__ import annotations

import pkgutil
import subprocess
import sys
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

import pytest

import core
from core.subject import subjects
from demo_farm.open import DEMO_DAY, copy_to
from tui.reckon import CALCULATIONS
from tui.registry import command, commands, row_sort, view_class, views

SCREEN = ("textual", "rich")
HEAVY = (*SCREEN, "pendulum", "tinydb", "hypothesis", "asyncio", "icalendar", "reportlab", "segno", "plotext")
ON = ("--on", DEMO_DAY.isoformat())
"""No page is another one because midnight has passed."""


def _loaded(code: str, *args: str) -> set[str]:
    """Top-level modules loaded after running `code` in a new interpreter."""
    tail = "\nimport sys; print('LOADED', *sorted({m.partition('.')[0] for m in sys.modules}))"
    done = subprocess.run(
        [sys.executable, "-c", code + tail, *args], capture_output=True, text=True, check=True
    )
    return set(done.stdout.rsplit("LOADED", 1)[1].split())


def test_no_module_of_core_loads_a_screen() -> None:
    names = [m.name for m in pkgutil.walk_packages(core.__path__, "core.")]
    assert len(names) > 30
    loaded = _loaded("\n".join(f"import {name}" for name in names))
    assert not loaded & {*SCREEN, "tui"}


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from tui.cli import main

    folder = tmp_path_factory.mktemp("imports") / "farm"
    assert main(["new", str(folder)]) == 0
    assert main(["--farm", str(folder), *ON, "write", "farm", "zone", "UTC"]) == 0
    assert main(["--farm", str(folder), *ON, "write", "bed", "b1", "50ft"]) == 0
    return folder


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    copy_to(tmp_path / "demo")
    return tmp_path / "demo"


@pytest.mark.parametrize("verb", ["today", "beds", "stock", "entries"])
def test_printing_loads_no_screen_and_nothing_heavy(farm: Path, verb: str) -> None:
    code = f"from tui.cli import main; assert main(['--farm', {str(farm)!r}, *{ON!r}, {verb!r}]) == 0"
    assert not _loaded(code) & set(HEAVY)


def test_writing_a_line_loads_no_screen(farm: Path) -> None:
    code = f"from tui.cli import main; assert main(['--farm', {str(farm)!r}, *{ON!r}, 'write', 'low', '41']) == 0"
    assert not _loaded(code) & set(HEAVY)


SLOW = ("statistics", "random", "decimal", "csv", "textwrap", "calendar")
"""What takes milliseconds to load, and is loaded only where a page or a line asks for it."""


@pytest.mark.parametrize("words", [("today",), ("write", "low", "43")], ids=["today", "write"])
def test_what_is_slow_to_load_is_not_loaded_for_a_page_told_again_nor_for_a_plain_line(
    farm: Path, words: tuple[str, ...]
) -> None:
    code = "import sys; from tui.cli import main; assert main(sys.argv[1:]) == 0"
    _loaded(code, "--farm", str(farm), *ON, "today")
    assert _loaded(code, "--farm", str(farm), *ON, *words) & {*SLOW, *HEAVY} == set()


PARTS = ("kinds", "lines", "rows")


def _parts_loaded(*args: str) -> set[str]:
    """Modules of subjects, of their screens and of the reading of lines that a command loads beyond the manifests."""
    code = (
        "import sys; from tui.cli import main; from core.subject import subjects\n"
        "assert main(sys.argv[1:]) == 0\n"
        "mine = tuple(s.home + '.' for s in subjects()) + ('tui.subjects.', 'tui.views.', 'core.language.')\n"
        "print('\\nPARTS', *sorted(m for m in sys.modules if m.startswith(mine)))"
    )
    done = subprocess.run([sys.executable, "-c", code, *args], capture_output=True, text=True, check=True)
    return set(done.stdout.rsplit("PARTS", 1)[1].split())


def test_the_help_reads_manifests_and_loads_no_part_of_any_subject() -> None:
    assert _parts_loaded("--help") == set()


def test_the_morning_page_reads_no_lines_and_loads_no_screen_of_a_subject(farm: Path) -> None:
    loaded = _parts_loaded("--farm", str(farm), *ON, "today")
    assert {name for name in loaded if name.endswith("lines") or name.startswith("tui.")} == set()


def test_a_morning_told_again_loads_no_subject_but_the_one_that_is_always_asked(demo: Path) -> None:
    """Of the other machines it is asked each time what is new there; the rest is how the farm speaks."""
    again = ("--farm", str(demo), *ON, "today")
    reckoned = _parts_loaded(*again)
    assert len(reckoned) > 50 and not any(name.startswith("core.language") for name in reckoned)
    _parts_loaded(*again)
    assert _parts_loaded(*again) == {"core.meeting.asks", "core.settings.local_time", "core.stems.buyers"}


def test_after_a_mild_night_was_written_no_promise_is_loaded(demo: Path) -> None:
    at = ("--farm", str(demo), *ON)
    for words in (("today",), ("write", "low", "44", "tonight", "49")):
        _parts_loaded(*at, *words)
    loaded = _parts_loaded(*at, "today")
    assert "core.weather.asks" in loaded
    assert {name for name in loaded if name.startswith("core.promising.")} == set()


def test_writing_a_low_loads_the_lines_of_the_weather_alone(farm: Path) -> None:
    loaded = _parts_loaded("--farm", str(farm), *ON, "write", "low", "41")
    assert {name for name in loaded if name.endswith("lines") or name.startswith("tui.")} == {
        "core.weather.lines",
        "core.weather.frost_lines",
    }


def test_a_command_loads_its_own_screen_and_what_that_shows(farm: Path) -> None:
    loaded = _parts_loaded("--farm", str(farm), *ON, "trays")
    assert {name for name in loaded if name.startswith("tui.subjects.")} == {"tui.subjects.trays"}


def test_every_part_of_every_subject_can_be_loaded() -> None:
    """What is loaded only when it is used would hide a broken import until then."""
    for listed in (*commands().values(), *CALCULATIONS):
        assert command(listed).run
    for name in views():
        assert view_class(name)
    for subject in subjects():
        assert [row_sort(name).name for name in subject.rows] == list(subject.rows)
        for part in PARTS:
            if find_spec(f"{subject.home}.{part}"):
                import_module(f"{subject.home}.{part}")
