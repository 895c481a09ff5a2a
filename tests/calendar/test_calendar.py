"""The calendar file: what RFC 5545 says of it, read by a second library, and a phone that finds each job once."""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
import vobject
from hypothesis import given
from hypothesis import strategies as st

from core.calendar.collected import dated, sorts
from core.calendar.ical import Made, updated
from core.dated import Dated
from core.problems import Problem
from core.session import Session
from core.subject import part, subjects
from core.text import clean
from tests.cases import cases
from tests.farms import write
from tests.shell import Shell

DAY = date(2026, 6, 1)
STAMP = datetime(2026, 7, 1, 6, tzinfo=UTC)


def job(key: str = "N014", first: str = "2026-07-14", last: str = "2026-07-16", says: str = "cut") -> Dated:
    return Dated(("plans", key), first, last, says)


def made(*things: Dated, old: bytes | None = None, today: date = DAY, stamp: datetime = STAMP) -> Made:
    found = updated(old, things, ("plans",), today, stamp, "Low Barn")
    assert isinstance(found, Made)
    return found


def read(data: bytes) -> list[Any]:
    """The events as the second library reads them."""
    return list(vobject.readOne(data.decode()).contents.get("vevent", []))


# the file


def test_an_all_day_event_is_written_as_rfc_5545_says() -> None:
    """Section 3.6.1: DTEND is the day after the last; 3.3.11: comma and semicolon escaped; lines end CRLF (3.1)."""
    text = made(job(says="Cut lavender, bed 3; dry surface")).data.decode()
    assert text == "\r\n".join(
        (
            "BEGIN:VCALENDAR",
            "VERSION:2.0",
            "PRODID:-//shedbook//calendar//EN",
            "X-WR-CALNAME:Low Barn",
            "BEGIN:VEVENT",
            "SUMMARY:Cut lavender\\, bed 3\\; dry surface",
            "DTSTART;VALUE=DATE:20260714",
            "DTEND;VALUE=DATE:20260717",
            "DTSTAMP:20260701T060000Z",
            "UID:plans-N014@shedbook.invalid",
            "SEQUENCE:0",
            "STATUS:CONFIRMED",
            "TRANSP:TRANSPARENT",
            "END:VEVENT",
            "END:VCALENDAR",
            "",
        )
    )


def test_the_days_of_the_example_in_the_rfc_are_said_the_same() -> None:
    """Section 3.6.1: "from June 28th, 2007 to July 8th, 2007 inclusive" is DTSTART 20070628, DTEND 20070709."""
    (event,) = read(made(job(first="2007-06-28", last="2007-07-08"), today=date(2007, 6, 1)).data)
    assert (event.dtstart.value, event.dtend.value) == (date(2007, 6, 28), date(2007, 7, 9))


def unfolded(data: bytes) -> list[str]:
    """The content lines, unfolded as section 3.1 says; every line as it stands is UTF-8, of 75 octets at most."""
    lines: list[bytes] = []
    assert data.endswith(b"\r\n")
    for line in data[:-2].split(b"\r\n"):
        assert len(line) <= 75 and b"\n" not in line and b"\r" not in line
        line.decode("utf-8")
        if line[:1] in (b" ", b"\t"):
            lines[-1] += line[1:]
        else:
            lines.append(line)
    return [line.decode("utf-8") for line in lines]


def unescaped(value: str) -> str:
    """The text of a value, read as section 3.3.11 says."""
    out, rest = "", iter(value)
    for c in rest:
        if c == "\\":
            c = next(rest)
            out += "\n" if c in "nN" else c
        else:
            assert c not in ";,"
            out += c
    return out


texts = st.text(st.characters(codec="utf-8"), max_size=300)


@cases(200)
@given(texts.filter(lambda text: text.strip()), texts)
def test_any_text_comes_back_through_folding_and_escaping(says: str, more: str) -> None:
    data = made(Dated(("plans", "x"), "2026-07-14", "2026-07-14", says, more)).data
    lines = [line.partition(":") for line in unfolded(data)]
    found = {name: unescaped(value) for name, _, value in lines if name in ("SUMMARY", "DESCRIPTION")}
    told = clean(says)
    assert found.get("SUMMARY", "") == told or (
        told.startswith(found["SUMMARY"].removesuffix("..")) and len(found["SUMMARY"].encode()) <= 200
    )
    assert found.get("DESCRIPTION", "") == "\n".join(map(clean, more.splitlines()))
    (event,) = read(data)
    assert event.summary.value.strip() == found["SUMMARY"].strip()


# a second time


def test_the_same_again_gives_the_same_bytes_whatever_the_time() -> None:
    first = made(job(), job("N015"))
    again = made(job("N015"), job(), old=first.data, stamp=datetime(2026, 7, 3, tzinfo=UTC))
    assert again.data == first.data and (again.new, again.same) == (0, 2)


def test_what_moved_is_raised_and_what_is_no_more_is_cancelled_and_may_come_again() -> None:
    first = made(job(), job("N015"))
    later = datetime(2026, 7, 3, tzinfo=UTC)
    second = made(job(first="2026-07-15"), old=first.data, stamp=later)
    assert (second.changed, second.cancelled) == (1, 1)
    moved, gone = sorted(read(second.data), key=lambda e: e.uid.value)
    assert (moved.sequence.value, moved.dtstart.value) == ("1", date(2026, 7, 15))
    assert (gone.status.value, gone.sequence.value) == ("CANCELLED", "1")
    assert gone.dtstart.value == date(2026, 7, 14)
    third = made(job(first="2026-07-15"), old=second.data)
    assert third.data == second.data
    back = {e.uid.value: e for e in read(made(job(), job("N015"), old=third.data).data)}
    assert back["plans-N015@shedbook.invalid"].status.value == "CONFIRMED"
    assert back["plans-N015@shedbook.invalid"].sequence.value == "2"


def test_what_is_past_is_never_cancelled_and_goes_a_month_later() -> None:
    first = made(job())
    assert made(old=first.data, today=date(2026, 7, 17)).data == first.data
    assert read(made(old=first.data, today=date(2026, 8, 16)).data) == []


def test_only_some_sorts_leave_the_others_as_they_are() -> None:
    first = made(job(), Dated(("orders", "a", "1"), "2026-07-20", "2026-07-20", "O014"))
    assert [e.uid.value for e in read(first.data)][1] == "orders-a-1@shedbook.invalid"
    second = made(old=first.data)
    states = {e.uid.value.partition("-")[0]: e.status.value for e in read(second.data)}
    assert states == {"plans": "CANCELLED", "orders": "CONFIRMED"}


def test_what_somebody_else_wrote_into_the_file_stays() -> None:
    hers = "\r\n".join(
        (
            "BEGIN:VEVENT",
            "UID:dentist@example.org",
            "DTSTAMP:20260101T000000Z",
            "DTSTART:20260702T090000Z",
            "SUMMARY:dentist",
            "END:VEVENT\r\n",
        )
    )
    first = made(job()).data.replace(b"END:VCALENDAR", hers.encode() + b"END:VCALENDAR")
    uids = {e.uid.value: e for e in read(made(job(says="moved"), old=first).data)}
    assert uids["dentist@example.org"].dtstart.value == datetime(2026, 7, 2, 9, tzinfo=UTC)
    assert len(uids) == 2


@pytest.mark.parametrize(
    "old",
    (
        b"",
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//EN\r\nEND:VCALENDAR\r\n",
        b"hers",
        bytes(range(256)),
        b"BEGIN:VCALENDAR\r\nPRODID:-//shedbook//calendar//EN\r\nBEGIN:VEVENT\r\nUID:a@shedbook.invalid\r\n"
        b"SEQUENCE:x\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n",
    ),
)
def test_a_file_that_is_none_of_ours_is_refused(old: bytes) -> None:
    assert isinstance(updated(old, (job(),), ("plans",), DAY, STAMP, ""), Problem)


# the farm, and a phone

LINES = {
    "2026-03-01": ("farm zone UTC", "bed b1 50ft", "bed b2 50ft", "last frost 14 may", "first frost 28 sept"),
    "2026-04-02": ("plan 60 zinnia fresh by 8-20 b2", "order Lane 20 zinnia by 8-20 at 1"),
    "2026-04-20": ("sow 72 strawflower", "order Inn 9 zinnia weekly from 8-1 to 8-22"),
    "2026-05-25": ("set out S01 b1 25ft", "order '=Fern, Hollow; & Söhne' 12 strawflower by 7-3"),
    "2026-06-20": ("order Lane 5 strawflower by 6-28",),
    "2026-07-02": ("40 strawflower b1 dry", "hang line 1", "O003 was by 7-5"),
    "2026-07-04": ("cancel O003",),
    "2026-07-20": ("snap L001 line 1", "box L001 4x10 box 1"),
    "2026-07-25": ("undo",),
}


def test_a_phone_that_reads_the_file_now_and_then_shows_each_job_once_and_none_that_is_no_more(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The phone is another hand: it keeps what it knows by UID, and takes the higher SEQUENCE, as RFC 5546 says."""
    shell = Shell(tmp_path / "farm", capsys, "2026-03-01").begin({})
    path = tmp_path / "farm.ics"
    often, seldom = dict[str, Any](), dict[str, Any]()
    for n, (on, lines) in enumerate(LINES.items()):
        session = Session.open(shell.farm, by="ml", on=date.fromisoformat(on))
        for line in lines:
            write(session, line)
        things = [*dated(session.sight())]
        session.close()
        status, _, err = shell("calendar", str(path), on=on)
        assert (status, err) == (0, "")
        for phone in (often, seldom) if n % 3 == 2 else (often,):
            for event in read(path.read_bytes()):
                known = phone.get(event.uid.value)
                if known is None or int(event.sequence.value) >= int(known.sequence.value):
                    phone[event.uid.value] = event
            shown = sorted(
                (e.dtstart.value.isoformat(), e.summary.value)
                for e in phone.values()
                if e.status.value != "CANCELLED" and e.dtend.value > date.fromisoformat(on)
            )
            assert shown == sorted((one.first, one.says) for one in things if one.last >= on), on
    assert len(often) > 8
    assert any(e.status.value == "CANCELLED" for e in often.values())


def test_every_sort_that_a_manifest_names_is_offered_and_is_a_word() -> None:
    for subject in subjects():
        if subject.events:
            assert tuple(part(subject, "events").EVENTS) == subject.events
    assert all(sort.isalpha() for sort in sorts()) and len(set(sorts())) == len(sorts())


def test_on_the_farm_no_two_things_have_one_identity(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    days = {on: lines[:1] for on, lines in LINES.items() if on < "2026-06"}
    days["2026-03-01"] = LINES["2026-03-01"]
    shell = Shell(tmp_path / "farm", capsys, "2026-06-01").begin(days)
    session = Session.open(shell.farm, by="ml", on=DAY)
    write(session, "order Lane 5 zinnia, 4 strawflower by 6-28")
    keys = [one.key for one in dated(session.sight())]
    assert len(set(keys)) == len(keys) == 4


def test_her_own_file_of_that_name_is_left_alone(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-01").begin({})
    hers = tmp_path / "notes.ics"
    hers.write_text("my notes")
    status, _, err = shell("calendar", str(hers))
    assert status == 1 and "is no calendar that shedbook wrote" in err and hers.read_text() == "my notes"
    assert shell("calendar", str(tmp_path / "no" / "such" / "x.ics"))[0] == 1
    assert shell("calendar", str(tmp_path / "x.ics"), "--only", "nothing")[0] == 1
    assert shell.json("calendar", str(tmp_path / "x.ics"), "--only", "orders")["new"] == 0


def test_without_the_library_one_sentence_says_how_to_get_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    shell = Shell(tmp_path / "farm", capsys, "2026-06-01").begin({})
    monkeypatch.setitem(sys.modules, "icalendar", None)
    monkeypatch.delitem(sys.modules, "core.calendar.ical", raising=False)
    status, _, err = shell("calendar", str(tmp_path / "x.ics"))
    assert status == 1 and "pip install '.[calendar]'" in err and err.count("\n") == 1
    assert not (tmp_path / "x.ics").exists()
