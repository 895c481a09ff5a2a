"""Writing in a book and reading it back: what every caller leans on."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path
from zlib import crc32

import pytest
from core.book import ids
from core.book.book import Book, Replaced
from core.book.entry import Draft, Entry
from core.book.lines import body_of, line_of
from core.problems import Problem, ShedbookError
from hypothesis import given
from hypothesis import strategies as st

from tests.cases import cases
from tests.farms import FIRST_MS, again, cut, cuts, ids_of, log_of, shed


def test_what_is_written_is_read_back_by_a_program_started_anew(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(
        [cut(40), Draft("hung", "2026-06-22", {"lot": "L041", "note": "a ‘quoted’ “note”"})], by="ml"
    )
    assert [e.kind for e in written] == ["cut", "hung"]
    found = again(book).entries()
    assert [e.kind for e in found] == ["hung", "cut"]  # in the order of the days
    assert sorted(found, key=lambda e: e.id) == written


def test_a_line_is_a_checksum_and_the_entry_as_compact_json(tmp_path: Path) -> None:
    book = shed(tmp_path)
    (entry,) = book.append([cut(note="für Tür 3")], by="ml")
    line = log_of(book).read_bytes()
    assert line.endswith(b"\n") and line.count(b"\n") == 1
    checksum, body = line[:-1].split(b" ", 1)
    assert checksum == f"{crc32(body):08x}".encode()
    assert json.loads(body) == entry.as_dict()
    assert body == json.dumps(entry.as_dict(), ensure_ascii=False, separators=(",", ":")).encode()


def test_files_are_the_growers_alone(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append([cut()], by="ml")
    book.snapshot()
    for path in [book.folder, *book.folder.rglob("*")]:
        mode = stat.S_IMODE(path.stat().st_mode)
        assert mode == (0o700 if path.is_dir() else 0o600), path


def test_instants_and_ids_only_go_up_though_the_clock_goes_back_a_year(tmp_path: Path) -> None:
    times = iter([FIRST_MS, FIRST_MS - 365 * 86_400_000, FIRST_MS - 365 * 86_400_000, FIRST_MS + 5])
    book = Book.create(tmp_path / "farm", device="shed", clock=lambda: next(times))
    written = []
    for drafts in (cuts(3), cuts(1), cuts(2), cuts(1)):
        written += book.append(drafts, by="ml")
    assert [e.at for e in written] == sorted({e.at for e in written})
    assert [e.id for e in written] == sorted({e.id for e in written})
    assert all(ids.at_text(ids.ms_of(e.id)) == e.at for e in written)
    assert [e.fields["stems"] for e in again(book).entries()] == [0, 1, 2, 0, 0, 1, 0]


@pytest.mark.parametrize("strange", ["x" * 36, "ffffffff-ffff-7fff-bfff-ffffffffffff"])
def test_a_line_with_an_id_of_no_clock_does_not_stop_the_writing(tmp_path: Path, strange: str) -> None:
    book = shed(tmp_path)
    (first,) = book.append([cut(1)], by="ml")
    with open(log_of(book), "ab") as log:
        log.write(line_of(body_of({**first.as_dict(), "id": strange})))
    (second,) = again(book).append([cut(2)], by="ml")
    assert first.at < second.at < "9999"
    assert len(again(book).entries()) == 3


def test_a_clock_that_went_back_is_told_and_an_hour_is_not(tmp_path: Path) -> None:
    now = FIRST_MS
    book = Book.create(tmp_path / "farm", device="shed", clock=lambda: now)
    assert book.clock_problem() is None
    book.append([cut()], by="ml")
    now -= 3_000_000
    assert book.clock_problem() is None
    now -= 365 * 86_400_000
    problem = book.clock_problem()
    assert problem is not None and "says 2025-06-23 06:10 UTC" in problem.sentence
    assert "2026-06-23 07:00 UTC: set the clock" in problem.sentence


def test_a_program_started_anew_goes_on_from_the_last_instant(tmp_path: Path) -> None:
    book = Book.create(tmp_path / "farm", device="shed", clock=lambda: FIRST_MS)
    (first,) = book.append([cut()], by="ml")
    late = Book.open(book.folder, device="shed", clock=lambda: 0)
    (second,) = late.append([cut()], by="ml")
    assert second.at > first.at and second.id > first.id


LETTERS = st.characters(exclude_characters="\0", exclude_categories=["Cs"])


@given(
    st.dictionaries(
        st.text(LETTERS, min_size=1, max_size=8).filter(
            lambda name: name not in ("id", "on", "at", "by", "kind")
        ),
        st.recursive(
            st.none()
            | st.booleans()
            | st.integers(-(10**12), 10**12)
            | st.floats(allow_nan=False, allow_infinity=False)
            | st.text(LETTERS, max_size=20),
            lambda inner: (
                st.lists(inner, max_size=3) | st.dictionaries(st.text(LETTERS, max_size=5), inner, max_size=3)
            ),
            max_leaves=6,
        ),
        max_size=5,
    )
)
@cases(60)
def test_any_fields_of_json_come_back_as_they_were(
    tmp_path_factory: pytest.TempPathFactory, fields: dict[str, object]
) -> None:
    book = shed(tmp_path_factory.mktemp("any"))
    (entry,) = book.append([Draft("cut", "2026-06-23", fields)], by="ml")
    assert entry.fields == fields
    assert again(book).entries() == [entry]
    assert again(book).problems() == []


@pytest.mark.parametrize("odd", ["\ud800", "\0", 1 << 53, float("inf"), [[[[[[[[[[1]]]]]]]]]]])
def test_what_no_reader_would_take_is_not_written(tmp_path: Path, odd: object) -> None:
    book = shed(tmp_path)
    with pytest.raises(ShedbookError, match="cannot write"):
        book.append([Draft("cut", "2026-06-23", {"note": odd})], by="ml")
    assert again(book).entries() == [] and again(book).problems() == []


def test_a_writing_longer_than_a_reader_takes_together_is_refused_and_the_longest_comes_back(
    tmp_path: Path,
) -> None:
    """The entries of one writing count together or not at all, so a reader has to hold all of them."""
    book = shed(tmp_path)
    written = book.append(cuts(4_000), by="ml")
    with pytest.raises(ShedbookError, match="in several"):
        book.append(cuts(4_001), by="ml")
    assert again(book).entries() == written and again(book).problems() == []


def test_a_tuple_comes_back_as_others_will_read_it(tmp_path: Path) -> None:
    book = shed(tmp_path)
    (entry,) = book.append([cut(colours=("red", "white"))], by="ml")
    assert entry.fields["colours"] == ["red", "white"]
    assert again(book).entries() == [entry]


@pytest.mark.parametrize(
    "fields",
    [
        {"note": "half a \ud800 pair"},
        {"stems": float("nan")},
        {"what": {1, 2}},
        {"note": "x" * 70_000},
        {"at": "now"},
    ],
)
def test_what_cannot_be_written_is_refused_and_leaves_no_byte(
    tmp_path: Path, fields: dict[str, object]
) -> None:
    book = shed(tmp_path)
    (kept,) = book.append([cut()], by="ml")
    before = log_of(book).read_bytes()
    with pytest.raises(ShedbookError) as refused:
        book.append([cut(), Draft("cut", "2026-06-23", fields)], by="ml")
    assert refused.value.problem.sentence.endswith(".")
    assert log_of(book).read_bytes() == before
    assert again(book).entries() == [kept]


def test_check_hears_of_what_others_wrote_and_may_refuse(tmp_path: Path) -> None:
    book = shed(tmp_path)
    other = again(book)
    heard: list[list[Entry]] = []

    def refuse(news: list[Entry]) -> Problem | None:
        heard.append(news)
        return Problem("There are only 12 of them; enter 12 or fewer.", code="impossible") if news else None

    (first,) = book.append([cut(1)], by="ml", check=refuse)
    theirs = other.append([cut(2)], by="kk", check=lambda news: None)
    with pytest.raises(ShedbookError) as refused:
        book.append([cut(3)], by="ml", check=refuse)
    assert refused.value.problem.code == "impossible"
    (second,) = book.append([cut(4)], by="ml", check=refuse)
    assert heard == [[], theirs, []]
    assert again(book).entries() == [first, *theirs, second]


def test_the_position_moves_past_what_was_told_and_no_further(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.entries()
    other = again(book)
    (theirs,) = other.append([cut(1)], by="kk")
    (mine,) = book.append([cut(2)], by="ml")  # without a check: theirs was never told
    assert book.entries_after(book.position()) == [theirs, mine]
    book.append([cut(3)], by="ml", check=lambda news: None)
    assert book.entries_after(book.position()) == []
    assert again(book).entries_after(json.loads(json.dumps(book.position()))) == []


def test_after_nothing_stands_everything(tmp_path: Path) -> None:
    book = shed(tmp_path)
    written = book.append(cuts(3), by="ml")
    assert again(book).entries_after({}) == written


def test_entries_after_a_mark_are_only_the_new_ones_of_every_machine(tmp_path: Path) -> None:
    book = shed(tmp_path)
    net = Book.open(book.folder, device="net")
    book.append(cuts(3), by="ml")
    net.append(cuts(2), by="kk")
    book.entries()
    mark = book.position()
    new = [*book.append([cut(7)], by="ml"), *net.append([cut(8)], by="kk")]
    assert ids_of(again(book).entries_after(mark)) == ids_of(new)


def test_a_log_that_shrank_or_was_replaced_is_told(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(3), by="ml")
    book.entries()
    mark = book.position()
    whole = log_of(book).read_bytes()
    shorter = b"".join(whole.splitlines(keepends=True)[:2])
    log_of(book).write_bytes(shorter)
    with pytest.raises(Replaced):
        book.entries_after(mark)
    with pytest.raises(Replaced):
        book.append([cut()], by="ml", check=lambda news: None)
    assert log_of(book).read_bytes() == shorter
    log_of(book).write_bytes(whole.replace(b"shed", b"shad").replace(b"strawflower", b"statice") * 2)
    with pytest.raises(Replaced):
        again(book).entries_after(mark)
    log_of(book).unlink()
    with pytest.raises(Replaced):
        again(book).entries_after(mark)


def test_a_log_that_a_copier_put_back_is_written_in_anew(tmp_path: Path) -> None:
    book = shed(tmp_path)
    before = book.append(cuts(2), by="ml")
    copy = tmp_path / "copy"
    copy.write_bytes(log_of(book).read_bytes())
    os.replace(copy, log_of(book))
    after = book.append([cut(9)], by="ml")
    assert again(book).entries() == [*before, *after]


def test_the_raw_entries_are_the_entries(tmp_path: Path) -> None:
    book = shed(tmp_path)
    book.append(cuts(5), by="ml")
    assert [Entry.from_dict(flat) for flat in book.entries_raw()] == book.entries()


def test_nothing_to_write_writes_nothing(tmp_path: Path) -> None:
    book = shed(tmp_path)
    assert book.append([], by="ml") == []
    assert not log_of(book).exists()


class TestFolders:
    def test_a_book_is_not_made_over_a_book_or_other_files(self, tmp_path: Path) -> None:
        shed(tmp_path)
        with pytest.raises(ShedbookError, match=r"a book in .* already"):
            shed(tmp_path)
        (tmp_path / "letters").mkdir()
        (tmp_path / "letters" / "to-ann.txt").write_text("dear")
        with pytest.raises(ShedbookError, match="not empty"):
            Book.create(tmp_path / "letters")
        with pytest.raises(ShedbookError, match="is a file"):
            Book.create(tmp_path / "letters" / "to-ann.txt")

    def test_an_empty_folder_becomes_one(self, tmp_path: Path) -> None:
        (tmp_path / "empty").mkdir(mode=0o755)
        Book.create(tmp_path / "empty")
        assert stat.S_IMODE((tmp_path / "empty").stat().st_mode) == 0o700

    def test_no_book_is_said_so(self, tmp_path: Path) -> None:
        for folder in (tmp_path, tmp_path / "nowhere"):
            with pytest.raises(ShedbookError, match="shedbook new"):
                Book.open(folder)

    def test_a_folder_of_other_logs_is_no_book(self, tmp_path: Path) -> None:
        (tmp_path / "log").mkdir()
        (tmp_path / "log" / "system.log").write_text("Jun 23 07:00 started\n")
        with pytest.raises(ShedbookError, match="no book"):
            Book.open(tmp_path)

    def test_the_logs_alone_are_a_book(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        written = book.append(cuts(2), by="ml")
        (book.folder / "farm.json").unlink()
        assert again(book).entries() == written

    def test_a_newer_book_is_refused_and_an_older_opens(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        about = book.folder / "farm.json"
        about.write_text('{"format":2,"device":"shed"}')
        with pytest.raises(ShedbookError, match="install the newer shedbook") as refused:
            again(book)
        assert refused.value.problem.code == "newer"
        about.write_text('{"format":1,"device":"shed","colour":"blue"}')
        assert again(book).entries() == []

    def test_a_farm_file_that_is_no_json_is_said_so(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        (book.folder / "farm.json").write_bytes(b"\x00\x01")
        with pytest.raises(ShedbookError, match=r"farm\.json cannot be read"):
            again(book)

    def test_a_device_name_that_could_leave_the_folder_is_refused(self, tmp_path: Path) -> None:
        for name in ("../up", "a/b", "a.merged", "x" * 60, "Ä"):
            with pytest.raises(ShedbookError, match="machine's name"):
                Book.create(tmp_path / "farm", device=name)

    def test_a_log_that_is_a_link_is_not_followed(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        outside = tmp_path / "outside"
        outside.write_text("precious\n")
        os.symlink(outside, log_of(book))
        with pytest.raises(ShedbookError, match="is a link"):
            book.append([cut()], by="ml")
        assert outside.read_text() == "precious\n"
        assert again(book).entries() == []

    @pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
    def test_without_permission_one_sentence(self, tmp_path: Path) -> None:
        book = shed(tmp_path)
        book.append([cut()], by="ml")
        os.chmod(log_of(book), 0o400)
        with pytest.raises(ShedbookError, match="No permission"):
            again(book).append([cut()], by="ml")
        os.chmod(book.folder, 0o000)
        try:
            with pytest.raises(ShedbookError, match="No permission"):
                again(book)
        finally:
            os.chmod(book.folder, 0o700)
