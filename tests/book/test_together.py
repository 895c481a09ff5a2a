"""Several processes of one machine write the same farm: nothing lost, one order, each told of the other."""

from __future__ import annotations

import os
import signal
import threading
from pathlib import Path

import pytest
from core.book.audit import audit
from core.book.book import Book
from core.book.entry import Entry
from core.book.lock import Lock
from core.book.merge import merge
from core.book.reader import Reader
from core.problems import Problem, ShedbookError

from tests.farms import again, cut, cuts, ids_of, log_of, shed

from .test_kill import read_all, run_apart


def write_together(folder: Path, processes: int, each: int) -> None:
    book = shed(folder)

    def work(pipe: int) -> None:
        mine = again(book)
        mine.be_patient(60)
        seen: set[str] = set()

        def take(news: list[Entry]) -> None:
            assert seen.isdisjoint(ids_of(news))
            seen.update(ids_of(news))

        for n in range(each):
            written = mine.append(cuts(2 if n % 10 == 0 else 1), by="ml", check=take)
            assert seen.isdisjoint(ids_of(written))
            seen.update(ids_of(written))
            os.write(pipe, b"".join(b"%b\n" % e.id.encode() for e in written))
            if n % 25 == 0:
                mine.snapshot()
        whole = ids_of(again(book).entries())
        take(mine.entries_after(mine.position()))
        assert whole <= seen  # it was told of all there was

    running = [run_apart(work) for _ in range(processes)]
    said: set[str] = set()
    readers = []
    results: list[bytes] = []
    for _, pipe in running:
        readers.append(threading.Thread(target=lambda p=pipe: results.append(read_all(p))))
        readers[-1].start()
    for reader in readers:
        reader.join()
    for child, _ in running:
        assert os.waitpid(child, 0)[1] == 0
    said = {text for result in results for text in result.decode().split()}
    found = again(book).entries()
    assert ids_of(found) == said
    assert len(found) == processes * (each + (each + 9) // 10)
    assert again(book).problems() == []
    fd = os.open(log_of(book), os.O_RDONLY)
    in_file = [flat["at"] for _, block in Reader(fd).blocks() for flat in block]
    os.close(fd)
    assert in_file == sorted(set(in_file))  # one order, which is also the log's


def test_four_processes_a_hundred_writings_each(tmp_path: Path) -> None:
    write_together(tmp_path, 4, 100)


@pytest.mark.long
def test_four_processes_a_thousand_writings_each(tmp_path: Path) -> None:
    write_together(tmp_path, 4, 1000)


def test_two_hands_cannot_sell_the_same_bunch(tmp_path: Path) -> None:
    """Each checks under the lock what the others just wrote: of twelve tries for five, five succeed."""
    book = shed(tmp_path)

    def work(pipe: int) -> None:
        mine = again(book)
        mine.be_patient(60)
        sold = 0

        def five_at_most(news: list[Entry]) -> Problem | None:
            nonlocal sold
            sold += len(news)
            return Problem("None is left; cut more first.", code="impossible") if sold >= 5 else None

        for _ in range(3):
            try:
                mine.append([cut(1)], by="ml", check=five_at_most)
                sold += 1
            except ShedbookError as refused:
                assert refused.problem.code == "impossible"

    running = [run_apart(work) for _ in range(4)]
    for child, pipe in running:
        read_all(pipe)
        assert os.waitpid(child, 0)[1] == 0
    assert len(again(book).entries()) == 5


def test_a_holder_that_does_not_let_go_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book = shed(tmp_path)
    monkeypatch.setattr("core.book.lock.PATIENCE", 0.05)
    book.be_patient(0.05)
    with Lock(book.folder / "lock"), pytest.raises(ShedbookError, match=f"process {os.getpid()}") as refused:
        book.append([cut()], by="ml")
    assert "nothing was written" in refused.value.problem.sentence
    assert book.append([cut()], by="ml")


def test_the_lock_of_a_dead_process_is_free(tmp_path: Path) -> None:
    book = shed(tmp_path)

    def hold_and_die(pipe: int) -> None:
        lock = Lock(book.folder / "lock")
        lock.__enter__()
        os.write(pipe, b"held")
        os.kill(os.getpid(), signal.SIGKILL)

    child, pipe = run_apart(hold_and_die)
    assert read_all(pipe) == b"held"
    os.waitpid(child, 0)
    assert book.append([cut()], by="ml")


def test_a_lock_file_put_back_from_a_copy_still_keeps_two_apart(tmp_path: Path) -> None:
    path = tmp_path / "lock"
    first, second = Lock(path, patience=0), Lock(path, patience=0)
    with first:
        pass
    path.unlink()
    with second, pytest.raises(ShedbookError):
        first.__enter__()
    with first, pytest.raises(ShedbookError):
        second.__enter__()


def test_a_lock_that_is_a_link_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text("precious")
    os.symlink(tmp_path / "elsewhere", tmp_path / "lock")
    with pytest.raises(ShedbookError, match="is a link"):
        Lock(tmp_path / "lock").__enter__()
    assert (tmp_path / "elsewhere").read_text() == "precious"


def test_a_child_does_not_share_its_parents_lock(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append([cut(1)], by="ml")
    book._lock.__enter__()
    held = True

    def try_it(pipe: int) -> None:
        fresh = Lock(book.folder / "lock", patience=0)
        os.write(pipe, b"taken" if fresh.take() else b"busy")

    try:
        child, pipe = run_apart(try_it)
        assert read_all(pipe) == b"busy"
        os.waitpid(child, 0)
    finally:
        book._lock.free()
        held = False
    assert not held

    def write(pipe: int) -> None:
        book.append([cut(2)], by="kk")  # the very object the parent made

    child, pipe = run_apart(write)
    read_all(pipe)
    assert os.waitpid(child, 0)[1] == 0
    book.append([cut(3)], by="ml")
    assert [e.fields["stems"] for e in Book.open(book.folder, device="shed").entries()] == [1, 2, 3]


def test_four_merges_of_one_file_at_once_bring_each_entry_once(tmp_path: Path) -> None:
    """By a carried file and by the netbook's own folder, all at the same time: nothing stands twice in a log."""
    book = shed(tmp_path)
    net = Book.create(tmp_path / "net", device="net")
    mine = book.append(cuts(5), by="ml")
    theirs = [entry for _ in range(300) for entry in net.append(cuts(3), by="kk")]
    carried = tmp_path / "carried"
    carried.write_bytes(log_of(net).read_bytes() + b"junk\n" * 3)

    def work(pipe: int) -> None:
        os.read(start, 1)  # all begin together
        done = [merge(again(book), other) for other in (carried, net.folder, carried)]
        os.write(pipe, b"%d " % sum(one.added for one in done))
        assert all(one.added + one.already >= len(theirs) for one in done)
        assert [len(one.set_aside) for one in done] == [3, 0, 3]

    start, begin = os.pipe()
    running = [run_apart(work) for _ in range(4)]
    os.write(begin, b"go!!")
    added = [int(number) for _, pipe in running for number in read_all(pipe).split()]
    assert [os.waitpid(child, 0)[1] for child, _ in running] == [0] * 4
    assert ids_of(again(book).entries()) == ids_of([*mine, *theirs])
    merged = log_of(book, "shed.merged")
    ids = [line[16:52] for line in merged.read_bytes().splitlines()] if merged.exists() else []
    assert len(ids) == len(set(ids))
    assert [p.sentence[:23] for p in audit(again(book))] == [
        f"carried line {n} was se" for n in (901, 902, 903)
    ]
    assert sum(added) >= len(theirs)
