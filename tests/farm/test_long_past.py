"""What is long past is one line that asks to clear it; what is due by the calendar stands with what cannot wait."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.shell import Shell

SPRING = {
    "2026-03-01": ("last frost 05-14", "first frost 10-01", "farm zone UTC", "bed b1 50ft", "bed b2 50ft"),
    "2026-05-20": ("plant strawflower b1 20ft 60 plants", "plant bearded iris b2 20ft 20 plants"),
    "2026-06-01": ("24 bearded iris b2 fresh anyway", "crop 'velvet reed' perennial"),
    "2026-07-20": (
        "60 strawflower b1 dry anyway",
        "hang L002 line 1",
        "12 velvet reed b2 dry anyway",
        "30 strawflower b1 dry anyway",
        "sow 72 strawflower",
        "order Lane 20 strawflower dry by 08-01",
    ),
}
PAST = ("L001", "L002", "L003", "O001")


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2027-09-01").begin(SPRING)


def parts(page: str) -> dict[str, str]:
    """The head of each part of the page -> what stands under it."""
    found: dict[str, str] = {}
    head = ""
    for line in page.splitlines():
        first = line.split("  ")[0]
        head = first if first.isupper() else head
        found[head] = f"{found.get(head, '')}\n{line}"
    return found


def test_what_is_a_year_old_is_one_line_and_holds_no_place_above(shell: Shell) -> None:
    page = parts(shell("today")[1])
    for above in ("SPOILS FIRST", "PROMISED"):
        assert not any(code in page.get(above, "") for code in PAST), page
    (line,) = [line for line in page["ALSO"].splitlines() if "long past" in line]
    assert all(code in line for code in PAST) and "lost, sold or cancelled?" in line


def test_opened_each_of_them_is_told(shell: Shell) -> None:
    lines = shell("today", "--all")[1].splitlines()
    assert all(any(line.startswith(f"  {code}") for line in lines) for code in PAST)


def test_while_it_can_be_saved_it_stands_first(shell: Shell) -> None:
    page = parts(shell("today", on="2026-08-16")[1])
    assert "L002" in page["SPOILS FIRST"] and "O001" in page["PROMISED"]
    assert "O001" not in page["ALSO"] and "L002" not in page["ALSO"]


def test_what_is_due_by_the_calendar_stands_with_what_cannot_wait(shell: Shell) -> None:
    shell.write("bought 60 tulip bulbs", on="2026-10-01")
    shell.write("force 50 tulip bulbs 14 weeks at 40F", on="2026-10-01")
    assert "50 tulip" in parts(shell("today", on="2027-01-07")[1])["SPOILS FIRST"]
    told = " ".join(shell("today", "--all", on="2027-01-08")[1].split())
    assert "bring out of the cold: 1 day late; write: force tulip bulbs out" in told
    shell.write("plant phlox b2 20ft 12 plants", on="2024-05-10")
    shell.write("plant phlox b2 5ft 5 plants", on="2027-02-01")
    assert "divide" in parts(shell("today", on="2027-04-08")[1])["ALSO"]
    assert "b2    phlox" in parts(shell("today", on="2027-04-20")[1])["SPOILS FIRST"]


def test_no_word_of_what_is_opened_is_cut_off(shell: Shell) -> None:
    shell.write("plant phlox b2 20ft 12 plants", on="2024-05-10")
    page = shell("today", "--all", on="2027-04-08")[1]
    assert "every 2 to 4 years" in " ".join(page.split())
    assert max(map(len, page.splitlines())) < 80
