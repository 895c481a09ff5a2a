"""Weather: the odds of frost, her own ground beside the station, what the dates hang on; below, the night to come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.rows import Line, Row, plain, wrap
from tui.views.view import View
from tui.weather_verb import night_lines, night_short, page_lines

if TYPE_CHECKING:
    from core.door import Door


class Weather(View):
    """A page to scroll through, and tonight under it."""

    night: tuple[str, ...] = ()

    def rows(self, door: Door) -> tuple[str, list[Row]]:
        night = door.tonight()
        self.night = tuple(night_short(night))
        # What is at risk stands first and whole; the strip below has room for its beginning only.
        first = [*night_lines(night), ""] if night.at_risk else []
        rows = []
        for text in [*first, *page_lines(door.weather())]:
            look = "" if text.startswith(" ") or text[:1].isdigit() else "bold"
            rows += [Row("", ((part, look),)) for part in wrap(text, self.width) or [""]]
        return "", rows

    def told(self) -> list[Line]:
        lines: list[Line] = []
        for i, text in enumerate(self.night):
            lines += plain(wrap(text.strip(), self.columns), "" if i else "bold")
        return lines
