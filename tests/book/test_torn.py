"""A writing cut off at any byte was never acknowledged: the next writer says so, and the book stays sound."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from zlib import crc32

import pytest
from core.book import repair
from core.book.audit import audit
from core.book.book import Book
from core.book.entry import Entry
from core.book.merge import merge
from core.problems import ShedbookError
from hypothesis import given
from hypothesis import strategies as st

from tests.farms import again, cut, cuts, ids_of, log_of, shed

from .test_kill import read_all, run_apart

NOTE = 'tied "loose" \\ {braces} ~cut off 12 for Zoë'


def steps(short: int) -> pytest.MarkDecorator:
    """At every byte in the long form; in the short one at every so many, the first dozen and those beside a newline."""
    every = [pytest.param(short, id="short"), pytest.param(1, id="at every byte", marks=pytest.mark.long)]
    return pytest.mark.parametrize("step", every)


def places(text: bytes, step: int, first: int = 0) -> list[int]:
    """Bytes of `text` from `first` on, by the step."""
    ends = {at + near for at, byte in enumerate(text) if byte == 0x0A for near in (-1, 0, 1)}
    some = {*range(first, len(text), step), *range(first, first + 12), *ends}
    return sorted(at for at in some if first <= at < len(text))


@pytest.fixture
def torn(tmp_path: Path) -> tuple[Book, list[Entry], bytes, bytes]:
    """(a book, what was acknowledged in it, its log then, a writing of three lines that came after)."""
    book = shed(tmp_path)
    kept = [*book.append([cut(1)], by="ml"), *book.append(cuts(2), by="ml")]
    before = log_of(book).read_bytes()
    book.append([cut(n, note=NOTE) for n in (7, 8, 9)], by="ml")
    return book, kept, before, log_of(book).read_bytes()[len(before) :]


def is_sound(book: Book, entries: list[Entry]) -> None:
    """Everything in `entries` is there, nothing else is, and the check of the record finds nothing."""
    fresh = again(book)
    assert fresh.entries() == entries
    assert [problem.sentence for problem in audit(fresh)] == []


@steps(13)
def test_a_writing_cut_at_any_byte_leaves_a_sound_book(
    torn: tuple[Book, list[Entry], bytes, bytes], step: int
) -> None:
    book, kept, before, writing = torn
    for at in places(writing[:-1], step, 1):  # the last byte is a newline: without it the writing is whole
        log_of(book).write_bytes(before + writing[:at])
        is_sound(book, kept)  # before anybody writes again
        assert len(again_read(book).remarks()) == 1, at
        (after,) = again(book).append([cut(99)], by="ml")
        is_sound(book, [*kept, after])
        (said,) = again_read(book).remarks()
        assert "log/shed.log line 4 was cut off before it was written" in said
        assert log_of(book).read_bytes().startswith(before + writing[:at])  # nothing is edited away
        for line in writing.splitlines():
            assert again(book).find(line[16:52].decode()) == [], "nor found by its id"
    assert again_read(book).remarks()
    repair.repair(again(book))
    assert again_read(book).remarks() == []  # set aside, and told no more


def again_read(book: Book) -> Book:
    fresh = again(book)
    fresh.entries()
    return fresh


@steps(9)
def test_a_single_line_cut_at_any_byte(tmp_path: Path, step: int) -> None:
    book = shed(tmp_path)
    kept = book.append([cut(1)], by="ml")
    before = log_of(book).read_bytes()
    book.append([cut(2, note=NOTE)], by="ml")
    line = log_of(book).read_bytes()[len(before) :]
    for at in places(line[:-1], step, 1):
        log_of(book).write_bytes(before + line[:at])
        (after,) = again(book).append([cut(99)], by="ml")
        is_sound(book, [*kept, after])


@steps(9)
def test_the_first_line_of_all_cut_off(tmp_path: Path, step: int) -> None:
    book = shed(tmp_path)
    book.append([cut(1)], by="ml")
    line = log_of(book).read_bytes()
    for at in places(line[:-1], step, 1):
        log_of(book).write_bytes(line[:at])
        is_sound(book, again(book).append([cut(99)], by="ml"))


@steps(40)
def test_the_writer_that_comes_next_may_be_stopped_at_any_byte_too(
    torn: tuple[Book, list[Entry], bytes, bytes], step: int
) -> None:
    book, kept, before, writing = torn
    ends = (3, 40, len(writing) // 2, writing.index(b"\n") + 1)
    for at in ends if step > 1 else (*ends, 8, 9, len(writing) // 3):
        log_of(book).write_bytes(before + writing[:at])
        again(book).append([cut(50)], by="ml")
        closed = log_of(book).read_bytes()
        for stop in places(closed[:-1], step, len(before) + at + 1):
            for zeros in (0, 5):
                log_of(book).write_bytes(closed[:stop] + bytes(zeros))
                (last,) = again(book).append([cut(51)], by="ml")
                is_sound(book, [*kept, last])


def test_a_writer_that_has_the_book_open_goes_on_after_the_torn_line_of_another(
    torn: tuple[Book, list[Entry], bytes, bytes],
) -> None:
    book, kept, before, writing = torn
    for at in range(1, len(writing) - 1, 29):
        log_of(book).write_bytes(before)
        open_since = again(book)
        seen = open_since.entries()
        log_of(book).write_bytes(before + writing[:at])
        (after,) = open_since.append([cut(99)], by="ml", check=lambda news: None)
        assert open_since.entries_after(open_since.position()) == []
        assert [*seen, after] == [*kept, after]
        is_sound(book, [*kept, after])


def test_another_process_goes_on_after_it(torn: tuple[Book, list[Entry], bytes, bytes]) -> None:
    book, kept, before, writing = torn
    log_of(book).write_bytes(before + writing[: len(writing) // 2])

    def work(pipe: int) -> None:
        (entry,) = Book.open(book.folder, device="shed").append([cut(99)], by="ml")
        os.write(pipe, entry.id.encode())

    child, pipe = run_apart(work)
    assert os.waitpid(child, 0)[1] == 0
    said = read_all(pipe).decode()
    fresh = again(book)
    assert ids_of(fresh.entries()) == {*ids_of(kept), said}
    assert audit(fresh) == []


LONG_ZEROS = pytest.param(5_000_000, marks=pytest.mark.long)  # as long as what a merge writes at a time


@pytest.mark.parametrize("zeros", [1, 7, 512, 4096, 300_000, LONG_ZEROS])
def test_a_power_cut_that_leaves_zeros(torn: tuple[Book, list[Entry], bytes, bytes], zeros: int) -> None:
    book, kept, before, writing = torn
    first = writing.index(b"\n")
    for at in {*range(0, len(writing) - 1, 61), first, first + 1, first + 2}:
        log_of(book).write_bytes(before + writing[:at] + bytes(zeros))
        is_sound(book, kept)
        (after,) = again(book).append([cut(99)], by="ml")
        is_sound(book, [*kept, after])


def test_a_whole_line_whose_newline_became_a_zero_counts(tmp_path: Path) -> None:
    book = shed(tmp_path)
    kept = book.append(cuts(2), by="ml")
    log_of(book).write_bytes(log_of(book).read_bytes()[:-1] + bytes(9))
    after = again(book).append([cut(3)], by="ml")
    is_sound(book, [*kept, *after])


def test_a_disk_that_fills_in_mid_line_and_does_not_take_it_back(
    torn: tuple[Book, list[Entry], bytes, bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    book, kept, before, _ = torn
    log_of(book).write_bytes(before)
    real = os.write

    def short(fd: int, data: bytes) -> int:
        if len(data) < 60:
            raise OSError(28, "No space left on device")
        return real(fd, bytes(data)[: len(data) // 2])

    def refuses(fd: int, length: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(os, "write", short)
    monkeypatch.setattr(os, "ftruncate", refuses)
    with pytest.raises(ShedbookError, match="may or may not"):
        again(book).append([cut(5)], by="ml")
    monkeypatch.undo()
    assert len(log_of(book).read_bytes()) > len(before)
    (after,) = again(book).append([cut(99)], by="ml")
    is_sound(book, [*kept, after])


def test_a_cut_off_merge_is_no_damage_either(tmp_path: Path) -> None:
    """What a merge adds goes into a log of its own, which can be cut off like any."""
    book = shed(tmp_path / "here")
    other = shed(tmp_path / "there")
    brought = other.append(cuts(3), by="kk")
    carried = tmp_path / "carried"
    carried.write_bytes(log_of(other).read_bytes())
    merge(book, carried)
    merged = log_of(book, "shed.merged")
    whole = merged.read_bytes()
    merged.write_bytes(whole[:-30])
    is_sound(book, brought[:2])
    merge(again(book), carried)
    is_sound(book, brought)


def test_another_machine_brings_a_log_with_a_cut_off_line_over_whole(
    torn: tuple[Book, list[Entry], bytes, bytes], tmp_path: Path
) -> None:
    book, kept, before, writing = torn
    log_of(book).write_bytes(before + writing[:90])
    (after,) = again(book).append([cut(99)], by="ml")
    home = Book.create(tmp_path / "home", device="home")
    done = merge(home, book.folder)
    assert (done.added, done.set_aside) == (4, [])
    assert log_of(home, "shed").read_bytes() == log_of(book).read_bytes()
    assert home.entries() == [*kept, after] and audit(home) == []


# what is damage stays damage


def closed(torn: tuple[Book, list[Entry], bytes, bytes], at: int) -> bytes:
    """The log after a line was cut off `at` that byte and another entry was written."""
    book, _, before, writing = torn
    log_of(book).write_bytes(before + writing[:at])
    again(book).append([cut(99)], by="ml")
    return log_of(book).read_bytes()


@steps(7)
@pytest.mark.parametrize("at", [5, 260])
def test_any_byte_changed_later_is_found(
    torn: tuple[Book, list[Entry], bytes, bytes], at: int, step: int
) -> None:
    book, _, before, _ = torn
    whole = closed(torn, at)
    for place in places(whole, step, 0 if step == 1 else len(before) - 30):
        for bit in (1, 0x20):
            changed = bytes([whole[place] ^ bit])
            log_of(book).write_bytes(whole[:place] + changed + whole[place + 1 :])
            assert audit(again(book)), (place, bit)


@pytest.mark.parametrize("at", [5, 100, 260])
def test_a_newline_lost_beside_it_loses_no_entry(
    torn: tuple[Book, list[Entry], bytes, bytes], at: int
) -> None:
    book, _, _, _ = torn
    whole = closed(torn, at)
    entries = again(book).entries()
    for place, byte in enumerate(whole):
        if byte == 0x0A:
            for lost in (b"", b"\x00", b"x"):
                log_of(book).write_bytes(whole[:place] + lost + whole[place + 1 :])
                fresh = again(book)
                assert ids_of(fresh.entries()) >= ids_of(entries) - ({entries[-1].id} if lost else set())
                (more,) = fresh.append([cut(100)], by="ml")
                assert again(book).entries() == [*entries, more], (place, lost)


Hurt = Callable[[bytes], bytes]


@pytest.mark.parametrize(
    "hurt",
    [
        lambda line: line[:-1] + b"x",
        lambda line: line[:30] + b"\x07" + line[31:60],
        lambda line: b"rubbish",
        lambda line: line[:40] + bytes(9) + line[40:60],
        lambda line: line[:50] + b"\xff\xfe" + line[50:60],
        lambda line: line[:20] + b"~cut off 20 00000000",
    ],
)
def test_an_end_that_no_writer_leaves_is_damage(tmp_path: Path, hurt: Hurt) -> None:
    book = shed(tmp_path)
    book.append([cut(1)], by="ml")
    before = log_of(book).read_bytes()
    book.append([cut(2)], by="ml")
    log_of(book).write_bytes(before + hurt(log_of(book).read_bytes()[len(before) :]))
    assert bool(audit(again(book))), "before the next writer"
    again(book).append([cut(99)], by="ml")
    assert bool(audit(again(book))), "after the next writer"


@given(st.binary(min_size=1, max_size=60), st.booleans())
def test_a_mark_that_does_not_fit_hides_nothing(
    tmp_path_factory: pytest.TempPathFactory, junk: bytes, fits: bool
) -> None:
    """A mark speaks for the bytes its checksum covers, and for no others."""
    book = shed(tmp_path_factory.mktemp("mark"))
    (kept,) = book.append([cut(1)], by="ml")
    junk = junk.replace(b"\n", b"") or b"x"
    crc = crc32(junk) if fits else crc32(junk) ^ 1
    with open(log_of(book), "ab") as log:
        log.write(junk + b"~cut off %d %08x\n" % (len(junk), crc))
    fresh = again_read(book)
    assert fresh.entries() == [kept]
    assert bool(fresh.problems()) != fits


def test_a_book_that_knows_no_marks_leaves_the_line_out(
    torn: tuple[Book, list[Entry], bytes, bytes],
) -> None:
    """As every shedbook reads a line whose checksum does not fit, and one that is no entry."""
    from core.book.lines import why_bad

    whole = closed(torn, 260)
    lines = whole.splitlines()
    assert [bool(why_bad(line)) for line in lines] == [False] * 4 + [True, False]
