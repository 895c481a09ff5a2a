"""Whatever happens to the bytes of a log: the rest opens, the damage is told, and nothing is edited away."""

from __future__ import annotations

import io
import json
from datetime import date
from pathlib import Path
from zlib import crc32

import pytest
from core.book import repair
from core.book.audit import audit
from core.book.backup import backup
from core.book.entry import Entry
from core.book.lines import LONGEST_LINE, body_of, line_of
from core.book.merge import since
from core.session import Session
from hypothesis import given
from hypothesis import strategies as st

from tests.cases import cases, some_of
from tests.farms import again, cut, cuts, ids_of, log_of, shed, write


@pytest.fixture
def writings(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[bytes, list[Entry]]]:
    """What five writings put into a log, of one, three, two, one and one entries."""
    book = shed(tmp_path_factory.mktemp("model"))
    found = []
    for count in (1, 3, 2, 1, 1):
        begun = len(log_of(book).read_bytes()) if log_of(book).exists() else 0
        entries = book.append(cuts(count), by="ml")
        found.append((log_of(book).read_bytes()[begun:], entries))
    return found


@pytest.mark.part
def test_cut_at_every_byte_leaves_whole_writings_and_takes_new_ones(
    tmp_path: Path, writings: list[tuple[bytes, list[Entry]]]
) -> None:
    whole = b"".join(data for data, _ in writings)
    book = shed(tmp_path)
    ends = {0, *(sum(len(d) for d, _ in writings[:n]) for n in range(1, 6))}
    at_ends = {at for end in ends for at in (end - 1, end, end + 1)} & {*range(len(whole) + 1)}
    for at in sorted({*some_of(range(len(whole) + 1), 0), *at_ends}):
        log_of(book).write_bytes(whole[:at])
        expected: list[Entry] = []
        end = 0
        for data, entries in writings:
            end += len(data)
            if at >= end - 1:  # a line that only lost its newline is whole
                expected += entries
        fresh = again(book)
        assert fresh.entries() == expected, at
        told = fresh.remarks()
        assert bool(told) == (at not in ends and at + 1 not in ends), at
        assert fresh.problems() == []  # nobody was told that it is written: nothing is lost
        (after,) = fresh.append([cut(99)], by="ml", check=lambda news: None)
        assert fresh.entries_after(fresh.position()) == []
        later = again(book)
        assert later.entries() == [*expected, after], at
        assert log_of(book).read_bytes().startswith(whole[:at])  # nothing is edited away
        assert (later.remarks(), later.problems()) == (told, []), at


def test_the_damage_names_file_and_line_and_is_told_until_it_is_set_aside(tmp_path: Path) -> None:
    book = shed(tmp_path)
    kept = book.append([cut(1)], by="ml")
    book.append([cut(2)], by="ml")
    kept += book.append([cut(3)], by="ml")
    lines = log_of(book).read_bytes().splitlines(keepends=True)
    log_of(book).write_bytes(lines[0] + lines[1].replace(b"strawflower", b"strawflowex") + lines[2])
    fresh = again(book)
    assert fresh.entries() == kept
    (problem,) = fresh.problems()
    assert "log/shed.log line 2" in problem.sentence and problem.code == "damaged"
    assert not (book.folder / "log" / "shed.set-aside").exists()  # reading changes nothing
    assert repair.repair(fresh).written_back == 0
    (record,) = map(json.loads, (book.folder / "log" / "shed.set-aside").read_text().splitlines())
    assert record["line"] == 2 and bytes.fromhex(record["hex"]) + b"\n" == lines[1].replace(
        b"flower", b"flowex"
    )
    later = again(book)
    assert later.entries() == kept and later.problems() == []
    assert b"strawflowex" in log_of(book).read_bytes()


def test_an_entry_damaged_in_the_log_comes_back_from_the_snapshot(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(3), by="ml")
    book.snapshot()
    data = bytearray(log_of(book).read_bytes())
    data[300] ^= 4
    log_of(book).write_bytes(data)
    fresh = again(book)
    assert fresh.entries() == written
    assert any("brought back from book.json" in p.sentence for p in fresh.problems())
    assert repair.repair(fresh).written_back > 0
    later = again(book)
    assert later.entries() == written and later.problems() == []


def test_a_lost_line_ending_loses_no_entry(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = [
        *book.append([cut(1)], by="ml"),
        *book.append(cuts(2), by="ml"),
        *book.append([cut(2)], by="ml"),
    ]
    whole = log_of(book).read_bytes()
    for at, byte in enumerate(whole):
        if byte == 0x0A and at + 1 < len(whole):
            for bit in range(8):
                log_of(book).write_bytes(whole[:at] + bytes([byte ^ 1 << bit]) + whole[at + 1 :])
                fresh = again(book)
                assert fresh.entries() == written
                assert fresh.problems()


def test_lines_written_twice_count_once(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(4), by="ml")
    log_of(book).write_bytes(log_of(book).read_bytes() * 3)
    assert again(book).entries() == written
    assert len(audit(again(book))) >= 8
    repair.repair(again(book))
    assert again(book).entries() == written and audit(again(book)) == []
    assert len((book.folder / "log" / "shed.set-aside").read_text().splitlines()) == 8


def test_a_log_of_mostly_damage_is_told_in_a_few_lines(tmp_path: Path) -> None:
    book = shed(tmp_path)
    (kept,) = book.append([cut(1)], by="ml")
    with open(log_of(book), "ab") as log:
        log.write(b"rubbish\n" * 30_000)
    (after,) = again(book).append([cut(2)], by="ml")
    fresh = again(book)
    assert fresh.entries() == [kept, after]
    told = fresh.problems()
    assert len(told) == 51 and "29950 more lines" in told[-1].sentence
    assert "line 51 " in told[49].sentence


def test_two_different_lines_of_one_id_are_a_matter_to_settle_and_the_repair_sets_the_other_aside(
    tmp_path: Path,
) -> None:
    book, other = shed(tmp_path / "a"), shed(tmp_path / "b")
    first, second = book.append([cut(5)], by="ml") + book.append([cut(6)], by="ml")
    twin = line_of(body_of({**first.as_dict(), "stems": 50}))
    log_of(other, "net").write_bytes(twin)
    whole = log_of(book).read_bytes()
    log_of(other).write_bytes(whole.replace(b"\n", b"", 1))  # and they ran together
    for name in ("net", "shed"):
        log_of(other, name).chmod(0o600)
    fresh = again(other)
    counted, _ = fresh.entries()
    assert counted.fields["stems"] == 50  # the log named first, on every machine alike
    (told,) = [p for p in fresh.problems() if p.code == "settle"]
    assert told.entry == first.id and "--repair" in told.sentence
    repair.repair(again(other))
    later = again(other)
    assert [e.fields["stems"] for e in later.entries()] == [50, 6] and audit(later) == []
    assert log_of(other).read_bytes() == whole.replace(b"\n", b"", 1)  # nothing of it is edited away
    (aside,) = [
        json.loads(line) for line in (other.folder / "log" / "shed.set-aside").read_text().splitlines()
    ]
    assert '"stems":5' in bytes.fromhex(aside["hex"]).decode() and "counts" in aside["reason"]
    log_of(other, "net").write_bytes(twin + line_of(body_of({**second.as_dict(), "stems": 60})))
    told = [p.entry for p in audit(again(other)) if p.code == "settle"]
    assert told == [second.id]  # another is told anew


def test_a_giant_without_a_line_end_is_told_and_the_rest_opens(tmp_path: Path) -> None:
    book = shed(tmp_path)
    before = book.append([cut(1)], by="ml")
    with open(log_of(book), "ab") as log:
        log.write(b"\x07" * 3_000_000)
    after = again(book).append([cut(2)], by="ml")
    fresh = again(book)
    assert fresh.entries() == [*before, *after]
    (problem,) = fresh.problems()
    assert "line 2" in problem.sentence
    fresh.set_aside()
    assert (book.folder / "log" / "shed.set-aside").stat().st_size < 10 * LONGEST_LINE
    assert again(book).entries() == [*before, *after]


@given(st.data())
@cases(150)
def test_flipped_swapped_and_missing_bytes_cost_only_the_lines_they_are_in(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    book = shed(tmp_path_factory.mktemp("flip"))
    by_line: list[Entry] = []
    for n in range(6):
        by_line += book.append([cut(n)], by="ml")
    lines = log_of(book).read_bytes().splitlines(keepends=True)
    hurt = data.draw(st.sets(st.integers(0, 5), max_size=3))
    for n in hurt:
        line = bytearray(lines[n][:-1])
        how = data.draw(st.sampled_from(["flip", "cut", "swap", "zero", "add"]))
        at = data.draw(st.integers(0, len(line) - 2))
        if how == "flip":
            line[at] ^= 1 << data.draw(st.integers(0, 7))
        elif how == "cut":
            del line[at : at + data.draw(st.integers(1, 50))]
        elif how == "swap":
            line[at], line[at + 1] = line[at + 1], line[at]
        elif how == "zero":
            line[at : at + 20] = bytes(min(20, len(line) - at))
        else:
            line[at:at] = data.draw(st.binary(min_size=1, max_size=9))
        lines[n] = bytes(line) + b"\n"
    log_of(book).write_bytes(b"".join(lines))
    fresh = again(book)
    found = fresh.entries()
    assert all(entry in by_line for entry in found)  # nothing is invented
    assert ids_of(found) >= {entry.id for n, entry in enumerate(by_line) if n not in hurt}
    lost = len(by_line) - len(found)
    assert len(fresh.problems()) >= lost if lost else True
    after = fresh.append([cut(99)], by="ml")
    assert again(book).entries() == [*found, *after]


@given(st.binary(max_size=400))
@cases(100)
def test_any_bytes_at_all_in_a_log_are_opened(tmp_path_factory: pytest.TempPathFactory, junk: bytes) -> None:
    book = shed(tmp_path_factory.mktemp("junk"))
    log_of(book).write_bytes(junk)
    fresh = again(book)
    assert fresh.entries() == []
    assert bool(fresh.problems() or fresh.remarks()) == bool(junk.strip(b"\n"))
    if len(junk) > 8 and junk.strip(b"\0\n"):
        assert fresh.problems()
    written = fresh.append(cuts(2), by="ml")
    assert again(book).entries() == written


HEAD = b'{"id":"%b","on":"2026-06-23","at":"2026-06-23T07:00:00.000Z","by":"kk","kind":"note","text":'


@pytest.mark.parametrize(
    "odd",
    [
        rb'"\ud800"',
        rb'"a\u0000b"',
        b'"\xed\xa0\x80"',
        b'"\xc0\xaf"',
        b'"' + b"x" * 70_000 + b'"',
        b"NaN",
        b"-Infinity",
        b"1e999",
        b"9" * 30,
        b"9" * 5000,
        b"[" * 20 + b"]" * 20,
        b"[" * 990 + b"]" * 990,
        b'{"a":' * 20_000 + b"1" + b"}" * 20_000,
        b'"one","text":"two"',
        rb'"one","\udfff":1',
    ],
)
def test_a_line_no_reader_could_pass_on_is_set_aside_like_a_damaged_one(tmp_path: Path, odd: bytes) -> None:
    """Its checksum is right, and it lies in a log of ours: all else goes on, reading, writing, backing up."""
    book = shed(tmp_path)
    (before,) = book.append([cut(1)], by="ml")
    body = HEAD % b"019f0000-0000-7000-8000-00000000000a" + odd + b"}"
    for log in (log_of(book), log_of(book, "net")):
        with open(log, "ab") as file:
            file.write(b"%08x %b\n" % (crc32(body), body))
        log.chmod(0o600)
    here = again(book)
    assert here.entries() == [before]
    (after,) = here.append([cut(2)], by="ml", check=lambda _: None)
    assert again(book).entries() == [before, after]
    assert again(book).snapshot(force=True)
    assert len(backup(again(book), date(2026, 6, 23)).path.read_bytes()) > 100
    assert since(again(book), "2026-01-01", io.BytesIO()) == 2
    told = audit(again(book))
    assert [p.sentence[:22] for p in told] == ["log/net.log line 1 is ", "log/shed.log line 2 is"]
    repair.repair(again(book))
    assert audit(again(book)) == [] and again(book).entries() == [before, after]


@pytest.mark.parametrize("harm", ["cut in the middle of a line", "its end is zeros"])
def test_a_log_that_lost_its_end_while_the_snapshot_holds_more_takes_new_lines(
    tmp_path: Path, harm: str
) -> None:
    session = Session.create(tmp_path / "farm", by="ml")
    for line in ("farm zone UTC", "bed b1 50ft", "note a", "note b", "note c"):
        write(session, line)
    session.close()
    (log,) = (session.folder / "log").iterdir()
    whole = log.read_bytes()
    log.write_bytes(whole[: len(whole) // 2] if harm.startswith("cut") else whole[:-40] + bytes(40))
    for text in ("note new", "note newer"):
        again = Session.open(session.folder, by="ml")
        write(again, text)
        again.close()
    told = [
        str(e.fields.get("text")) for e in Session.open(session.folder, by="ml").entries() if e.kind == "note"
    ]
    assert told == ["a", "b", "c", "new", "newer"]
