"""What is to be seen of the orders: printed, as JSON and CSV, on the screen, on the morning page, and as a slip."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from core.session import Session
from tests.farms import farm_in, page_lines, stock_of, write
from tests.orders.test_picked import DAYS
from tests.shell import Shell
from tests.tui.test_morning import shown
from tui.app import ShedApp
from tui.row_keys import Typed
from tui.subjects.stems import STOCK


@pytest.fixture
def book(tmp_path: Path) -> Session:
    session = farm_in(tmp_path / "shed", DAYS)
    write(
        session,
        "order corner florist 3x10 zinnia fresh at 7 weekly from 07-01 to 07-15",
        "pick O001",
        "paid O001 50",
    )
    return session


@pytest.fixture
def shell(book: Session, capsys: pytest.CaptureFixture[str]) -> Shell:
    book.close()
    return Shell(book.folder, capsys, "2026-06-23")


def test_the_orders_are_printed_by_the_day_due_and_told_as_data(shell: Shell) -> None:
    lines = shell.text("orders", most=100).splitlines()
    assert lines[1].startswith("O001   Fern Hollow     24 Jun  in 1 d  15 of 98 open")
    assert lines[2].startswith("O002   corner florist  1 Jul   in 8 d  30 to pick")
    first, second = shell.json("orders")["rows"]
    assert (first["open"], first["picked"], first["price_cents"], first["owed_cents"]) == (
        15,
        83,
        10275,
        -5000,
    )
    assert (second["delivery"], second["deliveries"], second["price_cents"]) == (1, 3, 6300)
    table = [*csv.DictReader(io.StringIO(shell("orders", "--csv")[1]))]
    assert [row["order"] for row in table] == ["O001", "O002"] and table[0]["price"] == "102.75"


def test_one_order_says_from_which_lots_and_what_is_paid(shell: Shell) -> None:
    page = shell.text("order", "o1")
    assert "45 zinnia fresh at 0.45: 45 picked" in page and "20 L003 in the bucket, 25 L004" in page
    assert "102.75 in all, 50.00 paid" in page
    found = shell.json("order", "O001")
    assert found["row"]["order"] == "O001" and found["payments"] == [["2026-06-23", 5000]]
    assert found["deliveries"][0]["items"][0]["lots"] == ["36 L001 in box 7"]
    status, _, said = shell("order", "O009")
    assert status == 1 and said.startswith("There is no order O009. There is O001, O002.")


def test_a_slip_charges_what_goes_along(shell: Shell) -> None:
    shell.text("write", "short", "strawflower", "O001")
    slip = shell.text("order", "O001", "--slip")
    assert "3 bu and 6 strawflower dry                at 9.00      32.40" in slip
    assert "1 bu and 4 short, not charged" in slip
    assert slip.splitlines()[-3].split() == ["Total", "77.65"]
    assert slip.splitlines()[-1].split() == ["To", "pay", "27.65"]
    assert max(map(len, slip.splitlines())) <= 60


def test_the_morning_says_what_is_promised_for_today_and_tomorrow_and_what_is_late(book: Session) -> None:
    told = [line.text.split() for line in page_lines(book) if line.about[:1] == ("order",)]
    assert [" ".join(words) for words in told] == ["O001 Fern Hollow 15 of 98 to pick: by tomorrow"]
    later = Session.open(book.folder, by="ml", on=book.today.replace(day=30))
    told = [line.text.split() for line in page_lines(later) if line.about[:1] == ("order",)]
    assert [words[0] for words in told] == ["O001", "O002"] and told[0][-3:] == ["6", "days", "late"]


def test_the_keys_of_what_is_picked_hand_it_over_or_put_it_back(book: Session) -> None:
    row = next(row for row in stock_of(book) if row.place.is_set_aside and row.lot == "L004")
    lines = {key.id: key.line(row) for key in STOCK.keys}
    assert lines["sold"] == Typed("handed over O001")
    for other in ("used", "count", "move", "lost"):
        assert lines[other] == Typed("back L004 O001")
    write(book, "back L004 O001")


async def test_enter_opens_an_order_and_its_keys_write_its_lines(book: Session) -> None:
    app = ShedApp(book, None, book.folder)
    async with app.run_test(size=(80, 24)) as pilot:
        app.action_show("orders")
        await pilot.pause()
        assert "O001 Fern Hollow" in " ".join(shown(app).split())
        await pilot.press("enter")
        assert "from 36 L001 in box 7" in shown(app)
        await pilot.press("h", "enter")
        assert "handed over 36 of L001 to Fern Hollow" in app.status.text
        assert "27.65 owed" in shown(app)
        await pilot.press("escape", "enter")
        assert "from 36 L001" not in shown(app)
