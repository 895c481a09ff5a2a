"""A new farm through its first season: what is said on the telephone, as orders come, change and a bed fails."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from core.book.book import Book
from core.problems import Problem
from core.promising.answer import Answer
from core.promising.open_claims import open_claims
from core.promising.shortages import shortages
from core.promising.telephone import ask
from core.promising.told import MOST_LINES, reply_lines
from core.session import Session, Written
from tests.farms import write


class Year:
    """A farm's book, opened day after day."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        Session.create(folder, by="ml", on=date(2026, 3, 20)).close()

    def on(self, day: str, *lines: str) -> list[str]:
        """What is written on a day, and all that is said to it."""
        session = Session.open(self.folder, by="ml", on=date.fromisoformat(day))
        said: list[str] = []
        for line in lines:
            written = session.write(line, answer=True)
            assert isinstance(written, Written), (line, written)
            said += written.remarks
        session.close()
        return said

    def asked(self, day: str, text: str) -> Answer:
        session = Session.open(self.folder, by="ml", on=date.fromisoformat(day))
        replies = ask(session.farm, session.today, text)
        session.close()
        assert not isinstance(replies, Problem), replies
        found = replies[0].answer
        lines = reply_lines(replies)
        assert len(lines) <= MOST_LINES and lines[0].split()[0] == found.answer, lines
        return found

    def short(self, day: str) -> dict[str, int]:
        session = Session.open(self.folder, by="ml", on=date.fromisoformat(day))
        found = shortages(session.farm, session.today, open_claims(session.farm, session.today))
        session.close()
        return {one.order: one.short for one in found}


def answers(year: Year, day: str, *asked: str) -> list[str]:
    return [year.asked(day, text).answer for text in asked]


def test_a_first_season_on_the_telephone(tmp_path: Path) -> None:
    year = Year(tmp_path / "farm")
    year.on(
        "2026-03-20",
        *("farm zone UTC", "last frost 14 may", "first frost 28 sept", "bed b1 50ft", "bed b2 50ft"),
        *("bed b3 50ft", "sow 144 strawflower apricot"),
    )
    # nothing but seed: a few of many are likely, none of what nobody sowed, nothing before the summer
    assert answers(
        year, "2026-03-21", "400 strawflower dry 10-15", "5 zinnia fresh 8-15", "5 strawflower dry 6-1"
    ) == [
        "likely",
        "no",
        "no",
    ]
    year.on("2026-04-02", "up 130 S01")
    year.on(
        "2026-05-20",
        "set out S01 b1 40ft",
        "plant 40ft zinnia coral b2 120 plants",
        "plant 30ft statice b3 80 plants",
    )
    told = year.on(
        "2026-05-21",
        *("order Ann 100 strawflower dry by 10-15", "order Bea 40 zinnia coral fresh by 8-15"),
        *("order Cal 10 bu statice dry by 9-20 at 9", "order Dee 100 strawflower dry by 10-20"),
    )
    likely = sum(line.startswith("likely (") for line in told)
    assert likely and likely + told.count("all of it can surely be promised") == 4
    # what was said as it was written is what is said when it is asked again
    again = year.asked("2026-05-21", "1 zinnia coral fresh 8-15")
    assert again.promised == 40
    # a change on the telephone: what Dee leaves is free to others
    before = year.asked("2026-05-21", "10 strawflower dry 10-20").free_on_day
    year.on("2026-05-22", "O004 was 20 strawflower")
    assert year.asked("2026-05-22", "10 strawflower dry 10-20").free_on_day == before + 80
    # the zinnia fails: Bea is short from that day on, and nobody is promised any more of it
    year.on("2026-07-20", "60 zinnia coral b2 fresh", "sold 60 L001")
    assert "O002" not in year.short("2026-07-27")
    year.on("2026-07-27", "lost 120 deer b2 zinnia")
    assert year.short("2026-07-28")["O002"] == 40
    failed = year.asked("2026-07-28", "40 zinnia coral fresh 8-15")
    assert (failed.answer, failed.free_on_day, failed.short) == ("no", 0, 40)
    assert [act.do for act in failed.acts] == ["buy in"]
    year.on("2026-07-28", "cancel O002")
    # dry and boxed, and the beds cleared: from here on every number is counted by hand
    year.on(
        "2026-08-20",
        "260 strawflower apricot b1 dry",
        "hang L002 line 1",
        "150 statice b3 dry",
        "hang L003 line 2",
    )
    year.on(
        "2026-09-10",
        *("snap L002", "box L002 26x10 box 1", "snap L003", "box L003 15x10 box 2", "clear b1", "clear b3"),
    )
    # 260 less Ann's 100 and Dee's 20; 150 less Cal's 100
    sept = "2026-09-11"
    assert [year.asked(sept, f"{n} strawflower dry 10-1").answer for n in (140, 141)] == ["surely", "no"]
    assert [year.asked(sept, f"{n} statice dry 9-15").answer for n in (50, 51)] == ["surely", "no"]
    assert year.short(sept) == {}
    assert year.on(sept, "order Eve 140 strawflower dry by 10-1", "order Flo 50 statice dry by 10-1")[-1] == (
        "all of it can surely be promised"
    )
    assert [year.asked(sept, f"1 {crop} dry 10-1").free_on_day for crop in ("strawflower", "statice")] == [
        0,
        0,
    ]
    taken = year.asked(sept, "30 statice dry 9-18").takes_from
    assert [(one.order, one.amount, one.times) for one in taken] == [("O006", 30, 100)]
    # Cal is told 20 short and Ann wants 50 fewer: so many are free again
    year.on("2026-09-12", "short 20 O003", "O001 was 50 strawflower")
    assert year.asked("2026-09-12", "1 statice dry 10-1").free_on_day == 20
    assert year.asked("2026-09-12", "1 strawflower dry 10-1").free_on_day == 50


def two_machines(tmp_path: Path, lines: Sequence[str], others: Sequence[str]) -> tuple[list[str], Session]:
    """What is to be settled when the books come together in which each of two wrote its own, and the book."""
    year = Year(tmp_path / "shed")
    year.on("2026-06-01", "bed b1 50ft", "plant strawflower b1 20ft")
    year.on("2026-06-10", "20 strawflower b1 dry", "hang L001 line 1")
    year.on("2026-06-20", "snap L001", "box L001 2x10 box 7", "clear b1")
    shutil.copytree(year.folder, tmp_path / "field")
    day = date(2026, 6, 23)
    away = Session(Book.open(tmp_path / "field", device="netbook"), by="jo", on=day)
    write(away, *others)
    away.close()
    home = Session.open(year.folder, by="ml", on=day)
    write(home, *lines)
    return [problem.sentence for problem in home.merge(tmp_path / "field").to_settle], home


def test_two_machines_that_each_promised_the_last_bunch_tell_both_buyers(tmp_path: Path) -> None:
    both, home = two_machines(
        tmp_path, ["order Ann 20 strawflower dry by 7-1"], ["order Bea 10 strawflower dry by 7-2"]
    )
    (said,) = [line for line in both if "as well" in line]
    assert "10 of 10 strawflower dry for Bea" in said and "promised to Ann" in said
    replies = ask(home.farm, home.today, "1 strawflower dry 7-1")
    assert not isinstance(replies, Problem) and replies[0].answer.answer == "no"


def test_two_machines_that_promised_no_more_than_there_is_have_nothing_to_settle(tmp_path: Path) -> None:
    both, _ = two_machines(
        tmp_path, ["order Ann 10 strawflower dry by 7-1"], ["order Bea 10 strawflower dry by 7-2"]
    )
    assert [line for line in both if "as well" in line] == []


def test_ten_orders_on_the_telephone_for_a_crop_of_her_own_and_for_pieces_of_it(tmp_path: Path) -> None:
    year = Year(tmp_path / "farm")
    year.on(
        "2026-03-20",
        *("farm zone UTC", "last frost 14 may", "first frost 28 sept"),
        *(f"bed b{n} 50ft" for n in range(1, 5)),
        *("crop cloudflower like strawflower, spacing 10 in", "sow 144 cloudflower apricot"),
        "recipe posy bouquet 10min: 5 dry cloudflower, 3 dry statice",
    )
    year.on("2026-04-05", "up 130 S01")
    year.on(
        "2026-05-22",
        *("set out S01 b1 50ft", "plant 40ft zinnia coral b2 120 plants"),
        *("plant 30ft statice deep blue b3 80 plants", "plant 30ft sunflower b4 60 plants"),
    )
    told = year.on(
        "2026-05-24",
        *("order Ann 100 cloudflower dry by 10-1", "order Bea 40 zinnia coral by 8-8"),
        *("order Cal 10 bu statice blue dry by 9-20 at 9", "order Dee 12 posy by 10-1"),
        *("order Eve 30 sunflower by 7-20", "order Flo 20 zinnia weekly from 7-25 to 8-29"),
        *("order Gus 50 cloudflower apricot dry by 10-8", "order Hal 5 posy by 10-10 spare 10%"),
        *("order Ida 25 zinnia coral or peach by 8-15", "order Jo 60 statice dry by 10-15"),
    )
    answered = [line for line in told if line.startswith(("all of it can surely", "likely (", "no ("))]
    assert len(answered) == 10
    # a blue is of the deep blue bed; what is promised of the crop counts the parts of posies due by then
    blue = year.asked("2026-05-25", "30 statice blue dry 9-20")
    assert [row.code for row in blue.sources] == ["P03"] and blue.promised >= 100
    own = year.asked("2026-05-25", "10 cloudflower dry 10-1")
    assert own.answer == "surely" and own.free_on_day > 10
    assert "cloudflower" in own.what
    # what is changed and taken back is free again, no more and no less
    likely = year.asked("2026-06-10", "10 statice dry 10-15").free_as_usual
    year.on("2026-06-10", "O003 was 6 bu statice blue")
    assert year.asked("2026-06-10", "10 statice dry 10-15").free_as_usual == likely + 40
    year.on("2026-06-11", "cancel O005")
    assert year.asked("2026-06-11", "30 sunflower 7-20").promised == 0
    # the bed of zinnia fails: all that were promised of it are short, and nobody else is
    year.on("2026-07-25", "lost 120 deer b2 zinnia")
    assert set(year.short("2026-07-26")) == {"O002", "O006", "O009"}
    assert year.asked("2026-07-26", "20 zinnia 8-8").answer == "no"
