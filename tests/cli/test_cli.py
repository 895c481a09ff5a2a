"""The command line as other programs and a shell meet it: exit status, JSON, one sentence for what is refused."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.shell import Shell
from tui.cli import main

DAY = "2026-06-20"


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    sh = Shell(tmp_path / "farm", capsys, DAY).begin(
        {DAY: ["farm zone UTC", "last frost 14 may", "bed b3 50ft", "bed b4 30ft"]}
    )
    sh.write("plant strawflower b3 25ft", on="2026-04-01")
    return sh


def test_writing_answers_with_the_entries_and_the_lot(shell: Shell) -> None:
    written = shell.write("40 strawflower b3 dry")
    (entry,) = written["entries"]
    assert entry["kind"] == "cut" and entry["stems"] == 40 and entry["on"] == DAY and entry["by"] == "ml"
    assert len(entry["id"]) == 36 and entry["id"][14] == "7"  # a UUIDv7, RFC 9562
    assert written["lot"] == entry["lot"] == "L001"


def test_the_stock_as_json_has_the_fields_others_rely_on(shell: Shell) -> None:
    shell.write("40 strawflower b3 dry")
    shell.write("hang 30 L001 line 2 10s")
    rows = shell.json("stock", on="2026-06-25")["rows"]
    wanted = {"lot", "crop", "variety", "form", "unit", "on_hand", "cut_on", "age_days", "place"}
    assert all(wanted <= set(row) for row in rows)
    found = {(r["place"], r["form"], r["unit"], r["on_hand"], r["age_days"]) for r in rows}
    assert found == {("bucket", "fresh", "stems", 10, 5), ("line 2", "hanging", "stems", 30, 5)}


def test_the_beds_as_json(shell: Shell) -> None:
    rows = shell.json("beds")["rows"]
    assert [(r["bed"], r["feet"]) for r in rows] == [("b3", 50), ("b4", 30)]
    assert [p["crop"] for p in rows[0]["plantings"]] == ["strawflower"]


def test_every_verb_that_prints_takes_json(shell: Shell) -> None:
    shell.write("sow 72 zinnia")
    for verb in ("trays", "beds", "shelf", "stock"):
        assert isinstance(shell.json(verb)["rows"], list)
    assert shell.json("today")["day"] == DAY
    assert shell.json("crop", "strawfl")["crop"] == "strawflower"
    assert shell.json("restore")["rows"] != []  # a backup was made when the day's first line was written


def test_entries_as_json_are_one_a_line(shell: Shell) -> None:
    status, out, _ = shell("entries", "--json")
    lines = [json.loads(line) for line in out.splitlines()]
    assert status == 0 and [e["kind"] for e in lines] == ["set out", "farm", "frost", "bed", "bed"]
    status, out, _ = shell("entries", "--since", DAY, "--json")
    assert len(out.splitlines()) == 4


def test_check_of_a_sound_book(shell: Shell) -> None:
    assert shell.json("check") == {"ok": True, "entries": 5, "problems": [], "remarks": []}


def test_check_says_what_is_damaged_and_exits_with_1(shell: Shell) -> None:
    (log,) = (shell.farm / "log").glob("*.log")
    log.write_bytes(log.read_bytes().replace(b'"feet":50', b'"feet":51'))
    status, out, _ = shell("check", "--json")
    found = json.loads(out)
    assert status == 1 and not found["ok"] and "checksum" in found["problems"][0]["sentence"]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("40 strawflower b9 dry", "b3"),
        ("40 strwflower b3 dry", "strawflower"),
        ("lost 6 mold L009", "L009"),
        ("40 strawflower b3", "fresh, dry or wire"),
        ("low 34 on 2026-06-21", "to come"),
        ("40 celosia b4 dry", "celosia, crested"),
        ("", "Nothing is written"),
    ],
)
def test_a_refusal_is_one_sentence_and_exit_1_and_writes_nothing(shell: Shell, line: str, says: str) -> None:
    before = shell("entries")[1]
    status, out, err = shell("write", line)
    assert (status, out) == (1, "")
    assert says in err and err.count("\n") == 1
    assert shell("entries")[1] == before


def test_more_lost_than_there_is_says_how_many_there_are(shell: Shell) -> None:
    shell.write("40 strawflower b3 dry")
    status, _, err = shell("write", "lost 60 mold L001")
    assert status == 1 and "40 stems" in err


def test_strike_and_history(shell: Shell) -> None:
    entry = shell.write("40 strawflower b3 dry")["entries"][0]
    shell.write("hang")
    assert shell("strike", entry["id"])[0] == 1  # what hangs rests on it
    status, out, _ = shell("history", "l1")
    assert status == 0
    assert [line[26:].split()[0] for line in out.splitlines()] == ["set", "cut", "hung"]
    shell.write("undo")
    assert shell.json("strike", entry["id"])["entries"][0]["kind"] == "strike"
    assert shell.json("stock")["rows"] == []


def test_lines_from_standard_input_are_answered_one_by_one(
    shell: Shell, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = b"low 49 high 77\n\n40 strawflower b9 dry\n45 strawflower b3 dry\n"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(lines)))
    status, out, err = shell("write", "-")
    assert status == 1  # one of them was refused, the others are written
    assert len(out.splitlines()) == 4 and "Daisy family" in out and len(err.splitlines()) == 1


def test_a_netbook_comes_home(shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    away = tmp_path / "away"
    subprocess.run(["cp", "-r", str(shell.farm), str(away)], check=True)
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    lot = json.loads(_run(away, "write", "30 strawflower b3 fresh", "--json"))["lot"]
    assert lot != "L001"  # the netbook puts its own letter on new codes
    monkeypatch.delenv("SHEDBOOK_DEVICE")
    shell.write("40 strawflower b3 dry")
    merged = shell.json("merge", str(away))
    assert (merged["added"], merged["to_settle"]) == (1, [])
    assert shell.json("merge", str(away))["added"] == 0
    assert {r["lot"] for r in shell.json("stock")["rows"]} == {"L001", lot}


def _run(farm: Path, *args: str) -> str:
    command = [sys.executable, "-m", "tui", "--farm", str(farm), "--on", DAY, *args]
    return subprocess.run(command, capture_output=True, text=True, check=True).stdout


def test_both_machines_selling_the_same_bunch_is_shown_to_be_settled(
    shell: Shell, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shell.write("40 strawflower b3 fresh")
    away = tmp_path / "away"
    subprocess.run(["cp", "-r", str(shell.farm), str(away)], check=True)
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    _run(away, "write", "sold 30 L001")
    monkeypatch.delenv("SHEDBOOK_DEVICE")
    shell.write("sold 30 L001")
    (matter,) = shell.json("merge", str(away))["to_settle"]
    assert "20 more stems of L001" in matter["sentence"]
    assert "To settle" in shell("today")[1]


def test_reckon_dates_needs_no_farm(shell: Shell, tmp_path: Path) -> None:
    """Common practice, as the crop sheet says: strawflower the early way, last frost 15 May."""
    shell.farm = tmp_path / "nowhere"
    found = shell.json("reckon", "dates", "strawflower", "--last-frost", "2027-05-15", "--way", "early")
    windows = found["windows"]
    assert found["crop"] == "strawflower" and found["because"]
    assert windows["set_out"] == {"from": "2027-03-20", "to": "2027-04-03"}
    assert "2027-02-15" <= windows["sow"]["from"] <= windows["sow"]["to"] <= "2027-02-28"
    assert "2027-06-13" <= windows["first_cut"]["from"] <= windows["first_cut"]["to"] <= "2027-06-27"
    assert {"from", "to"} == set(windows["harden"])


def test_usage_errors_exit_with_2(shell: Shell) -> None:
    assert shell("sing")[0] == 2
    assert shell("reckon", "dates", "zinnia")[0] == 2
    status, _, err = shell("reckon", "dates", "zinnia", "statice", "--last-frost", "2027-05-15")
    assert status == 1 and "One crop at a time: zinnia and statice" in err
    assert shell("entries", "--since", "yesterday")[0] == 2
    assert shell("reckon")[0] == 2


def test_no_farm_is_one_sentence_that_says_what_to_do(shell: Shell, tmp_path: Path) -> None:
    shell.farm = tmp_path / "nowhere"
    status, out, err = shell("today")
    assert (status, out) == (1, "") and "shedbook new" in err


def test_options_stand_before_or_after_the_verb(shell: Shell, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["beds", "--farm", str(shell.farm), "--on", DAY]) == 0
    assert "strawflower" in capsys.readouterr().out


def test_the_screen_refuses_where_there_is_no_terminal(shell: Shell) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tui", "--farm", str(shell.farm)],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        timeout=120,
        check=False,
    )
    assert done.returncode == 1 and done.stdout == ""
    assert "needs a terminal" in done.stderr and done.stderr.count("\n") == 1


@pytest.mark.parametrize("locale", ["C", "en_US.ISO-8859-1", "C.UTF-8"])
def test_printing_survives_any_locale(shell: Shell, locale: str) -> None:
    shell.write("cut 40 straw b3 dry 'Crème Brûlée'")
    env = {
        **os.environ,
        "LC_ALL": locale,
        "LANG": locale,
        "PYTHONUTF8": "0",
        "PYTHONIOENCODING": "ascii:strict",
    }
    command = [sys.executable, "-m", "tui", "--farm", str(shell.farm), "--on", DAY, "stock"]
    done = subprocess.run(command, capture_output=True, env=env, timeout=120, check=False)
    assert done.returncode == 0 and b"strawflower" in done.stdout


def test_nothing_from_the_book_reaches_the_terminal_raw(shell: Shell) -> None:
    """A log from elsewhere may hold anything: a note with an escape sequence is defused when it is printed."""
    from core.book.lines import body_of, line_of

    evil = {
        "id": "01978a3c-0000-7000-8000-000000000001",
        "on": DAY,
        "at": f"{DAY}T05:00:00.000Z",
        "by": "xx",
        "kind": "note",
        "text": "\x1b]0;owned\x07\x1b[31mred",
    }
    (log,) = (shell.farm / "log").glob("*.log")
    with log.open("ab") as out:
        out.write(line_of(body_of(evil)))
    for verb in ("entries", "today", "check"):
        _, shown, err = shell(verb)
        assert "\x1b" not in shown + err and "\x07" not in shown + err
    assert "owned" in shell("entries")[1]


def test_an_unexpected_fault_leaves_a_log_and_one_sentence(
    shell: Shell, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("the roof fell in")

    monkeypatch.setattr("tui.subjects.beds.bed_rows", broken)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    status, out, err = shell("beds")
    assert (status, out) == (1, "") and err.count("\n") == 1 and "error.log" in err
    log = tmp_path / "state" / "shedbook" / "error.log"
    assert "the roof fell in" in log.read_text()
    assert log.stat().st_mode & 0o777 == 0o600 and log.parent.stat().st_mode & 0o777 == 0o700


def test_a_line_cut_off_by_a_kill_is_remarked_on_and_no_damage(shell: Shell) -> None:
    shell.write("bed b7 50ft")
    (log,) = (path for path in (shell.farm / "log").glob("*.log") if b'"b7"' in path.read_bytes())
    with log.open("ab") as file:
        file.write(b'5d41402a {"id":"01985c3a-0000-7000-8000-00000000000a","on":"2026-06-20","at":"2026')
    shell.write("bed b9 50ft")
    status, out, _ = shell("check")
    assert status == 0 and "all sound" in out
    assert "was cut off before it was written: nothing of it was acknowledged" in out
    assert shell.json("check")["ok"] and len(shell.json("check")["remarks"]) == 1
    assert shell("check", "--repair")[0] == 0
    assert "cut off" not in shell("check")[1]
