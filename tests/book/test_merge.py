"""The netbook comes home: a merge is a union by id, whatever the order, and the other side is not trusted."""

from __future__ import annotations

import io
import itertools
import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from core.book import ids
from core.book import merge as merging
from core.book.audit import audit
from core.book.book import Book
from core.book.entry import Entry
from core.book.lines import LONGEST_LINE, body_of, line_of
from core.book.merge import Merged, merge, since
from core.book.repair import repair
from core.problems import Problem, ShedbookError
from hypothesis import given
from hypothesis import strategies as st

from tests.cases import cases
from tests.farms import FIRST_MS, again, cut, cuts, ids_of, log_of, shed


def netbook(folder: Path) -> Book:
    return Book.create(folder / "net", device="net")


def report_of(book: Book) -> Path:
    return book.folder / "log" / f"{book.device}.incoming.set-aside"


def flat(**more: Any) -> dict[str, Any]:
    return {
        "id": ids.uuid7(FIRST_MS, 7),
        "on": "2026-06-23",
        "at": ids.at_text(FIRST_MS),
        "by": "kk",
        "kind": "cut",
        "stems": 3,
        **more,
    }


class TestBringingHome:
    def test_what_the_netbook_wrote_comes_in_once(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        mine, theirs = book.append(cuts(3), by="ml"), net.append(cuts(2), by="kk")
        assert merge(book, net.folder) == Merged(2, 0, [])
        assert merge(book, net.folder) == Merged(0, 2, [])
        assert ids_of(again(book).entries()) == ids_of([*mine, *theirs])
        assert audit(again(book)) == []

    def test_a_machines_log_is_copied_on_as_a_file_copier_would(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        for _ in range(3):
            net.append(cuts(2), by="kk")
            os.utime(log_of(net), ns=(10**18, 10**18))
            merge(book, net.folder)
            assert log_of(book, "net").read_bytes() == log_of(net).read_bytes()
            assert log_of(book, "net").stat().st_mtime_ns == 10**18  # so `rsync -u` finds nothing newer here
        assert not log_of(book, "shed.merged").exists()

    def test_a_copy_that_stopped_in_the_middle_is_completed(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        written = net.append(cuts(3), by="kk")
        whole = log_of(net).read_bytes()
        log_of(book, "net").write_bytes(whole[:400])
        assert merge(book, net.folder).added == 3  # a writing of three counts whole or not at all
        assert log_of(book, "net").read_bytes() == whole
        assert again(book).entries() == written and again(book).problems() == []

    def test_a_folder_copied_home_by_hand_is_the_same_as_a_merge(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        book.append(cuts(3), by="ml")
        net.append(cuts(2), by="kk")
        shutil.copy(log_of(net), log_of(book, "net"))
        assert merge(book, net.folder) == Merged(0, 2, [])
        assert len(again(book).entries()) == 5

    def test_two_logs_of_one_name_that_went_apart(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        book.append(cuts(2), by="ml")
        shutil.copytree(book.folder, tmp_path / "clone")
        clone = Book.open(tmp_path / "clone", device="shed")
        here, there = book.append([cut(10)], by="ml"), clone.append([cut(20)], by="kk")
        before = log_of(book).read_bytes()
        assert merge(book, clone.folder) == Merged(1, 2, [])
        assert merge(clone, book.folder) == Merged(1, 3, [])
        assert log_of(book).read_bytes() == before  # the log itself is only appended to by its writer
        assert again(book).entries() == again(clone).entries()
        assert ids_of(again(book).entries()) >= ids_of([*here, *there])

    def test_an_open_screen_is_told_what_came(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        book.append(cuts(2), by="ml")
        screen = again(book)
        screen.entries()
        theirs = net.append(cuts(2), by="kk")
        merge(book, net.folder)
        assert screen.entries_after(screen.position()) == theirs
        merge(book, net.folder)
        assert screen.entries_after(screen.position()) == []

    def test_what_came_by_two_ways_is_told_once(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        book.append(cuts(2), by="ml")
        theirs = net.append(cuts(2), by="kk")
        carried = tmp_path / "carried"
        with open(carried, "wb") as file:
            since(net, "2026-06-01", file)
        merge(book, carried)
        screen = again(book)
        assert ids_of(screen.entries()) >= ids_of(theirs)
        shutil.copy(log_of(net), log_of(book, "net"))  # and now the whole log as well
        assert screen.entries_after(screen.position()) == []
        more = net.append([cut(9)], by="kk")
        merge(book, net.folder)
        assert screen.entries_after(screen.position()) == more

    def test_since_an_entry_or_a_day(self, tmp_path: Path) -> None:
        times = itertools.count(FIRST_MS, 86_400_000)
        net = Book.create(tmp_path / "net", device="net", clock=lambda: next(times))
        entries = [e for n in range(5) for e in net.append([cut(n)], by="kk")]
        stream = io.BytesIO()
        assert since(net, entries[2].id, stream) == 2
        assert since(net, "2026-06-23", io.BytesIO()) == 5
        assert since(net, "2026-06-26", io.BytesIO()) == 2  # dated the 23rd, written later
        (tmp_path / "mail").write_bytes(stream.getvalue())
        book = shed(tmp_path)
        assert merge(book, tmp_path / "mail") == Merged(2, 0, [])
        assert again(book).entries() == entries[3:]
        with pytest.raises(ShedbookError, match="no entry of this book and no day"):
            since(net, "yester\x1bday", io.BytesIO())

    def test_a_merge_that_a_full_disk_stops_goes_on_later(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        net.append(cuts(5), by="kk")
        with monkeypatch.context() as patch:
            patch.setattr(os, "write", lambda fd, data: (_ for _ in ()).throw(OSError(28, "No space left")))
            with pytest.raises(ShedbookError, match="disk is full"):
                merge(book, net.folder)
        assert merge(again(book), net.folder).added == 5
        assert len(again(book).entries()) == 5

    def test_what_stops_one_log_stops_no_other_and_what_came_in_is_said(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        net.append(cuts(5), by="kk")
        giant = log_of(net).with_name("zzz.log")
        giant.touch()
        os.truncate(giant, merging.LARGEST + 1)
        done = merge(book, net.folder)
        assert (done.added, done.set_aside) == (5, [])
        (problem,) = done.stopped
        assert "zzz.log" in problem.sentence
        assert len(again(book).entries()) == 5
        with pytest.raises(ShedbookError, match=r"zzz\.log"):
            merge(again(book), net.folder)  # nothing more comes of it

    def test_a_disk_that_fills_up_half_way_leaves_a_true_count(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        net.append(cuts(5), by="kk")
        house = Book.create(tmp_path / "house", device="house")
        house.append(cuts(7), by="jo")
        shutil.copy(log_of(house), log_of(net).with_name("house.log"))
        real = Book.copy_on

        def filling_up(self: Book, log: str, part: bytes, *, at: int) -> bool:
            if log == "net.log":
                raise ShedbookError(Problem("The disk is full; make room first.", "disk"))
            return real(self, log, part, at=at)

        with monkeypatch.context() as patch:
            patch.setattr(Book, "copy_on", filling_up)
            patch.setattr(
                Book, "adopt", lambda *_, **__: (_ for _ in ()).throw(ShedbookError(Problem("Full.", "disk")))
            )
            done = merge(book, net.folder)
        assert done.added == 7 == len(again(book).entries())
        assert [p.code for p in done.stopped] == ["disk", "disk"]
        assert merge(again(book), net.folder).added == 5


class TestTheOrderMakesNoDifference:
    @given(st.data())
    @cases(25)
    def test_union(self, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
        """Three machines write, merge in any order, by any transport; at the end all hold the same."""
        folder = tmp_path_factory.mktemp("union")
        names = ("shed", "net", "house")
        books = {name: Book.create(folder / name, device=name) for name in names}
        written: set[str] = set()
        for _ in range(data.draw(st.integers(1, 8))):
            name = data.draw(st.sampled_from(names))
            if data.draw(st.booleans()):
                written |= ids_of(books[name].append(cuts(data.draw(st.integers(1, 3))), by=name))
            else:
                self._carry(data, books[name], books[data.draw(st.sampled_from(names))], folder)
        for first, second in data.draw(st.permutations([*itertools.permutations(names, 2)])) * 2:
            self._carry(data, books[first], books[second], folder)
        found = [again(book).entries() for book in books.values()]
        assert found[0] == found[1] == found[2]
        assert ids_of(found[0]) == written
        assert all(audit(again(book)) == [] for book in books.values())

    @staticmethod
    def _carry(data: st.DataObject, here: Book, there: Book, folder: Path) -> None:
        how = data.draw(st.sampled_from(["folder", "log", "since"]))
        if how == "folder":
            assert merge(here, there.folder).set_aside == []
        elif how == "log":
            for log in (there.folder / "log").glob("*.log"):
                assert merge(here, log).set_aside == []
        else:
            with open(folder / "carried", "wb") as file:
                since(there, "2000-01-01", file)
            assert merge(here, folder / "carried").set_aside == []


class TestHostile:
    def a_log(self, tmp_path: Path, *flats: dict[str, Any], more: bytes = b"") -> Path:
        path = tmp_path / "carried"
        path.write_bytes(b"".join(line_of(body_of(f)) for f in flats) + more)
        return path

    @pytest.mark.parametrize(
        "change",
        [
            {"note": "\x1b[2J gone"},
            {"note": "\u202egnikcirt"},
            {"by": "k\x07"},
            {"kind": "cut\nlost"},
            {"crop\x1b": "x"},
            {"tags": [{"deep": "\x9b1m"}]},
            {"id": "../../etc/passwd"},
            {"id": "017f22e2-79b0-4cc3-98c4-dc0c0c07398f"},
            {"on": "2026-02-30"},
            {"on": "soon"},
            {"at": "2026-06-23T07:00:00Z"},
            {"at": "2026-13-23T07:00:00.000Z"},
            {"stems": 10**30},
            {"deep": [[[[[[[[[[[[1]]]]]]]]]]]]},
            {"note": "x" * LONGEST_LINE},
        ],
    )
    def test_an_unfit_entry_stays_out_and_is_told(self, tmp_path: Path, change: dict[str, Any]) -> None:
        book = shed(tmp_path)
        good = flat(id=ids.uuid7(FIRST_MS, 8))
        done = merge(book, self.a_log(tmp_path, flat(**change), good))
        assert (done.added, done.already, len(done.set_aside)) == (1, 0, 1)
        assert done.set_aside[0].sentence.isprintable()
        assert again(book).entries() == [Entry.from_dict(good)]
        assert "carried line 1:" in done.set_aside[0].sentence
        record = json.loads((book.folder / "log" / "shed.incoming.set-aside").read_text())
        assert record["text"].isprintable() and record["reason"].isprintable()

    def test_lines_are_checked_one_by_one(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        written = [e for n in range(4) for e in net.append([cut(n)], by="kk")]
        lines = log_of(net).read_bytes().splitlines(keepends=True)
        broken = [
            lines[0],
            lines[1].replace(b'"stems":1', b'"stems":9'),
            b"\x00\xff\n",
            lines[2],
            lines[3][:60],
        ]
        log_of(net).write_bytes(b"".join(broken))
        done = merge(book, net.folder)
        assert (done.added, len(done.set_aside)) == (2, 3)
        assert again(book).entries() == [written[0], written[2]]
        assert again(book).problems() == []  # their damage stays with them

    def test_the_schema_is_asked(self, tmp_path: Path) -> None:
        book = shed(tmp_path)

        def schema(entry: Entry) -> Problem | None:
            return Problem(f"{entry.kind} is no kind of entry.") if entry.kind == "sing" else None

        done = merge(book, self.a_log(tmp_path, flat(kind="sing"), flat(id=ids.uuid7(FIRST_MS, 8))), schema)
        assert done.added == 1 and "sing is no kind of entry" in done.set_aside[0].sentence

    def test_one_id_for_two_entries_is_to_settle_and_ours_stays(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        (mine,) = book.append([cut(5)], by="ml")
        other = self.a_log(tmp_path, {**mine.as_dict(), "stems": 500})
        for _ in range(2):
            done = merge(book, other)
            assert (done.added, done.already) == (0, 0)
            (problem,) = done.set_aside
            assert problem.code == "settle" and problem.entry == mine.id
        assert again(book).entries() == [mine]

    def test_not_a_number_is_no_number(self, tmp_path: Path) -> None:
        body = body_of(flat()).replace(b'"stems":3', b'"stems":NaN')
        done = merge(shed(tmp_path), self.a_log(tmp_path, more=line_of(body)))
        assert (done.added, len(done.set_aside)) == (0, 1)

    def test_bad_utf8_and_deep_json_and_half_pairs(self, tmp_path: Path) -> None:
        start = body_of(flat())[:-1]
        bodies = [
            start + b',"note":"\xff\xfe"}',
            start + b',"note":' + b"[" * 30_000 + b"]" * 30_000 + b"}",
            start + b',"note":"\\ud800"}',
            start + b',"n":' + b"9" * 5000 + b"}",
            start + b'},{"id":"x"}',
        ]
        done = merge(shed(tmp_path), self.a_log(tmp_path, more=b"".join(map(line_of, bodies))))
        assert (done.added, len(done.set_aside)) == (0, len(bodies))

    @given(st.binary(max_size=600))
    @cases(60)
    def test_any_bytes(self, tmp_path_factory: pytest.TempPathFactory, junk: bytes) -> None:
        folder = tmp_path_factory.mktemp("junk")
        book = shed(folder)
        done = merge(book, self.a_log(folder, flat(), more=junk))
        assert done.added == 1
        assert all(p.sentence.isprintable() for p in done.set_aside)

    def test_links_pipes_giants_and_nothing_are_refused(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        book = shed(tmp_path)
        target = self.a_log(tmp_path, flat())
        (tmp_path / "link").symlink_to(target)
        os.mkfifo(tmp_path / "pipe")
        for path, why in (
            (tmp_path / "link", "is a link"),
            (tmp_path / "pipe", "no plain file"),
            (Path("/dev/zero"), "no plain file"),
            (tmp_path / "nowhere", "There is no"),
        ):
            with pytest.raises(ShedbookError, match=why):
                merge(book, path)
        monkeypatch.setattr(merging, "LARGEST", 10)
        with pytest.raises(ShedbookError, match="larger than 10 bytes"):
            merge(book, target)
        assert again(book).entries() == []

    def test_links_inside_a_farm_are_passed_over(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        net.append([cut()], by="kk")
        (net.folder / "log" / "evil.log").symlink_to(self.a_log(tmp_path, flat()))
        assert merge(book, net.folder).added == 1
        other = Book.create(tmp_path / "other", device="house")
        (other.folder / "log").rmdir()
        (other.folder / "log").symlink_to(net.folder / "log")
        with pytest.raises(ShedbookError, match="no book"):
            merge(book, other.folder)

    def test_log_names_cannot_leave_the_folder_or_take_ours(self, tmp_path: Path) -> None:
        book, net = shed(tmp_path), netbook(tmp_path)
        mine = book.append([cut()], by="ml")
        theirs = net.append([cut(2)], by="kk")
        data = log_of(net).read_bytes()
        for name in ("shed", "..up", "shed.merged", "a\x1bb", "x" * 200):
            log_of(net, name).write_bytes(data)
        assert merge(book, net.folder).added == 1
        assert ids_of(again(book).entries()) == ids_of([*mine, *theirs])
        assert {p.name for p in (book.folder / "log").iterdir()} <= {"shed.log", "shed.merged.log", "net.log"}
        assert log_of(book).read_bytes().count(b"\n") == 1

    def test_a_newer_book_is_refused(self, tmp_path: Path) -> None:
        net = netbook(tmp_path)
        (net.folder / "farm.json").write_text('{"format":9}')
        with pytest.raises(ShedbookError, match="install the newer"):
            merge(shed(tmp_path), net.folder)

    def test_of_a_thousand_unfit_lines_every_one_is_recorded_and_once(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        unfit = [flat(id=ids.uuid7(FIRST_MS, n), on="soon") for n in range(500)]
        carried = self.a_log(tmp_path, *unfit, more=b"no entry\n" * 500)
        for _ in range(2):
            done = merge(book, carried)
            assert len(done.set_aside) == 201 and "800 more" in done.set_aside[-1].sentence
        records = [json.loads(line) for line in report_of(book).read_text().splitlines()]
        assert [record["line"] for record in records] == [*range(1, 1001)]
        assert {record["from"] for record in records} == {"carried"}
        assert {flat["id"] for flat in unfit} <= {json.loads(r["text"])["id"] for r in records[:500]}

    def test_of_a_log_that_is_none_the_rest_is_counted(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        done = merge(book, self.a_log(tmp_path, flat(), more=b"no entry\n" * 30_000))
        assert done.added == 1 and "29800 more" in done.set_aside[-1].sentence
        records = [json.loads(line) for line in report_of(book).read_text().splitlines()]
        assert sum(record["lines"] for record in records) == 30_000
        assert (records[-1]["line"], records[-1]["lines"]) == (20_002, 10_000)

    def test_check_tells_what_was_set_aside_until_it_is_filed(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        (mine,) = book.append([cut()], by="ml")
        good = flat(id=ids.uuid7(FIRST_MS, 8))
        carried = self.a_log(
            tmp_path, good, flat(on="soon"), {**mine.as_dict(), "stems": 7}, more=b"no\n" * 100
        )
        merge(book, carried)
        told = audit(again(book))
        assert "carried line 2 was set aside" in told[0].sentence and "check --repair" in told[0].sentence
        assert (told[1].code, told[1].entry) == ("settle", mine.id)
        assert len(told) == 51 and "52 more lines" in told[-1].sentence
        assert all(problem.sentence.isprintable() for problem in told)
        repair(again(book))
        assert audit(again(book)) == []
        merge(book, carried)
        assert audit(again(book)) == []  # seen to once, told no more
        merge(book, self.a_log(tmp_path, good, more=b"not again\n"))
        assert [p.sentence[:30] for p in audit(again(book))] == ["carried line 2 was set aside b"]
        assert len(report_of(book).read_text().splitlines()) == 104

    @pytest.mark.parametrize("sort", ["pipe", "link", "folder", "junk"])
    def test_a_report_that_is_none_harms_nothing(self, tmp_path: Path, sort: str) -> None:
        book = shed(tmp_path)
        path = report_of(book)
        path.parent.mkdir(exist_ok=True)
        target = tmp_path / "elsewhere"
        target.write_text("hers")
        if sort == "pipe":
            os.mkfifo(path)
        elif sort == "link":
            path.symlink_to(target)
        elif sort == "folder":
            path.mkdir()
        else:
            path.write_bytes(b'[1]\n{"from":{"a":1},"lines":"many"}\n\xff\x00\n' + b"[" * 50_000)
        if sort == "junk":
            merge(book, self.a_log(tmp_path, more=b"no entry\n"))
        else:
            done = merge(book, self.a_log(tmp_path, flat(), more=b"no entry\n"))
            assert (done.added, len(done.set_aside), len(done.stopped)) == (1, 1, 1)
        assert all(problem.sentence.isprintable() for problem in audit(again(book)))
        assert target.read_text() == "hers"


def test_a_long_merge_tells_how_far_it_is(tmp_path: Path) -> None:
    here, there = shed(tmp_path / "here"), shed(tmp_path / "there")
    for _ in range(3):
        there.append(cuts(3_000), by="kk")
    told: list[float] = []
    assert merge(here, there.folder, progress=told.append).added == 9_000
    assert told == sorted(told) and told[-1] == 1 and len(told) > 3


@pytest.mark.parametrize("text", ["a\x1b[2J", "a\x7f", "a\u202eb", "a\nb"])
def test_text_that_a_terminal_would_obey_stays_out_however_it_is_spelled(tmp_path: Path, text: str) -> None:
    here = shed(tmp_path / "here")
    flat = {**shed(tmp_path / "there").append(cuts(1), by="kk")[0].as_dict(), "note": text}
    for spelled in (body_of(flat), json.dumps(flat, separators=(",", ":")).encode()):
        path = tmp_path / "field.log"
        path.write_bytes(line_of(spelled))
        merged = merge(here, path)
        assert merged.added == 0 and "never writes" in merged.set_aside[0].sentence
