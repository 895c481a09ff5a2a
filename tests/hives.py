"""A subject that this program does not have, as a newcomer would write it: its manifest, its screen and command."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING, NamedTuple

from core.subject import Subject
from tui.cli_session import open_door
from tui.command import Command, show_table
from tui.row_keys import Row, RowSort, letter, whole
from tui.table import CSV, Column
from tui.views.view import View

if TYPE_CHECKING:
    from core.door import Door

SUBJECT = Subject(
    title="Hives",
    commands={"hives": "hives, and how much honey each has given"},
    view="Hives",
    rows=("hive",),
    parts={"screen": "tests.hives"},
)


class HiveRow(NamedTuple):
    """One hive: pounds of honey, None where none was weighed."""

    hive: str
    pounds: float | None


def hive_rows() -> list[HiveRow]:
    """Two hives."""
    return [HiveRow("h1", 41.5), HiveRow("h2", None)]


COLUMNS = (
    Column("hive", "hive", 6),
    Column(
        "pounds", "honey", 9, lambda pounds: "none yet" if pounds is None else f"{pounds:g} lb", right=True
    ),
    Column("pounds", "pounds", on=CSV),
)
HIVE = RowSort(
    "hive",
    "On a hive",
    (
        letter(
            "look", "e", "looked into", "it was looked into", lambda r: whole(f"note {r.hive} looked into")
        ),
    ),
    view="hives",
)
ROWS = (HIVE,)


def hives(args: Namespace) -> int:
    """Print the hives."""
    open_door(args)
    return show_table(args, COLUMNS, hive_rows(), nothing="No hives.")


COMMANDS = {"hives": Command(hives, csv=True)}


class Hives(View):
    """The hives."""

    SORTS = ("hive",)

    def rows(self, session: Door) -> tuple[str, list[Row]]:
        return self.table(COLUMNS, hive_rows(), HIVE, lambda r: (r.hive,))


VIEW = Hives
