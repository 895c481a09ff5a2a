"""Tables for other programs: RFC 4180 on the outside, harmless inside."""

from __future__ import annotations

import csv
import io
import re

from hypothesis import given
from hypothesis import strategies as st

from core.exports.csv import csv_text
from core.formulas import FORMULA_STARTS, plain_text
from core.text import clean

BELOW_0 = re.compile(r"-\d+(\.\d+)?", re.ASCII)


def test_lines_end_and_quotes_double_as_rfc_4180_says() -> None:
    assert csv_text(["lot", "note"], [["L001", 'a "good" one, mostly'], [None, 3]]) == (
        'lot,note\r\nL001,"a ""good"" one, mostly"\r\n,3\r\n'
    )


def test_what_a_spreadsheet_would_run_is_made_text() -> None:
    text = csv_text(["variety", "count"], [["=1+1", -3], ["+cmd", 2.5], ["-x", 0], ["@sum", 1], ["\t=1", 1]])
    assert [row[0] for row in csv.reader(io.StringIO(text))][1:] == ["'=1+1", "'+cmd", "'-x", "'@sum", "' =1"]
    assert text.splitlines()[1].endswith(",-3")  # a number is a number


@given(st.lists(st.lists(st.text(), min_size=2, max_size=2)))
def test_any_text_comes_back_and_none_can_be_run(rows: list[list[str]]) -> None:
    read = list(csv.reader(io.StringIO(csv_text(["a", "b"], rows), newline="")))[1:]
    assert len(read) == len(rows)
    for given_row, row in zip(rows, read, strict=True):
        assert [plain_text(cell) for cell in row] == [clean(cell) for cell in given_row] or any(
            cell[:1] in "\t\r" for cell in given_row
        )
        assert not any(cell.startswith(FORMULA_STARTS) and not BELOW_0.fullmatch(cell) for cell in row)


def test_a_number_below_0_is_a_number_though_it_comes_as_text() -> None:
    assert csv_text(["free"], [["-3.5"], ["-3+1"]]) == "free\r\n-3.5\r\n'-3+1\r\n"
