"""Real small, full and read-only disks, where this machine lets a test mount one."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from core.book import drafts
from core.book.book import Book
from core.book.entry import Entry
from core.problems import ShedbookError
from core.text import LONGEST_TYPED

from tests.farms import again, cut, log_of, shed

Mount = Callable[[str], Path]


@pytest.fixture
def mount(tmp_path: Path) -> Iterator[Mount]:
    """Mounts a disk in memory with the options given, or skips where that is not allowed."""
    places: list[Path] = []

    def mount(options: str) -> Path:
        place = tmp_path / f"disk{len(places)}"
        place.mkdir()
        done = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place)], capture_output=True, check=False
        )
        if done.returncode:
            pytest.skip("mounting is not permitted here")
        places.append(place)
        return place

    try:
        yield mount
    finally:
        for place in places:
            subprocess.run(["umount", "-l", str(place)], check=False)


def test_a_disk_that_fills_up_keeps_all_it_acknowledged(mount: Mount) -> None:
    disk = mount("size=128k")
    book = shed(disk)
    written: list[Entry] = []
    sentence = ""
    while not sentence and len(written) < 2000:
        try:
            written += book.append([cut(n, note="x" * 300) for n in range(3)], by="ml")
        except ShedbookError as full:
            sentence = full.problem.sentence
    assert sentence.startswith("The disk is full")
    assert 0 < len(written) < 2000
    assert again(book).entries() == written
    assert again(book).problems() == []
    with pytest.raises(ShedbookError, match="disk is full"):
        book.snapshot()
    assert again(book).entries() == written


def test_room_again_and_it_goes_on(mount: Mount) -> None:
    disk = mount("size=64k")
    book = shed(disk)
    written = book.append([cut(1)], by="ml")
    filler = disk / "filler"
    with pytest.raises(OSError, match="No space"), open(filler, "wb", buffering=0) as file:
        while True:
            file.write(b"x" * 4096)
    refused = 0
    for n in range(40):
        try:
            written += book.append([cut(n, note="y" * 300)], by="ml")
        except ShedbookError:
            refused += 1
    assert refused
    filler.unlink()
    written += book.append([cut(3)], by="ml")
    assert again(book).entries() == written
    assert again(book).problems() == []


def test_a_read_only_disk_is_read_and_said_so(mount: Mount) -> None:
    disk = mount("size=1m")
    book = shed(disk)
    written = book.append([cut(1)], by="ml")
    book.close()
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    fresh = again(book)
    assert fresh.entries() == written
    for act in (lambda: fresh.append([cut()], by="ml"), lambda: fresh.snapshot(force=True)):
        with pytest.raises(ShedbookError, match="read-only"):
            act()
    with pytest.raises(ShedbookError):
        Book.create(disk / "new", device="shed")
    assert fresh.entries() == written


def test_the_typed_line_is_kept_elsewhere_when_the_farm_cannot_take_it(
    mount: Mount, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    book = shed(mount("size=1m"))
    subprocess.run(["mount", "-o", "remount,ro", str(book.folder.parent)], check=True)
    place = drafts.keep(book.folder, "40 strawflower b3 dry")
    assert place is not None and (tmp_path / "state") in place.parents
    assert os.stat(place).st_mode & 0o077 == 0
    assert drafts.kept(book.folder) == "40 strawflower b3 dry"


class TestDrafts:
    def test_a_line_is_kept_until_it_is_forgotten(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
        book = shed(tmp_path)
        assert drafts.kept(book.folder) == ""
        assert drafts.keep(book.folder, "lost 6 mold L041") == book.folder / "draft"
        assert drafts.kept(book.folder) == "lost 6 mold L041"
        drafts.keep(book.folder, "")
        assert drafts.kept(book.folder) == ""
        assert not (book.folder / "draft").exists()

    def test_what_comes_back_is_safe_to_show(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
        book = shed(tmp_path)
        (book.folder / "draft").write_bytes(b"\x1b[2J40 straw\xff" + b"x" * 50_000)
        assert drafts.kept(book.folder).isprintable()
        assert len(drafts.kept(book.folder)) <= LONGEST_TYPED


def test_what_a_program_says_on_a_closed_stream_never_goes_into_a_log_or_the_lock(tmp_path: Path) -> None:
    """Without a standard stream its number is free, and the next file opened would get it."""
    book = shed(tmp_path)
    kept = book.append([cut(1)], by="ml")
    program = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from core.book.book import Book\n"
        "from core.book.entry import Draft\n"
        "book = Book.open(Path(sys.argv[1]), device='shed')\n"
        "for fd in (0, 1, 2):\n"
        "    try: os.close(fd)\n"
        "    except OSError: pass\n"
        "book.append([Draft('cut', '2026-06-23', {'stems': 2})], by='ml')\n"
        "for fd in (0, 1, 2):\n"
        "    try: os.write(fd, b'something went wrong')\n"
        "    except OSError: pass\n"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", program, str(book.folder)], cwd=root, check=False)
    assert done.returncode == 0
    found = again(book)
    assert [entry.fields["stems"] for entry in found.entries()] == [kept[0].fields["stems"], 2]
    assert found.problems() == [] and b"something" not in log_of(book).read_bytes()
    assert b"something" not in (book.folder / "lock").read_bytes()
