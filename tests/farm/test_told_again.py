"""A page is printed again without being reckoned only while it would be reckoned the same.

The other hand is the same command on a copy of the farm in which nothing was kept.
"""

from __future__ import annotations

import fcntl
import io
import os
import shutil
import subprocess
import sys
import time
import zlib
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from core import telling, told_again
from core.session import Session
from tests.cases import cases
from tests.farms import TODAY, write
from tui import today_verb
from tui.cli import main

LINES = (
    "low 38 tonight 33",
    "low 51",
    "40 strawflower b3 dry",
    "30 zinnia b3 fresh",
    "hang",
    "order Lane 20 strawflower dry by 6-28",
    "note mend the gate",
    "farm words british",
    "farm zone Europe/Dublin",
    "bed b9 20ft",
    "sow 72 zinnia",
    "undo yes",
)


class Start(NamedTuple):
    """What a start printed, and whether it was told again."""

    page: str
    is_again: bool


def _run(words: list[str]) -> str:
    with redirect_stdout(io.StringIO()) as printed, redirect_stderr(io.StringIO()):
        assert main(words) == 0
    return printed.getvalue()


def _start(words: list[str]) -> Start:
    """As the program starts."""
    page = told_again.page_for(words)
    return Start(_run(words), False) if page is None else Start(page, True)


def _anew(farm: Path, words: list[str]) -> str:
    """The same of a copy in which nothing is kept."""
    copy = farm.with_name(f"{farm.name}-anew")
    shutil.copytree(farm, copy, ignore=shutil.ignore_patterns("fold"))
    try:
        return _run([str(copy) if word == str(farm) else word for word in words])
    finally:
        shutil.rmtree(copy)


def _words(farm: Path, *more: str, on: date | None = TODAY) -> list[str]:
    return ["--farm", str(farm), *(["--on", on.isoformat()] if on else []), "today", *more]


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing waits for the clock of the disk, which no test overtakes: it changes the size of a file every time."""
    monkeypatch.setattr(telling, "TICK_NS", -10_000_000)
    monkeypatch.setenv("SHEDBOOK_DEVICE", "shed")
    monkeypatch.delenv("SHEDBOOK_FARM", raising=False)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    patch = pytest.MonkeyPatch()
    patch.setenv("SHEDBOOK_DEVICE", "shed")
    session = Session.create(tmp_path_factory.mktemp("told") / "farm", by="ml", on=TODAY)
    for line in ("farm zone UTC", "bed b3 50ft", "plant strawflower b3 25ft", "plant zinnia b3 20ft"):
        write(session, line)
    session.close()
    patch.undo()
    return session.folder


@pytest.fixture
def farm(made: Path, tmp_path: Path) -> Path:
    shutil.copytree(made, tmp_path / "farm")
    return tmp_path / "farm"


def _write(farm: Path, line: str, day: date = TODAY) -> None:
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        main(["--farm", str(farm), "--on", day.isoformat(), "write", line])


class Life:
    """What happens to a farm on two machines, and every page of it beside the one that is reckoned anew."""

    def __init__(self, folder: Path, made: Path) -> None:
        self.farm, self.netbook = folder / "farm", folder / "netbook"
        shutil.copytree(made, self.farm)
        shutil.copytree(made, self.netbook)
        self.day, self.more = TODAY, [""]
        self.is_told_again = False

    def differs(self) -> bool:
        """Whether any of three starts tells another page than one of a farm in which nothing is kept."""
        words = _words(self.farm, *filter(None, self.more), on=self.day)
        anew = _anew(self.farm, words)
        starts = [_start(words) for _ in range(3)]
        self.is_told_again = starts[-1].is_again
        return any(start.page != anew for start in starts)

    def happens(self, what: str, line: str, share: float) -> None:
        """One thing, by its name."""
        if what == "write":
            _write(self.farm, line, self.day)
        elif what == "on the netbook":
            os.environ["SHEDBOOK_DEVICE"] = "netbook"
            _write(self.netbook, line, self.day)
            os.environ["SHEDBOOK_DEVICE"] = "shed"
        elif what == "copied over":
            brought = (self.netbook / "log" / "netbook.log").read_bytes() if self._has_written() else b""
            there = self.farm / "log" / "netbook.log"
            size = there.stat().st_size if there.exists() else 0
            there.write_bytes(brought[: max(round(share * len(brought)), size)])
        elif what == "merge" and self._has_written():
            with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
                main(["--farm", str(self.farm), "--on", self.day.isoformat(), "merge", str(self.netbook)])
        elif what == "fold gone":
            shutil.rmtree(self.farm / "fold", ignore_errors=True)
        elif what == "snapshot gone":
            (self.farm / "book.json").unlink(missing_ok=True)
        elif what == "day":
            self.day = TODAY + timedelta(days=round(2 * share))
        elif what == "all":
            self.more = [] if self.more else ["--all"]
        elif what == "machine":
            os.environ["SHEDBOOK_DEVICE"] = "shed" if share < 0.5 else "third"

    def _has_written(self) -> bool:
        return (self.netbook / "log" / "netbook.log").exists()


HAPPENS = st.tuples(
    st.sampled_from(
        (
            "write",
            "write",
            "on the netbook",
            "copied over",
            "merge",
            "fold gone",
            "snapshot gone",
            "day",
            "all",
            "machine",
        )
    ),
    st.sampled_from(LINES),
    st.floats(0, 1),
)


@cases(40, least=4, suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture])
@given(happening=st.lists(HAPPENS, min_size=3, max_size=7))
def test_whatever_happens_a_page_told_again_is_the_one_that_would_be_reckoned(
    tmp_path_factory: pytest.TempPathFactory, made: Path, happening: list[tuple[str, str, float]]
) -> None:
    life = Life(tmp_path_factory.mktemp("life"), made)
    os.environ["SHEDBOOK_DEVICE"] = "shed"
    assert not life.differs()
    assert life.is_told_again
    for what, line, share in happening:
        life.happens(what, line, share)
        assert not life.differs(), what


@pytest.fixture
def program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A program of two tables, in place of this one."""
    for name in ("core/crops/data/crops.csv", "tui/table.py"):
        (tmp_path / "program" / name).parent.mkdir(parents=True)
        (tmp_path / "program" / name).write_text("1")
    monkeypatch.setattr(told_again, "__file__", str(tmp_path / "program" / "core" / "told_again.py"))
    return tmp_path / "program"


def _log(farm: Path) -> Path:
    return farm / "log" / "shed.log"


def _same_size_and_time(path: Path, at: int) -> None:
    """One byte is another, and the file says that it is as old as before."""
    about = path.stat()
    body = bytearray(path.read_bytes())
    body[at] ^= 1
    path.write_bytes(body)
    os.utime(path, ns=(about.st_atime_ns, about.st_mtime_ns))


def _longer(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b"\n")


def _put_back(path: Path) -> None:
    """The same file, copied and put in its place as a backup program does."""
    shutil.copy2(path, path.with_suffix(".back"))
    path.with_suffix(".back").replace(path)


Change = Callable[[Path, Path, pytest.MonkeyPatch], object]
CHANGES: dict[str, tuple[str, Change]] = {
    "a line more": ("book", lambda farm, *_: _write(farm, "low 38 tonight 33")),
    "the last line otherwise, equally long and old": ("book", lambda farm, *_: _same_size_and_time(_log(farm), -9)),
    "the first line otherwise, equally long and old": ("book", lambda farm, *_: _same_size_and_time(_log(farm), 9)),
    "a log cut off": ("book", lambda farm, *_: _log(farm).write_bytes(_log(farm).read_bytes()[:-1])),
    "a log put back": ("book", lambda farm, *_: _put_back(_log(farm))),
    "a log that is gone": ("book", lambda farm, *_: _log(farm).unlink()),
    "a log that others may read": ("book", lambda farm, *_: _log(farm).chmod(0o644)),
    "another machine's log": ("book", lambda farm, *_: (farm / "log" / "netbook.log").write_bytes(b"")),
    "the book's snapshot": ("book", lambda farm, *_: _longer(farm / "book.json")),
    "a machine that was met": ("book", lambda farm, *_: (farm / "shed.met.json").write_text("{}")),
    "the station's weather": ("book", lambda farm, *_: (farm / "weather" / "Brook.csv").write_text("x")),
    "a catalogue": ("program", lambda _, code, __: _longer(code / "core" / "crops" / "data" / "crops.csv")),
    "a module of the screen": ("program", lambda _, code, __: _longer(code / "tui" / "table.py")),
    "a module more": ("program", lambda _, code, __: (code / "core" / "new.py").write_text("")),
    "another Python": ("program", lambda _, __, patch: patch.setattr(sys, "version", "3.99")),
    "another machine's name": ("environment", lambda _, __, patch: patch.setenv("SHEDBOOK_DEVICE", "netbook")),
    "other words of the system": ("environment", lambda _, __, patch: patch.setenv("LC_ALL", "C")),
    "another user": ("machine", lambda _, __, patch: patch.setattr(os, "geteuid", lambda: 4711)),
    "another zone": ("machine", lambda farm, __, patch: patch.setattr(told_again, "OF_MACHINE", (str(farm),))),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_each_thing_that_a_page_hangs_on_is_seen_and_by_nothing_else(
    farm: Path, program: Path, monkeypatch: pytest.MonkeyPatch, change: str
) -> None:
    (farm / "weather").mkdir()
    words, (part, happens) = _words(farm), CHANGES[change]
    monkeypatch.setattr(told_again, "path_for", lambda farm, _: f"{farm}/fold/told-0.page")
    page = _run(words)
    assert told_again.page_for(words) == page
    before = told_again.seen(str(farm), words)
    with monkeypatch.context() as patch:
        happens(farm, program, patch)
        assert told_again.page_for(words) is None
        after = told_again.seen(str(farm), words)
        assert {name for name, value in after.items() if value != before[name]} == {part}


def is_found_out(life: Life, monkeypatch: pytest.MonkeyPatch, left_out: str) -> None:
    """With one thing left out of what a page hangs on, what must not be told again is."""
    seen = told_again.seen
    monkeypatch.setattr(
        told_again,
        "seen",
        lambda *about: {name: value for name, value in seen(*about).items() if name != left_out},
    )
    monkeypatch.setattr(told_again, "path_for", lambda farm, _: f"{farm}/fold/told-0.page")
    assert not life.differs()
    life.happens("day" if left_out == "words" else "write", "low 38 tonight 33", 1.0)
    assert life.differs()


@pytest.mark.parametrize("left_out", ["book", "words"])
def test_a_page_that_does_not_hang_on_something_would_be_found_out(
    made: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, left_out: str
) -> None:
    """The test of the test."""
    is_found_out(Life(tmp_path, made), monkeypatch, left_out)


# the time of day


class Clock:
    """The time that the program is told."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.now = datetime(2030, 6, 23, 5, 10, 20, tzinfo=UTC)  # after any time of a file that a test writes
        clock = self

        class Told(datetime):
            @classmethod
            def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
                return clock.now

        monkeypatch.setattr("core.session.datetime", Told)
        monkeypatch.setattr("core.settings.local_time.datetime", Told)
        monkeypatch.setattr(time, "time_ns", lambda: int(clock.now.timestamp()) * 10**9)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    return Clock(monkeypatch)


def test_a_page_without_anything_of_the_hour_holds_till_the_farm_s_midnight(farm: Path, clock: Clock) -> None:
    _write(farm, "farm zone America/New_York", clock.now.date())
    words = _words(farm, on=None)
    page = _run(words)
    for minutes in (1, 60, 22 * 60 + 49):
        clock.now = datetime(2030, 6, 23, 5, 10, 20, tzinfo=UTC) + timedelta(minutes=minutes)
        assert told_again.page_for(words) == page
    clock.now = datetime(2030, 6, 24, 4, 0, 0, tzinfo=UTC)
    assert told_again.page_for(words) is None
    clock.now = datetime(2030, 6, 23, 5, 10, 19, tzinfo=UTC)  # set back
    assert told_again.page_for(words) is None


def test_a_day_that_ends_an_hour_earlier_or_later_for_the_clocks_were_changed(
    farm: Path, clock: Clock
) -> None:
    for day, begins, ends in (
        ("2030-03-10", "05:00", "04:00"),  # 2 in the morning is 3
        ("2030-11-03", "04:00", "05:00"),
    ):
        clock.now = datetime.fromisoformat(f"{day}T{begins}:00+00:00")
        _write(farm, "farm zone America/New_York", date.fromisoformat(day))
        page = _run(_words(farm, on=None))
        over = datetime.fromisoformat(f"{day}T{ends}:00+00:00") + timedelta(days=1)
        clock.now = over - timedelta(seconds=1)
        assert told_again.page_for(_words(farm, on=None)) == page
        clock.now = over
        assert told_again.page_for(_words(farm, on=None)) is None


def test_what_ages_by_the_hour_is_told_again_within_its_minute_only(farm: Path, clock: Clock) -> None:
    _write(farm, "30 zinnia b3 fresh at 5:00", clock.now.date())
    words = _words(farm, on=None)
    page = _run(words)
    clock.now += timedelta(seconds=39)
    assert told_again.page_for(words) == page
    clock.now += timedelta(seconds=1)
    assert told_again.page_for(words) is None


# what is not kept


def test_what_is_written_while_the_page_is_reckoned_is_on_the_next(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = _words(farm)
    opened = today_verb.open_session

    with monkeypatch.context() as patch:

        def and_meanwhile(*args: Any, **more: Any) -> Session:
            session = opened(*args, **more)
            patch.undo()
            _write(farm, "low 38 tonight 33")
            return session

        patch.setattr(today_verb, "open_session", and_meanwhile)
        _run(words)
    assert told_again.page_for(words) is None
    assert "38" in _start(words).page


def test_a_file_that_was_written_just_now_may_change_unseen_and_is_waited_for(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(telling, "TICK_NS", 10**10)
    _write(farm, "low 38")
    _run(_words(farm))
    assert told_again.page_for(_words(farm)) is None


def test_a_page_with_a_fault_of_ours_is_reckoned_again(farm: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SHEDBOOK_FAULTS", raising=False)
    monkeypatch.setenv("XDG_STATE_HOME", str(farm.parent))
    with monkeypatch.context() as patch:
        patch.setattr("core.morning_head._first_things", lambda _: 1 / 0)
        assert "could not be reckoned" in _run(_words(farm))
    assert told_again.page_for(_words(farm)) is None


def test_a_book_that_another_program_holds_is_not_told_from_what_was_kept(farm: Path) -> None:
    """For that it is held is to be said beside the page."""
    page = _run(_words(farm))
    with (farm / "lock").open("r+b") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        assert told_again.page_for(_words(farm)) is None
    assert told_again.page_for(_words(farm)) == page
    (farm / "lock").unlink()
    assert told_again.page_for(_words(farm)) is None


def _kept(farm: Path) -> Path:
    (path,) = (farm / "fold").glob("told-*.page")
    return path


HARMS: dict[str, Callable[[bytes], bytes]] = {
    "empty": lambda _: b"",
    "cut off": lambda body: body[:-5],
    "a letter otherwise": lambda body: body[:-5] + b"x" + body[-4:],
    "no text": lambda _: _signed(b"\xff\0\xff\0\xff"),
    "too few parts": lambda _: _signed(b"1 2\0x"),
    "no times": lambda body: _signed(b"never" + body[body.index(b"\0") :]),
    "with what a terminal obeys": lambda body: _signed(body[8:] + b"\x1b[2J"),
}


def _signed(body: bytes) -> bytes:
    return b"%08x" % zlib.crc32(body) + body


@pytest.mark.parametrize("harm", HARMS)
def test_a_damaged_page_is_not_told(farm: Path, harm: str) -> None:
    page = _run(_words(farm))
    kept = _kept(farm)
    kept.write_bytes(HARMS[harm](kept.read_bytes()))
    assert told_again.page_for(_words(farm)) is None
    assert _run(_words(farm)) == page
    assert told_again.page_for(_words(farm)) == page


@pytest.mark.parametrize("instead", ["link", "pipe", "folder"])
def test_what_stands_in_its_place_is_not_read(farm: Path, instead: str) -> None:
    page = _run(_words(farm))
    kept = _kept(farm)
    kept.rename(farm / "elsewhere")
    match instead:
        case "link":
            kept.symlink_to(farm / "elsewhere")
        case "pipe":
            os.mkfifo(kept)
        case _:
            kept.mkdir()
    assert told_again.page_for(_words(farm)) is None
    assert _run(_words(farm)) == page


def test_a_farm_keeps_few_pages(farm: Path) -> None:
    for days in range(12):
        _run(_words(farm, on=TODAY + timedelta(days=days)))
    assert len([*(farm / "fold").glob("told-*.page")]) == telling.MOST
    assert told_again.page_for(_words(farm, on=TODAY + timedelta(days=11)))


# the program itself


def test_all_that_a_start_reads_is_among_what_a_page_hangs_on(farm: Path) -> None:
    """Beside `fold`, which is made of the logs, and the lock, which is tried each time."""
    code = (
        "import sys; read = []\n"
        "sys.addaudithook(lambda event, about: read.append(str(about[0])) if event == 'open' else None)\n"
        "from tui.cli import main; main(sys.argv[1:])\n"
        "print('\\0'.join(['', *read]))"
    )
    words = _words(farm, on=None)
    done = subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=True)
    here = [Path(name) for name in done.stdout.split("\0")[1:] if name.strip().startswith(str(farm))]
    known = [farm / name.lstrip("/") for name, _ in told_again.of_book(str(farm))]
    assert {path.parent.name for path in here} >= {"log", "farm", "fold"}
    assert {path for path in here if path.parent.name != "fold"} <= {
        *known,
        farm / "lock",
        farm / "shed.met.json",
    }


def test_what_the_program_asks_of_the_environment_is_among_what_a_page_hangs_on(
    farm: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: set[str] = set()

    class Watched(dict[str, str]):
        def __getitem__(self, name: str) -> str:
            asked.add(name)
            return super().__getitem__(name)

        def get(self, name: str, *more: Any) -> Any:
            asked.add(name)
            return super().get(name, *more)

        def __contains__(self, name: object) -> bool:
            asked.add(str(name))
            return super().__contains__(name)

    with monkeypatch.context() as patch:
        patch.setattr(os, "environ", Watched(os.environ))
        _run(_words(farm))
    assert "SHEDBOOK_DEVICE" in asked
    known = told_again.NAMES
    assert not {name for name in asked if name not in known and not name.startswith(told_again.BEGINNINGS)}


def test_the_program_tells_a_page_again_and_loads_next_to_nothing(farm: Path) -> None:
    time.sleep(0.1)
    program = (
        "import sys, os; from tui.__main__ import program\n"
        "os._exit = lambda status: print(*sorted(sys.modules), file=sys.stderr) or sys.exit(status)\n"
        "program()"
    )

    def run() -> tuple[str, set[str]]:
        done = subprocess.run(
            [sys.executable, "-c", program, *_words(farm)], capture_output=True, text=True, check=True
        )
        return done.stdout, {*done.stderr.split()}

    page, much = run()
    again, little = run()
    assert again == page == _run(_words(farm))
    assert "core.session" in much
    mine = {name for name in little if name.partition(".")[0] in ("core", "tui")}
    assert mine == {"core", "core.told_again", "tui", "tui.__main__"}
    assert (
        little & {"re", "enum", "typing", "json", "pathlib", "argparse", "dataclasses", "datetime"} == set()
    )
