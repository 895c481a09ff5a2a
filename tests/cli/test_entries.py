"""Questions to the whole record from the shell: which entries are of a kind, a crop, a bed, a person, a time."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from tests.shell import Shell

DAYS = {
    "2026-05-20": ("bed b1 50ft", "bed b2 50ft", "plant zinnia b1 25ft", "plant strawflower b2 25ft"),
    "2026-06-20": ("30 zinnia b1 fresh", "12 strawflower b2 dry", "low 51"),
    "2026-06-21": ("hang L002 line 1", "sold 10 L001 to corner florist", "note b1 slugs along the edge"),
    "2026-06-22": ("lost 2 brown L002", "40 zinnia b1 fresh"),
}


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-06-23").begin(DAYS)


def _said(shell: Shell, *asked: str) -> list[str]:
    return [line.split(maxsplit=3)[3] for line in shell.text("entries", *asked, most=120).splitlines()]


def test_by_kind_and_time(shell: Shell) -> None:
    assert len(_said(shell, "--kind", "cut")) == 3
    assert _said(shell, "--kind", "cut", "--since", "2026-06-21") == [
        "cut 40 zinnia from bed b1 for fresh: L003"
    ]
    assert len(_said(shell, "--until", "2026-05-20")) == 4


def test_of_a_crop_are_also_the_hangings_sales_and_losses_of_its_lots(shell: Shell) -> None:
    told = _said(shell, "--crop", "straw")
    assert [text.split()[0] for text in told] == ["set", "cut", "hung", "lost"]
    assert "sold 10 stems of L001 from the bucket to corner florist" in _said(shell, "--crop", "zin")


def test_of_a_bed_is_all_that_grew_there_and_what_was_said_of_it(shell: Shell) -> None:
    told = _said(shell, "--bed", "b1")
    assert len(told) == 6 and any("slugs" in text for text in told)
    assert not any("strawflower" in text or "L002" in text for text in told)


def test_by_a_word_and_by_whoever_wrote(shell: Shell) -> None:
    assert _said(shell, "--word", "FLORIST") == ["sold 10 stems of L001 from the bucket to corner florist"]
    assert len(_said(shell, "--by", "ml")) == 12
    status, out, _ = shell("entries", "--by", "zz")
    assert (status, out) == (0, "")


def test_questions_together_narrow_and_what_was_struck_is_marked(shell: Shell) -> None:
    (lost,) = shell.text("entries", "--kind", "lost", "--crop", "straw").splitlines()
    shell.text("strike", lost.split()[2])
    assert "(taken back)" in shell.text("entries", "--kind", "lost")


def test_a_crop_that_is_none_is_a_sentence(shell: Shell) -> None:
    status, out, err = shell("entries", "--crop", "xyz")
    assert (status, out) == (1, "") and err.count("\n") == 1 and "Traceback" not in err


def test_asking_loads_the_database_and_the_morning_does_not(shell: Shell) -> None:
    import subprocess
    import sys

    def loaded(*words: str) -> bool:
        args = ["--farm", str(shell.farm), "--on", "2026-06-23", *words]
        code = f"import sys; from tui.cli import main; main({args!r})"
        done = subprocess.run(
            [sys.executable, "-c", code + "; print('tinydb' in sys.modules)"],
            capture_output=True, text=True, check=True,
        )  # fmt: skip
        return done.stdout.splitlines()[-1] == "True"

    assert loaded("entries", "--kind", "cut") and loaded("history", "L001")
    assert not loaded("today") and not loaded("entries")


def test_a_corrected_entry_is_found_by_what_it_is_now_and_marked(shell: Shell) -> None:
    sale = next(e for e in _found(shell, "--kind", "sold"))
    shell.write(f"{sale['id'][-8:]} was to market hall")
    shell.write("L001 was 35")
    assert _said(shell, "--word", "market hall", "--kind", "sold") == [
        "sold 10 stems of L001 from the bucket to market hall  (corrected)"
    ]
    assert _found(shell, "--word", "corner florist", "--kind", "sold") == []
    cut = next(e for e in _found(shell, "--kind", "cut") if e["lot"] == "L001")
    assert (cut["stems"], cut["corrected"]) == (35, True)
    told = shell.text("history", "L001", most=140)
    assert "cut 35 zinnia from bed b1 for fresh: L001  (corrected)" in told
    assert "corrected cut L001: stems 35 (was stems 30)" in told


def test_what_cannot_be_corrected_is_refused_in_one_sentence_and_nothing_is_written(shell: Shell) -> None:
    status, out, err = shell("write", "L001", "was", "9")
    assert (status, out) == (1, "") and "sold 10 stems of L001" in err and "would no longer fit" in err
    assert _found(shell, "--kind", "correct") == []


def _found(shell: Shell, *asked: str) -> list[dict[str, Any]]:
    status, out, err = shell("entries", *asked, "--json")
    assert (status, err) == (0, "")
    return [json.loads(line) for line in out.splitlines()]


def test_what_was_taken_back_is_said_in_words_however_far_back_it_lies(shell: Shell) -> None:
    cut = shell("entries", "--kind", "cut")[1].splitlines()[-1].split()
    shell("cancel", cut[2])
    shown = shell("entries", "--since", shell.on)[1]
    assert f"taken back: {' '.join(cut[3:])}" in shown
    assert "taken back: cut" in shell("entries", "--kind", "strike")[1]
    shell("cancel", shell("entries", "--kind", "strike")[1].splitlines()[-1].split()[2])
    assert shell("entries", "--kind", "strike")[1].splitlines()[-1].split(maxsplit=3)[3] == (
        f"restored: {' '.join(cut[3:])}"
    )
