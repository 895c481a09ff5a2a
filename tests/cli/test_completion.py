"""A shell completes every verb and option there is; the page for man tells them."""

from __future__ import annotations

import os
import pty
import re
import select
import shutil
import signal
import subprocess
from pathlib import Path

import pytest

from tests.shell import Shell
from tui.completion import SHELLS
from tui.registry import commands


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    return Shell(tmp_path / "farm", capsys, "2026-06-23")


def completed(file: Path, *words: str) -> set[str]:
    """What bash offers for the last of these words."""
    asks = (
        f"source {file}; COMP_WORDS=({' '.join(words)}); COMP_CWORD={len(words) - 1}; "
        '_shtab_shedbook; printf "%s\\n" "${COMPREPLY[@]}"'
    )
    done = subprocess.run(["bash", "-c", asks], capture_output=True, text=True, check=True)
    return {line.strip() for line in done.stdout.splitlines() if line.strip()}


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_completes_verbs_options_and_what_they_may_be(shell: Shell, tmp_path: Path) -> None:
    status, text, err = shell("completion", "bash")
    assert (status, err) == (0, "")
    file = tmp_path / "shedbook"
    file.write_text(text)
    assert (
        {verb for verb in commands() if verb.startswith("ta")} == completed(file, "shedbook", "ta") != set()
    )
    assert completed(file, "shedbook", "labels", "x.pdf", "--s") == {"--sheet", "--start", "--shift"}
    assert completed(file, "shedbook", "takings", "--by", "o") == {"outlet"}
    assert "drying" in completed(file, "shedbook", "reckon", "dr")


UNIQUE = {
    "shedbook takin": "shedbook takings",
    "shedbook labels x.pdf --shi": "shedbook labels x.pdf --shift",
    "shedbook takings --by ou": "shedbook takings --by outlet",
    "shedbook reckon dry": "shedbook reckon drying",
    "shedbook --far": "shedbook --farm",
    "shedbook --farm fie": "shedbook --farm field/",
}
"""What is typed before a Tab, and what stands there after it."""


@pytest.mark.skipif(shutil.which("fish") is None, reason="no fish here")
def test_fish_completes_verbs_options_and_what_they_may_be(shell: Shell, tmp_path: Path) -> None:
    (tmp_path / "shedbook.fish").write_text(shell("completion", "fish")[1])
    (tmp_path / "field").mkdir()
    for typed, whole in UNIQUE.items():
        asks = f"source shedbook.fish; complete -C '{typed}'"
        done = subprocess.run(
            ["fish", "--no-config", "-c", asks], capture_output=True, text=True, check=True, cwd=tmp_path
        )
        offered = [line.partition("\t")[0] for line in done.stdout.splitlines()]
        assert offered == [whole.rpartition(" ")[2]], typed


@pytest.mark.skipif(shutil.which("zsh") is None, reason="no zsh here")
def test_zsh_completes_verbs_options_and_what_they_may_be(shell: Shell, tmp_path: Path) -> None:
    (tmp_path / "_shedbook").write_text(shell("completion", "zsh")[1])
    (tmp_path / "field").mkdir()
    (tmp_path / ".zshrc").write_text(
        f"PS1='ready> '; fpath=({tmp_path} $fpath); autoload -U compinit; compinit -u -D\n"
        f"tell() {{ print -r -- ${{BUFFER% }} >> {tmp_path}/told; BUFFER=; print -n TOLD }}\n"
        "zle -N tell; bindkey '^X^T' tell\n"
    )
    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(tmp_path)
        os.execvpe("zsh", ["zsh", "-i"], {**os.environ, "ZDOTDIR": str(tmp_path), "TERM": "dumb"})
    try:
        _until(terminal, b"ready> ")
        for typed in UNIQUE:
            os.write(terminal, f"{typed}\t\x18\x14".encode())
            _until(terminal, b"TOLD")
    finally:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        os.close(terminal)
    assert (tmp_path / "told").read_text().splitlines() == [*UNIQUE.values()]


def _until(terminal: int, text: bytes) -> None:
    said = b""
    while text not in said:
        assert select.select([terminal], [], [], 30)[0], said
        said += os.read(terminal, 1 << 16)


@pytest.mark.parametrize("name", SHELLS)
def test_every_verb_stands_in_every_file(shell: Shell, name: str) -> None:
    text = shell("completion", name)[1]
    assert [verb for verb in commands() if not re.search(rf"(?<![\w-]){verb}(?![\w-])", text)] == []
    assert "--dry-run" in text or "dry-run" in text


def test_the_page_for_man_tells_every_verb_and_is_read_without_a_warning(
    shell: Shell, tmp_path: Path
) -> None:
    status, text, err = shell("man")
    assert (status, err) == (0, "") and text.startswith(".TH SHEDBOOK 1")
    assert [verb for verb in commands() if f"\n.SS {verb}\n" not in text] == []
    assert "\\-\\-dry\\-run" in text
    if (groff := shutil.which("groff")) is not None:
        done = subprocess.run(
            [groff, "-man", "-Tutf8", "-ww"], input=text, capture_output=True, text=True, check=True
        )
        assert done.stderr == "" and "Labels or tags of lots" in done.stdout
