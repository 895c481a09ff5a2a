"""Reading needs no lock: on a disk that cannot be written or locked, or while another writes for long, she sees it all.

A sentence beside it says that nothing can be written; a line is refused in one sentence, soon.
"""

from __future__ import annotations

import errno
import fcntl
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import redirect_stdout
from io import BytesIO, TextIOWrapper
from pathlib import Path
from typing import Any

import pytest

from core.book.book import Book
from core.book.entry import Draft
from core.book.lock import Lock
from tests.cases import first_of
from tests.farm.every_kind import DAY, season
from tui.cli import main

pytestmark = pytest.mark.usefixtures("reckoned_once")

READING = (
    "today", "trays", "beds", "shelf", "buckets", "shed", "stock", "bench", "lot L001", "losses", "plan", "entries",
    "history L001", "check", "tonight", "weather", "restore", "crop strawflower", "since 2026-01-01",
)  # fmt: skip
ROOT = Path(__file__).parents[2]
HOLDER = "import fcntl, sys; f = open(sys.argv[1], 'r+'); fcntl.flock(f, fcntl.LOCK_EX); print(flush=True); input()"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("read") / "farm"
    book = Book.create(folder, device="shed")
    book.append([Draft(e.kind, e.on, e.fields) for e in season().entries], by="ml")
    return folder


@pytest.fixture
def farm(made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SHEDBOOK_DEVICE", "shed")
    assert Lock.__init__.__kwdefaults__ is not None
    monkeypatch.setitem(Lock.__init__.__kwdefaults__, "patience", 0.2)
    monkeypatch.setattr(Book.read_only, "__defaults__", (0.05,))
    shutil.copytree(made, tmp_path / "farm")
    return tmp_path / "farm"


def held(farm: Path, _: pytest.MonkeyPatch) -> Iterator[str]:
    """Another process has the lock and does not let go."""
    (farm / "lock").touch()
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(farm / "lock")], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdin is not None and other.stdout is not None
        other.stdout.readline()
        yield "The book is held by"
        other.stdin.close()


def _no_flock(number: int) -> Callable[[Path, pytest.MonkeyPatch], Iterator[str]]:
    def without_locks(_: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
        """The disk cannot lock files, as some network folders cannot."""

        def flock(*_: object) -> None:
            raise OSError(number, os.strerror(number))

        with monkeypatch.context() as patch:
            patch.setattr(fcntl, "flock", flock)
            yield "cannot lock files"

    return without_locks


def read_only(farm: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """Every call that would change the disk is refused, as on a disk mounted for reading."""
    real = os.open

    def refused(path: object, *_: Any, **__: Any) -> int:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS), str(path))

    def opened(path: Any, flags: int, *more: Any, **named: Any) -> int:
        writes = flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC)
        return (
            refused(path) if writes and str(path).startswith(str(farm)) else real(path, flags, *more, **named)
        )

    with monkeypatch.context() as patch:
        patch.setattr(os, "open", opened)
        for name in ("mkdir", "rename", "replace", "unlink", "utime"):
            patch.setattr(os, name, refused)
        yield "The disk is read-only"


WAYS = (held, _no_flock(errno.ENOLCK), _no_flock(errno.EOPNOTSUPP), _no_flock(errno.ENOSYS), read_only)
NAMES = ("held", "no locks", "locks not supported", "no such call", "read-only")


@pytest.fixture(params=WAYS, ids=NAMES)
def said(
    request: pytest.FixtureRequest,
    farm: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> Iterator[str]:
    """The farm cannot be written; what is said of it."""
    yield from request.param(farm, monkeypatch)


@pytest.fixture(scope="module")
def shown(made: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[int, str]]:
    """What every verb shows where all is well."""
    farm, found = tmp_path_factory.mktemp("well") / "farm", {}
    shutil.copytree(made, farm)
    for words in READING:
        with redirect_stdout(TextIOWrapper(BytesIO(), "utf-8")) as out:
            status = main(["--farm", str(farm), "--on", DAY.isoformat(), "--by", "ml", *words.split()])
            out.flush()
        found[words] = status, out.buffer.getvalue().decode()
    return found


def test_every_verb_shows_what_there_is_and_says_that_nothing_can_be_written(
    farm: Path, shown: dict[str, tuple[int, str]], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for words, before in shown.items():
        status = main(["--farm", str(farm), "--on", DAY.isoformat(), "--by", "ml", *words.split()])
        out, err = capsys.readouterr()
        assert (status, out) == before, words
        assert len([line for line in err.splitlines() if said in line]) == 1, (words, err)
        assert "Something went wrong" not in err


@pytest.mark.parametrize(
    "words", ["write 3 zinnia b2 fresh", "strike {id}", "merge {carried}", "restore 2026-07-01"]
)
def test_a_writing_is_refused_in_one_sentence_and_soon(
    farm: Path, made: Path, said: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    log = (made / "log" / "shed.log").read_bytes()
    carried = farm.parent / "carried"
    carried.write_bytes(log.replace(b"shed", b"shed"))
    last = log.rstrip(b"\n").rpartition(b"\n")[2][16:52].decode()
    begun = time.monotonic()
    status = main(
        [
            "--farm",
            str(farm),
            "--on",
            DAY.isoformat(),
            "--by",
            "ml",
            *words.format(id=last, carried=carried).split(),
        ]
    )
    out, err = capsys.readouterr()
    assert "Something went wrong" not in err and time.monotonic() - begun < 30
    if words.startswith(("write", "strike")):
        assert (status, out) == (1, "") and said.split(" is ")[0] in err and err.count("\n") == 1
        assert "othing was written" in err or "othing can be written" in err
    assert (farm / "log" / "shed.log").read_bytes() == log


@pytest.mark.parametrize("verb", first_of(["today", "stock", "check"], 1))
def test_on_a_disk_really_mounted_for_reading(farm: Path, verb: str) -> None:
    script = f"""
        mount --bind "$1" "$1" && mount -o remount,ro,bind "$1" || exit 99
        exec "$2" -m tui --farm "$1" --on {DAY} {verb}
    """
    run = ["unshare", "--mount", "sh", "-c", script, "sh", str(farm), sys.executable]
    plain = [sys.executable, "-m", "tui", "--farm", str(farm), "--on", str(DAY), verb]
    if shutil.which("unshare") is None:
        pytest.skip("no unshare here")
    done = subprocess.run(run, capture_output=True, text=True, check=False, cwd=ROOT)
    if done.returncode == 99 or "unshare" in done.stderr:
        pytest.skip("no mounts here")
    there = subprocess.run(plain, capture_output=True, text=True, check=False, cwd=ROOT)
    assert (done.returncode, done.stdout) == (there.returncode, there.stdout)
    assert done.stderr.count("\n") == 1 and "read-only" in done.stderr
