"""`shedbook meet` from the shell: two programs, a transport between them that is run as ssh would be."""

from __future__ import annotations

import json
import os
import shlex
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from core.book.book import Book
from core.book.entry import Entry
from core.meeting.way import Way, address_of
from core.problems import Problem
from tests.shell import Shell

DAY = "2026-06-23"
TRANSPORT = Path(__file__).with_name("transport.py")
THERE = f"{shlex.quote(sys.executable)} -P -m tui"
FARM = {DAY: ("farm name Larch End", "farm zone UTC", "bed b1 50ft", "plant zinnia b1 25ft on 2026-05-20")}
AWAY = 'it\'s "my" farm; $(touch no) `touch no`'
"""A folder's name that a shell would make something of, were it not quoted."""


def via(*options: str) -> str:
    return shlex.join([sys.executable, str(TRANSPORT), *options])


def entries(folder: Path) -> list[Entry]:
    return Book.open(folder, device="who").entries()


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    """The netbook: a copy of the farm; the shed's folder has a name that wants quoting."""
    monkeypatch.setenv("SHEDBOOK_DEVICE", "shed")
    shed = Shell(tmp_path / AWAY, capsys, DAY).begin(FARM)
    shutil.copytree(shed.farm, tmp_path / "netbook")
    assert shed("write", "30", "zinnia", "b1", "fresh")[0] == 0
    monkeypatch.setenv("SHEDBOOK_DEVICE", "netbook")
    netbook = Shell(tmp_path / "netbook", capsys, DAY)
    netbook.write("low 41")
    netbook.write("20 zinnia b1 dry")
    return netbook


def meet(shell: Shell, *options: str, words: tuple[str, ...] = ()) -> tuple[int, str, str]:
    away = f"shed:{shell.farm.parent / AWAY}"
    return shell("meet", away, *words, "--via", via(*options), "--there", THERE)


def test_two_programs_meet_and_meet_again_without_being_told_where(shell: Shell, tmp_path: Path) -> None:
    assert meet(shell, "--greeting", "Welcome to the shed. ") == (
        0,
        "Met shed: 1 entry came here, 2 went there.\n",
        "",
    )
    assert entries(shell.farm) == entries(tmp_path / AWAY)
    assert (tmp_path / "netbook/log/shed.log").read_bytes() == (tmp_path / AWAY / "log/shed.log").read_bytes()
    assert [*tmp_path.glob("**/no")] == []
    shell.write("note slugs in b1")
    told = shell.json("meet")
    assert (told["came"], told["went"], told["whole"]) == (0, 1, True)
    assert entries(shell.farm) == entries(tmp_path / AWAY)


def test_today_tells_when_the_other_machine_was_met_last_and_what_is_new(shell: Shell) -> None:
    meet(shell)
    (met,) = shell.farm.glob("*.met.json")
    for on, written, says in (
        (DAY, 0, ""),
        ("2026-06-22", 0, ""),
        ("2026-06-21", 0, "meet shed: last met 2 days ago, 1 came then"),
        (DAY, 1, ""),
        ("2026-06-22", 0, "meet shed: last met yesterday, 1 came then; 1 new here"),
        ("2026-06-22", 1, "meet shed: last met yesterday, 1 came then; 2 new here"),
        ("2026-03-01", 0, ""),
        ("2026-07-01", 0, ""),
        ("soon", 0, ""),
    ):
        told = json.loads(met.read_text())
        told["met"][0]["on"] = on
        met.write_text(json.dumps(told))
        for _ in range(written):
            shell.write("note slugs")
        today = shell.text("today")
        assert says in today and ("last met" in today) == bool(says), on
    for odd in ("[]", "{", '{"met":[{}]}', '{"met":[1]}', "null"):
        met.write_text(odd)
        assert "last met" not in shell.text("today")


def test_what_it_says_where_nothing_comes_of_it(shell: Shell, tmp_path: Path) -> None:
    before = entries(shell.farm)
    for words, says in (
        (("meet",), "No other machine was met from here yet"),
        (("meet", "../farm"), "is a folder here"),
        (("meet", "shed:x", "--via", via(), "--there", THERE), "shed says: There is no book in x"),
        (("meet", "shed:x", "--via", via(), "--there", "no-such-thing"), "There is no shedbook on shed"),
        (("meet", "shed:x", "--via", "/no/such/thing"), "cannot be run here"),
        (("meet", "shed:x", "--via", "'"), "has no end"),
    ):
        status, out, err = shell(*words)
        assert (status, out, err.count("\n")) == (1, "", 1) and says in err, (words, err)
    assert shell("meet", "--", "-oProxyCommand=touch no:farm")[0] == 1
    assert not [*tmp_path.glob("**/no")]
    assert entries(shell.farm) == before


def test_a_line_that_is_cut_or_garbled_says_what_is_safe_and_the_next_meeting_goes_on(
    shell: Shell, tmp_path: Path
) -> None:
    said = {entry.id for folder in ("netbook", AWAY) for entry in entries(tmp_path / folder)}
    for options in (("--back", "350"), ("--there", "600"), ("--garble", "250"), ("--back", "0")):
        status, _, err = meet(shell, *options)
        assert status == 1 and err.count("\n") == 1, err
        assert "cut" in err or "garbled" in err or "answered" in err or "not reach" in err
    assert meet(shell, "--delay", "0.01")[0] == 0
    assert entries(shell.farm) == entries(tmp_path / AWAY)
    assert {entry.id for entry in entries(shell.farm)} == said


@pytest.mark.long
def test_killed_in_the_middle_again_and_again(shell: Shell, tmp_path: Path) -> None:
    """Both sides are killed at once, at any instant, while both are written on."""
    away = f"shed:{tmp_path / AWAY}"
    command = [sys.executable, "-P", "-m", "tui", "--farm", str(shell.farm), "meet", away]
    command += ["--via", via(), "--there", THERE]
    said = set()
    for number in range(60):
        for folder, device in ((shell.farm, "netbook"), (tmp_path / AWAY, "shed")):
            os.environ["SHEDBOOK_DEVICE"] = device
            written = Shell(folder, shell._capsys, DAY).write(f"{20 + number % 9} zinnia b1 fresh")
            said |= {entry["id"] for entry in written["entries"]}
        os.environ["SHEDBOOK_DEVICE"] = "netbook"
        meeting = subprocess.Popen(command, start_new_session=True, stdout=-3, stderr=-3)
        time.sleep(0.2 + number % 20 * 0.06)
        os.killpg(meeting.pid, signal.SIGKILL)
        meeting.wait()
    assert meet(shell)[0] == 0
    here, there = entries(shell.farm), entries(tmp_path / AWAY)
    assert here == there and said <= {entry.id for entry in here}
    assert len({entry.id for entry in here}) == len(here)
    assert shell("check")[0] == 0


class TestTheWayThere:
    @pytest.mark.parametrize(
        "text",
        [
            "-oProxyCommand=x",
            "-oProxyCommand=x:farm",
            "ml@-x:farm",
            "",
            ":farm",
            "a b:farm",
            "a;b",
            "$(x):farm",
            "@x",
        ],
    )
    def test_what_ssh_or_a_shell_would_take_for_something_else_is_no_host(self, text: str) -> None:
        assert isinstance(address_of(text), Problem)

    @pytest.mark.parametrize(
        ("text", "host", "farm"),
        [
            ("shed", "shed", ""),
            ("shed:farm", "shed", "farm"),
            ("ml@shed.lan:~/my farm", "ml@shed.lan", "my farm"),
            ("[fe80::1%eth0]:/srv/farm", "[fe80::1%eth0]", "/srv/farm"),
            ("10.0.0.7:a:b", "10.0.0.7", "a:b"),
        ],
    )
    def test_an_address(self, text: str, host: str, farm: str) -> None:
        assert address_of(text) == (host, farm)

    @pytest.mark.parametrize(
        "farm", ["a b", "a'b", 'a"b', "$(x)", "`x`", "-x", "a;b|c&d>e", "*", "\\", "~x", "!x"]
    )
    def test_the_folder_comes_through_a_shell_as_it_is(self, farm: str) -> None:
        address = address_of(f"shed:{farm}")
        assert not isinstance(address, Problem)
        command = Way(address, via="way", there="'my shed'/book").command()
        assert not isinstance(command, Problem)
        assert command[:2] == ["way", "shed"]
        argument = "printf '%s\\n' " + " ".join(command[2:])
        through = subprocess.run(["sh", "-c", argument], capture_output=True, text=True, check=True).stdout
        assert through.splitlines() == ["my shed/book", f"--farm={farm}", "meet", "--answer"]

    def test_ssh_is_told_to_notice_a_dead_line_and_never_to_ask_where_nobody_is(self) -> None:
        address = address_of("ml@shed:farm")
        assert not isinstance(address, Problem)
        command = Way(address).command()
        assert not isinstance(command, Problem)
        assert "BatchMode=yes" in command and command[command.index("ml@shed") :] == [
            "ml@shed", "shedbook", "--farm=farm", "meet", "--answer",
        ]  # fmt: skip
        asking = Way(address, asks=True).command()
        assert "BatchMode=yes" not in asking

    @pytest.mark.parametrize(
        ("status", "told", "says"),
        [
            (
                255,
                "ssh: Could not resolve hostname shed: Name or service not known",
                "No machine called shed",
            ),
            (255, "ssh: connect to host shed port 22: No route to host", "cannot be reached"),
            (255, "ssh: connect to host shed port 22: Connection timed out", "cannot be reached"),
            (255, "ssh: connect to host shed port 22: Connection refused", "lets nobody in"),
            (
                255,
                "No ED25519 host key is known for shed.\nHost key verification failed.",
                "does not know shed yet",
            ),
            (
                255,
                "@ REMOTE HOST IDENTIFICATION HAS CHANGED! @\nHost key verification failed.",
                "another machine",
            ),
            (255, "ml@shed: Permission denied (publickey,password).", "did not let you in"),
            (255, "kex_exchange_identification: Connection closed by remote host", "was closed"),
            (255, "something new", "ssh could not reach shed: something new"),
            (127, "sh: 1: shedbook: not found", "no shedbook on shed"),
            (2, "shedbook: error: argument VERB: invalid choice: 'meet'", "older than this one"),
            (1, "Traceback\nboom", "No shedbook answered on shed: boom"),
        ],
    )
    def test_why_nobody_answered_is_said_in_a_sentence(
        self, shell: Shell, tmp_path: Path, status: int, told: str, says: str
    ) -> None:
        script = tmp_path / "way"
        script.write_text(f"#!/bin/sh\nprintf '%s\\n' {shlex.quote(told)} >&2\nexit {status}\n")
        script.chmod(0o700)
        status, out, err = shell("meet", "shed:farm", "--via", str(script))
        assert (status, out, err.count("\n")) == (1, "", 1) and says in err, err


@pytest.mark.skipif(shutil.which("sshd") is None, reason="no sshd is installed here")
def test_over_a_real_ssh(shell: Shell, tmp_path: Path) -> None:
    """A server of its own on a port of this machine, with keys made for it."""
    keys = tmp_path / "keys"
    keys.mkdir(mode=0o700)
    for name in ("server", "hers"):
        subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", str(keys / name)], check=True)
    shutil.copy(keys / "hers.pub", keys / "authorized")
    port = 20_000 + os.getpid() % 20_000
    server = subprocess.Popen(
        [str(shutil.which("sshd")), "-D", "-e", "-f", "/dev/null", "-p", str(port), "-h", str(keys / "server"),
         *("-o", "ListenAddress=127.0.0.1", "-o", f"AuthorizedKeysFile={keys / 'authorized'}", "-o", "UsePAM=no"),
         *("-o", "StrictModes=no", "-o", "PidFile=none", "-o", "PermitUserEnvironment=no")],
        stderr=subprocess.PIPE,
    )  # fmt: skip
    try:
        assert server.stderr is not None
        if b"listening" not in (said := server.stderr.readline()):
            pytest.skip(f"sshd does not run here: {said.decode()}")
        known = f"UserKnownHostsFile={keys / 'known'}"
        ssh = ["ssh", "-p", str(port), "-i", str(keys / "hers"), "-o", known, "-o", "BatchMode=yes"]
        there = f"env SHEDBOOK_DEVICE=shed PYTHONPATH={Path.cwd()} {THERE}"
        away = f"127.0.0.1:{tmp_path / AWAY}"
        status, _, err = shell("meet", away, "--via", shlex.join(ssh), "--there", there)
        assert status == 1 and "does not know 127.0.0.1 yet" in err
        ssh += ["-o", "StrictHostKeyChecking=accept-new"]
        status, out, err = shell("meet", away, "--via", shlex.join(ssh), "--there", there)
        assert (status, err) == (0, "") and "1 entry came here, 2 went there" in out
        assert entries(shell.farm) == entries(tmp_path / AWAY)
    finally:
        server.terminate()
        server.wait()
