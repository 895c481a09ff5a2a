"""A lot's own page: where its stems are, how its drying goes, and its whole story."""

from __future__ import annotations

from typing import TYPE_CHECKING

from core.kinds import sentence
from core.problems import Problem
from tui.rows import Row, day_text, wrap
from tui.views.view import View

if TYPE_CHECKING:
    from core.door import Door


class Lot(View):
    """Opened on a row of one lot; Esc goes back."""

    code = ""

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        told = door.history(self.code)
        if isinstance(told, Problem):
            return f"{self.code}: Esc goes back", [Row("", ((told.sentence, "quiet"),))]
        rows = []
        for entry in told:
            first, *rest = wrap(sentence(entry), self.width - 8)
            rows.append(Row("", ((f"{day_text(entry.on):7} ", "quiet"), (first, ""))))
            rows += [Row("", ((f"{'':8}{more}", ""),)) for more in rest]
        return f"{self.code}: Esc goes back", rows
