"""A crop's sheet as a page: every figure with its source, the stage to cut for each use."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.problems import Problem
from tui.row_keys import Row
from tui.subjects.settings import crop_page
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session


class Crop(Page):
    """Opened from the search; Esc goes back."""

    name = ""

    def speak_of(self, over: str, row: Row | None) -> None:
        if row is not None:
            self.name = row.id[1]

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        found = crop_page(session, self.name)
        lines = [found.sentence] if isinstance(found, Problem) else found
        return f"{self.name}: Esc goes back", [Row((), ((line, ""),)) for line in lines]


VIEW = Crop
