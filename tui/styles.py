"""The looks as the toolkit's styles, and back again."""

from __future__ import annotations

from functools import lru_cache

from rich.style import Style

from tui.look import BOLD, DIM, GREEN, LOOKS, RED, REVERSED, UNDERLINED
from tui.paint import Numbers

COLORS = {RED: "red", GREEN: "green"}


def _style(look: Numbers) -> Style:
    on = {"bold": BOLD, "dim": DIM, "underline": UNDERLINED, "reverse": REVERSED}
    said = {name: True for name, number in on.items() if number in look}
    return Style(color=next((COLORS[n] for n in look if n in COLORS), None), **said)  # type: ignore[arg-type]


STYLES: dict[str, Style] = {name: _style(look) for name, look in LOOKS.items()}
"""A style for each look, by its name."""


@lru_cache(maxsize=1024)
def numbers_of(style: Style | None) -> Numbers:
    """The look of a style; of its colors only those of the looks are known."""
    if style is None:
        return ()
    on = ((style.bold, BOLD), (style.dim, DIM), (style.underline, UNDERLINED), (style.reverse, REVERSED))
    color = style.color.name if style.color else ""
    return (
        *(number for is_on, number in on if is_on),
        *(number for number, name in COLORS.items() if name == color),
    )
