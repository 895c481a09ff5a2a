"""Lines as growers on both sides of the ocean type them: each means what they meant, or is refused."""

from __future__ import annotations

import pytest

from tests.language.meaning import Row, amiss, rows


@pytest.mark.parametrize("row", rows(), ids=lambda row: row.said)
def test_a_line_means_what_was_meant(row: Row) -> None:
    assert amiss(row) == "", row.meant


def test_the_table_is_no_short_list() -> None:
    assert len(rows()) >= 400
    assert sum(row.is_trap for row in rows()) >= 100
