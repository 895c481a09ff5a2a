"""Tables of past seasons brought in: what they say is in the book once, all of it or none, and nothing else moves."""

from __future__ import annotations

import csv
import io
import shutil
from collections import Counter
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.orders.takings import takings
from core.past_seasons.bringing import How, ToBring, read_table
from core.past_seasons.cells import read_cents, read_count, read_day
from core.problems import Problem
from core.session import Session
from tests.cases import cases
from tests.farms import small_farm
from tests.shell import Shell

TODAY = date(2026, 6, 23)
SALES = "\n".join(
    (
        "\ufeffDate,Flower,Bunches,Price each,Customer,Weather",
        "7/4/2024,Strawflower,12,9.00,Corner market,hot",
        "7/4/2024,Strawflower,12,9.00,Corner market,hot",
        '"July 13, 2024",zinnia,20,"$6.50",\'-Dash,',
        '2024-12-30,lavender,3,12,"Fern, ""Hollow""",cold',
        "",
    )
)
CUTS = "on;crop;variety;stems;bed;minutes\n20.6.2024;strawflower;apricot;1.200;b1;12\n"


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Shell:
    days = {"2026-06-20": ("farm zone UTC", "bed b1 50ft", "plant zinnia b1 20ft", "40 zinnia b1 fresh")}
    return Shell(tmp_path / "farm", capsys, TODAY.isoformat()).begin(days)


@pytest.fixture
def sales(tmp_path: Path) -> Path:
    (tmp_path / "sales.csv").write_text(SALES, encoding="utf-8")
    return tmp_path / "sales.csv"


def logs(farm: Path) -> bytes:
    return b"".join(path.read_bytes() for path in sorted((farm / "log").iterdir()))


def test_sales_of_a_past_year_are_taken_in_with_their_money_and_buyers(shell: Shell, sales: Path) -> None:
    answer = shell.json("bring", str(sales), "--per", "10")
    assert answer["mapping"] == {
        "day": "Date",
        "crop": "Flower",
        "bunches": "Bunches",
        "each": "Price each",
        "who": "Customer",
    }
    assert (answer["sort"], answer["unused"], answer["written"]) == ("sales", ["Weather"], 4)
    taken = {
        row["of"]: (row["stems"], row["cents"]) for row in shell.json("takings", "--by", "buyer")["rows"]
    }
    assert taken == {"Corner market": (240, 21600), "-Dash": (200, 13000), 'Fern, "Hollow"': (30, 3600)}
    by_crop = {row["of"]: row["cents"] for row in shell.json("takings", "--year", "2024")["rows"]}
    assert by_crop == {"strawflower": 21600, "zinnia": 13000, "lavender": 3600}
    assert shell.json("takings", "--year", "2025")["rows"] == []
    assert {row["of"] for row in shell.json("takings", "--by", "week")["rows"]} == {
        "2024-07-01",
        "2024-07-08",
        "2024-12-30",
    }
    past = {row["crop"]: row for row in shell.json("past")["rows"]}
    assert (past["zinnia"]["year"], past["zinnia"]["sold"], past["zinnia"]["cents"]) == (2024, 200, 13000)


def test_a_past_year_is_looked_back_at_like_any_other(shell: Shell, sales: Path, tmp_path: Path) -> None:
    (tmp_path / "cuts.csv").write_text("on,crop,stems,culls\n2024-07-02,zinnia,50,5\n2024-07-03,zinnia,20,\n")
    shell.json("bring", str(sales), "--per", "10")
    shell.json("bring", str(tmp_path / "cuts.csv"))
    rows = {row["of"]: row for row in shell.json("season", "2024")["rows"]}
    zinnia = rows["zinnia"]
    assert (zinnia["cut"], zinnia["sold"], zinnia["lost"], zinnia["cents"]) == (75, 200, 5, 13000)
    assert [week["week"] for week in zinnia["weeks"]] == ["2024-07-01", "2024-07-08"]
    assert shell.json("season", "2025")["stems_before"]["cut"] == 75


def test_what_the_book_has_itself_is_not_counted_twice(shell: Shell, tmp_path: Path) -> None:
    """Her own cuts of this year, handed out and brought in again, would count double in every sum."""
    shell.json("out", str(tmp_path / "out"))
    table = str(tmp_path / "out" / "written-cut.csv")
    status, out, err = shell("bring", table)
    assert (
        status == 1 and "own cuts since 2026-06-20" in " ".join(out.split()) and "Nothing was written" in err
    )
    assert shell.json("past")["rows"] == []
    assert shell.json("bring", table, "--anyway")["written"] == 1


def test_what_was_sown_straight_in_a_bed_is_the_books_own_sowing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    days = {"2026-05-12": ("bed b1 50ft", "drill zinnia b1 20ft 100 seeds"), "2026-06-23": ("bed b2 50ft",)}
    shell = Shell(tmp_path / "farm", capsys, TODAY.isoformat()).begin(days)
    shell("out", str(tmp_path / "out"))
    assert (tmp_path / "out" / "written-drilled.csv").exists()
    table = tmp_path / "sown.csv"
    table.write_text("Sown on,Crop,Seeds\n2025-05-14,zinnia,80\n2026-05-12,zinnia,100\n")
    status, out, _ = shell("bring", str(table))
    assert status == 1 and "own sowings since 2026-05-12" in " ".join(out.split())
    assert shell.json("past")["rows"] == []
    table.write_text("Sown on,Crop,Seeds\n2025-05-14,zinnia,80\n")
    assert shell.json("bring", str(table))["written"] == 1
    before = logs(shell.farm)
    again = shell.json("bring", str(table))
    assert (again["written"], again["already"]) == (0, 1) and logs(shell.farm) == before


def test_nothing_of_today_moves(shell: Shell, sales: Path) -> None:
    before = [shell.json(verb) for verb in ("stock", "today", "beds", "losses", "promise")]
    shell.json("bring", str(sales), "--per", "10")
    assert [shell.json(verb) for verb in ("stock", "today", "beds", "losses", "promise")] == before
    assert shell("check")[0] == 0


def test_a_dry_run_shows_the_mapping_and_every_row_and_writes_nothing(shell: Shell, sales: Path) -> None:
    before = logs(shell.farm)
    answer = shell.json("bring", str(sales), "--per", "10", "--dry-run")
    assert [row["line"] for row in answer["rows"]] == [2, 3, 4, 5] and answer["written"] == 0
    text = shell.text("bring", str(sales), "--per", "10", "--dry-run")
    assert text.index("day from 'Date'") < text.index("line 2:") and "left out: Weather" in text
    assert logs(shell.farm) == before


def test_one_row_that_is_refused_keeps_all_of_it_out_and_each_is_told_by_its_line(
    shell: Shell, sales: Path
) -> None:
    with sales.open("a", encoding="utf-8") as table:
        for row in (
            "2024-02-30,zinnia,1",
            "2024-03-01,hovercraft,1",
            "2027-01-01,zinnia,1",
            "2024-03-01,zinnia,-4",
        ):
            table.write(f"{row},1,x,\n")
        table.write("1\n")
    before = logs(shell.farm)
    status, out, err = shell("bring", str(sales), "--per", "10")
    assert status == 1 and "Nothing was written: 5 rows cannot be brought in" in err
    for line, why in (
        (6, "no day"),
        (7, "hovercraft"),
        (8, "a day to come"),
        (9, "no whole number"),
        (10, "1 cells"),
    ):
        assert any(told.strip().startswith(f"line {line}:") for told in out.splitlines())
        assert why in " ".join(out.split())
    assert logs(shell.farm) == before


def test_twice_changes_nothing_and_a_table_that_has_grown_brings_what_is_new(
    shell: Shell, sales: Path
) -> None:
    shell.json("bring", str(sales), "--per", "10")
    before = logs(shell.farm)
    again = shell.json("bring", str(sales), "--per", "10")
    assert (again["written"], again["already"]) == (0, 4) and logs(shell.farm) == before
    with sales.open("a", encoding="utf-8") as table:
        table.write("7/4/2024,Strawflower,12,9.00,Corner market,hot\n")
    assert shell.json("bring", str(sales), "--per", "10")["written"] == 1, "a third sale just like two others"


def test_it_is_taken_back_as_a_whole_by_undo_or_by_any_of_its_entries(shell: Shell, sales: Path) -> None:
    shell.json("bring", str(sales), "--per", "10")
    shell.write("undo")
    assert shell.json("past")["rows"] == []
    assert shell.json("bring", str(sales), "--per", "10")["written"] == 4
    shell.write("low 41")
    session = Session.open(shell.farm, by="ml", on=TODAY)
    entries = session.entries()
    struck = session.look_back.marks(entries).struck
    entry = [e for e in entries if e.kind == "past sale" and e.id not in struck][-2]
    session.close()
    assert shell("cancel", entry.id)[0] == 0
    assert shell.json("past")["rows"] == []
    assert shell.json("bring", str(sales), "--per", "10")["written"] == 4


def test_two_machines_that_brought_in_the_same_table_count_it_once(
    shell: Shell, sales: Path, tmp_path: Path
) -> None:
    other = Path(shutil.copytree(shell.farm, tmp_path / "netbook"))
    (other / "device").unlink(missing_ok=True)
    shell.json("bring", str(sales), "--per", "10")
    once = shell.json("past")["rows"]
    here, shell.farm = shell.farm, other
    shell.json("bring", str(sales), "--per", "10")
    shell.farm = here
    assert shell("merge", str(other))[0] == 0
    assert shell.json("past")["rows"] == once


def test_what_goes_out_comes_in_again_on_another_farm(
    shell: Shell, sales: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "cuts.csv").write_text(CUTS.replace("1.200", "1200"))
    (tmp_path / "sown.csv").write_text("sown on,crop,seeds,up\n2024-03-01,zinnia,80,64\n")
    shell.json("bring", str(sales), "--per", "10")
    shell.json("bring", str(tmp_path / "cuts.csv"))
    assert shell.json("bring", str(tmp_path / "sown.csv"))["sort"] == "sowings"
    shell.json("out", str(tmp_path / "out"))
    new = Shell(tmp_path / "new", capsys, TODAY.isoformat()).begin({})
    for sort in ("sale", "cut", "sowing"):
        answer = new.json("bring", str(tmp_path / "out" / f"written-past-{sort}.csv"))
        assert answer["written"] and answer["sort"].startswith({"sowing": "sow"}.get(sort, sort))
    assert new.json("past") == shell.json("past")
    assert new.json("takings", "--by", "buyer")["rows"] == shell.json("takings", "--by", "buyer")["rows"]


# the table


def reading(text: str | bytes, **how: object) -> ToBring | Problem:
    data = text if isinstance(text, bytes) else text.encode()
    return read_table(data, small_farm().farm, TODAY, How({}, **how))  # type: ignore[arg-type]


def test_columns_are_hers_to_say(shell: Shell, tmp_path: Path) -> None:
    table = tmp_path / "t.csv"
    table.write_text("wann,was,wieviel,total\n1.7.2024,Strohblume,10,3\n")
    status, _, err = shell("bring", str(table))
    assert status == 1 and "Which column has the day" in err
    args = ("--map", "day=wann", "crop=WAS", "--map", "stems=wieviel", "--call", "strohblume=strawflower")
    answer = shell.json("bring", str(table), *args)
    assert [row["says"] for row in answer["rows"]] == ["past season: sold 10 strawflower for 3.00"]
    assert shell.json("bring", str(table), *args, "--as", "cuts", "--dry-run")["sort"] == "cuts"
    assert shell("bring", str(table), "--map", "day=when")[0] == 1
    assert shell("bring", str(table), "--map", "colour=was")[0] == 1
    assert shell("bring", str(tmp_path / "none.csv"))[0] == 1


TWO_NUMBERS = ("2024-07-04,zinnia,12,{}", "2024-07-05,zinnia,20,{}", "2024-07-06,statice,5,{}")


@pytest.mark.parametrize(
    ("head", "money", "field", "cents"),
    (
        ("Unit price", ("9", "9", "7"), "each", 32300),
        ("Price ($)", ("9", "9", "7"), "each", 32300),
        ("price_each", ("9", "9.50", "7"), "each", 33300),
        ("PRICE", ("108", "180", "7"), "money", 29500),
        ("Amount", ("108", "190", "7"), "money", 30500),
        ("Total (USD)", ("108", "190", "7"), "money", 30500),
        ("Paid", ("108", "190", "7"), "money", 30500),
        ("Price per stem", ("1", "1", "2"), "each", 42000),
        ("Price", ("9", "9.50", "7"), "", 0),
        ("Farm price", ("9", "10", "7"), "", 0),
        ("What it came to, $", ("9", "10", "7"), "", 0),
    ),
)
def test_money_is_understood_where_it_is_plain_and_asked_about_where_it_is_not(
    shell: Shell, tmp_path: Path, head: str, money: tuple[str, ...], field: str, cents: int
) -> None:
    table = tmp_path / "t.csv"
    rows = (row.format(one) for row, one in zip(TWO_NUMBERS, money, strict=True))
    table.write_text("\n".join((f'Date,Flower,Bunches,"{head}"', *rows)))
    if field:
        answer = shell.json("bring", str(table), "--per", "10")
        assert answer["mapping"][field] == head and answer["unused"] == []
        assert sum(row["cents"] for row in shell.json("takings", "--year", "2024")["rows"]) == cents
        return
    before = logs(shell.farm)
    for more in ((), ("--dry-run",)):
        status, _, err = shell("bring", str(table), "--per", "10", *more)
        assert status == 1 and f"Is '{head[:24]}' the price of each, or what the whole row took?" in err
    assert logs(shell.farm) == before
    assert shell.json("bring", str(table), "--per", "10", "--map", f"each={head}")["written"] == 3
    assert shell.json("takings", "--year", "2024")["rows"][0]["cents"] > 0


def test_a_price_beside_what_was_paid_is_that_of_each_and_money_can_be_left_out(
    shell: Shell, tmp_path: Path
) -> None:
    table = tmp_path / "t.csv"
    table.write_text(
        "Date,Flower,Stems,Price,Paid\n2024-07-04,zinnia,12,0.50,5\n2024-07-05,zinnia,20,0.50,\n"
    )
    assert [row["says"] for row in shell.json("bring", str(table), "--dry-run")["rows"]] == [
        "past season: sold 12 zinnia for 5.00",
        "past season: sold 20 zinnia for 10.00",
    ]
    table.write_text("Date,Flower,Stems,Price\n2024-07-04,zinnia,12,0.50\n")
    answer = shell.json("bring", str(table), "--map", "money=", "--dry-run")
    assert (answer["sort"], answer["unused"]) == ("sales", ["Price"])
    table.write_text("Date,Flower,Stems,Price per bunch\n2024-07-04,zinnia,12,5\n")
    status, told, _ = shell("bring", str(table))
    assert status == 1 and "a bunch of how many stems? --per 10 says it" in " ".join(told.split())
    assert "for 6.00" in shell.json("bring", str(table), "--per", "10")["rows"][0]["says"]


def test_a_table_that_came_in_without_its_money_is_not_counted_twice_with_it(
    shell: Shell, sales: Path
) -> None:
    """The second of two rows alike is known too; one that is new comes in."""
    shell.json("bring", str(sales), "--per", "10", "--map", "each=")
    before = logs(shell.farm)
    status, told, err = shell("bring", str(sales), "--per", "10")
    assert status == 1 and told.count("without its") == 4 and "4 rows cannot be brought in" in err
    assert logs(shell.farm) == before
    shell.write("undo")
    assert shell.json("bring", str(sales), "--per", "10")["written"] == 4
    assert shell.json("bring", str(sales), "--per", "10")["already"] == 4


def test_a_dry_run_tells_every_row_though_one_is_refused(shell: Shell, tmp_path: Path) -> None:
    table = tmp_path / "t.csv"
    rows = [f"2024-07-{n:02d},zinnia,{n},1.00" for n in range(1, 31)]
    table.write_text("\n".join(("day,crop,stems,each", *rows, "2024-07-40,zinnia,1,1.00")))
    status, told, _ = shell("bring", str(table), "--dry-run")
    assert status == 1
    assert [f"line {n}:" in told for n in range(2, 33)] == [True] * 31
    assert "30 rows would be written, 465.00 taken, 0 in the book already, 1 refused" in told


@pytest.mark.parametrize(
    ("text", "why"),
    (
        (b"", "empty"),
        (b"\n\n", "empty"),
        ("day,crop,stems\n2024-06-01,zinni\xe4,3\n".encode("latin-1"), "Line 2 is not UTF-8"),
        (b'day,crop,stems\n2024-06-01,"zinnia,3\n', "no good row"),
        (b'day,crop,stems\n2024-06-01,"zin"nia,3\n', "no good row"),
        (b"day,Day,stems\n", "Two columns"),
        (b"crop,stems\nzinnia,3\n", "Which column has the day"),
        (b"day,crop\n2024-06-01,zinnia\n", "Which column has the stems or bunches"),
    ),
)
def test_a_table_that_cannot_be_read_is_refused_in_a_sentence(text: bytes, why: str) -> None:
    found = reading(text)
    assert isinstance(found, Problem) and why in found.sentence


@pytest.mark.parametrize("delimiter", ",;\t")
def test_cells_parted_by_commas_semicolons_or_tabs(delimiter: str) -> None:
    found = reading("day,crop,stems\n\n2024-06-01,zinnia,3\n".replace(",", delimiter))
    assert isinstance(found, ToBring) and not found.refused
    assert [(line, draft.on, draft.fields["stems"]) for line, draft in found.drafts] == [(3, "2024-06-01", 3)]


def test_a_cell_of_several_lines_and_the_line_that_is_told() -> None:
    found = reading('day,crop,stems,variety\n2024-06-01,zinnia,3,"two\nlines"\n2024-06-01,zinnia,x,\n')
    assert isinstance(found, ToBring)
    assert [row.line for row in found.refused] == [4]
    assert found.drafts[0][1].fields["variety"] == "two lines"


@pytest.mark.parametrize(
    ("text", "day_first", "day"),
    (
        ("2024-06-23", False, "2024-06-23"),
        ("6/23/2024", False, "2024-06-23"),
        ("06/07/2024", False, "2024-06-07"),
        ("06/07/2024", True, "2024-07-06"),
        ("23.6.2024", False, "2024-06-23"),
        ("23 June 2024", False, "2024-06-23"),
        ("June 23, 2024", False, "2024-06-23"),
        ("Jun 23 2024", False, "2024-06-23"),
        ("23. Jun 2024", True, "2024-06-23"),
        ("23/6/2024", False, ""),
        ("6/23/2024", True, ""),
        ("6/23/24", False, ""),
        ("2024-02-30", False, ""),
        ("June 2024", False, ""),
        ("June 31, 2024", False, ""),
        ("1024-06-01", False, ""),
        ("soon", False, ""),
    ),
)
def test_days_as_people_write_them(text: str, day_first: bool, day: str) -> None:
    found = read_day(text, day_first=day_first)
    assert isinstance(found, Problem) if not day else found == date.fromisoformat(day)


@pytest.mark.parametrize(
    ("text", "cents"),
    (
        ("12", 1200),
        ("12.5", 1250),
        ("$1,234.50", 123450),
        ("12,50", 1250),
        ("12,50 €", 1250),
        ("£3", 300),
        ("1,234", 123400),
        ("0", 0),
        ("-3", None),
        ("1.234", None),
        ("12,5", None),
        ("1.234,50", None),
        ("twelve", None),
        ("9" * 30, None),
    ),
)
def test_money_as_people_write_it_and_what_may_be_meant_two_ways_is_refused(
    text: str, cents: int | None
) -> None:
    found = read_cents(text)
    assert isinstance(found, Problem) if cents is None else found == cents


def test_counts() -> None:
    assert [read_count(text) for text in ("40", "1,200", "40.0", " 7 ")] == [40, 1200, 40, 7]
    assert all(
        isinstance(read_count(text), Problem) for text in ("", "4.5", "-1", "1.200", "1,20", "x", "9" * 40)
    )


rows = st.lists(
    st.tuples(
        st.dates(date(2015, 1, 1), date(2025, 12, 31)),
        st.sampled_from(("zinnia", "strawflower", "lavender")),
        st.integers(1, 500),
        st.none() | st.integers(0, 100_000),
        st.sampled_from(("", "Fern Hollow", "=Inn, old", "market; north", 'the "Barn"', "-x", "'=y")),
    ),
    max_size=30,
)


@cases(60)
@given(rows, st.sampled_from(",;\t"), st.sampled_from(("%Y-%m-%d", "%m/%d/%Y", "%d %B %Y", "%d.%m.%Y")))
def test_any_sales_come_in_with_every_stem_and_cent(
    sold: list[tuple[date, str, int, int | None, str]], delimiter: str, form: str
) -> None:
    """Written by Python's csv in another hand's way, summed by decimal; what the farm says of them must be the same."""
    out = io.StringIO()
    table = csv.writer(out, delimiter=delimiter)
    table.writerow(("date", "crop", "stems", "total", "buyer"))
    for day, crop, stems, cents, who in sold:
        money = "" if cents is None else str(Decimal(cents) / 100)
        table.writerow(
            (day.strftime(form), crop, stems, money, f"'{who}" if who[:1] in "=-'" and who else who)
        )
    pencil = small_farm()
    found = read_table(out.getvalue().encode(), pencil.farm, TODAY, How({}, sort="sales"))
    assert isinstance(found, ToBring) and not found.refused and not found.already
    for _, draft in found.drafts:
        pencil.write(draft.kind, draft.on, **draft.fields)
    farm = pencil.farm
    again = read_table(out.getvalue().encode(), farm, TODAY, How({}, sort="sales"))
    assert isinstance(again, ToBring) and (len(again.drafts), again.already) == (0, len(sold))
    for by, at in (("crop", 1), ("buyer", 4)):
        stems, money_of = Counter[str](), Counter[str]()
        for row in sold:
            of = str(row[at]) or "not said"
            stems[of] += row[2]
            money_of[of] += row[3] or 0
        told = {row.of: (row.stems, row.cents) for row in takings(farm, by)}  # type: ignore[arg-type]
        assert told == {of: (stems[of], money_of[of]) for of in stems}
    for year in {row[0].year for row in sold}:
        assert sum(r.cents for r in takings(farm, "week", year)) == sum(
            r[3] or 0 for r in sold if r[0].year == year
        )
