"""An open screen hears of what others write, within two seconds and without a key."""

from __future__ import annotations

import asyncio
import os
import select
import shutil
from pathlib import Path

import pytest
from core.book.book import Book
from core.book.follow import POLL_SECONDS, Follower, Poller, follow

from tests.farms import again, cut, log_of, shed


@pytest.fixture(params=["best", "polling"])
def follower(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Book, Follower]:
    book = shed(tmp_path)
    made = follow(book.folder) if request.param == "best" else Poller(book.folder / "log")
    request.addfinalizer(made.close)
    return book, made


def waits(follower: Follower) -> bool:
    """Whether something is told in time."""
    if follower.needs_polling:
        return follower.drain()
    ready, _, _ = select.select([follower.fileno()], [], [], 60)
    return bool(ready) and follower.drain()


def test_each_way_of_changing_a_log_is_told(follower: tuple[Book, Follower], tmp_path: Path) -> None:
    book, tells = follower
    assert not tells.drain()
    again(book).append([cut(1)], by="kk")  # a log is made
    assert waits(tells)
    again(book).append([cut(2)], by="kk")
    assert waits(tells)
    assert not tells.drain()
    (tmp_path / "carried").write_bytes(log_of(book).read_bytes() * 2)
    os.replace(tmp_path / "carried", log_of(book, "net"))  # a file copier puts another machine's log there
    assert waits(tells)
    log_of(book, "net").unlink()
    assert waits(tells)
    assert not tells.drain()


def test_a_farm_put_back_from_a_copy_is_still_followed(
    follower: tuple[Book, Follower], tmp_path: Path
) -> None:
    book, tells = follower
    book.append([cut(1)], by="ml")
    shutil.copytree(book.folder / "log", tmp_path / "copy")
    os.rename(book.folder / "log", tmp_path / "old")
    os.rename(tmp_path / "copy", book.folder / "log")
    while tells.drain():
        pass
    again(book).append([cut(2)], by="kk")
    assert waits(tells)


def test_reading_wakes_nobody(follower: tuple[Book, Follower]) -> None:
    book, tells = follower
    book.append([cut()], by="ml")
    tells.drain()
    again(book).entries()
    book.entries_after(book.position())
    assert not tells.drain()


async def test_it_fits_an_event_loop(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.entries()
    tells = follow(book.folder)
    if tells.needs_polling:
        pytest.skip("this system does not tell")
    heard = asyncio.Event()
    loop = asyncio.get_running_loop()
    loop.add_reader(tells.fileno(), heard.set)
    try:
        (new,) = again(book).append([cut(7)], by="kk")
        await asyncio.wait_for(heard.wait(), 60)
        assert tells.drain()
        assert book.entries_after(book.position()) == [new]
    finally:
        loop.remove_reader(tells.fileno())
        tells.close()


def test_polling_is_soon_enough_and_seldom(tmp_path: Path) -> None:
    assert 1 <= POLL_SECONDS < 2
    poller = Poller(tmp_path / "nowhere")
    for _ in range(100):
        assert not poller.drain()
    assert poller.fileno() == -1


def test_a_farm_without_logs_yet_is_followed(tmp_path: Path) -> None:
    book = shed(tmp_path)
    (book.folder / "log").rmdir()
    tells = follow(book.folder)
    book.append([cut()], by="ml")
    assert waits(tells)
    tells.close()
