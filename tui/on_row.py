"""What a key does on the row under the cursor: the letters that write of it, and Enter, which leads on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from core.codes import canonical
from tui.letters import says_of
from tui.row_keys import Ask, Row, RowKey, Typed

if TYPE_CHECKING:
    from core.farm import Farm
    from tui.app import ShedApp


def press(app: ShedApp, letter: str) -> None:
    """Do what a letter does on the row under the cursor, or in the whole view."""
    row = app.view.listing.row
    found: list[tuple[RowKey, Row | None]] = [(k, row) for k in row.keys] if row else []
    found += [(k, None) for k in app.view.KEYS]
    pressed = next(((k, of) for k, of in found if letter in k.keys), None)
    if pressed is not None:
        _do(app, *pressed)
    elif row is not None and (known := says_of(letter)):
        app.status.tell("", f"{letter} is for: {known}; not on this row.")


def _do(app: ShedApp, key: RowKey, row: Row | None) -> None:
    """What a key does, of the view or of a row; nothing where that is there no more."""
    value: Any = None if row is None else app.view.value(row)
    if row is not None and value is None and row.value is not None:
        return
    typed = key.line(value)
    if isinstance(typed, Typed) and typed.words:
        app.held.opened()
    else:
        app.held.done()
    if isinstance(typed, Ask):
        app.put_question(typed, app.write)
    else:
        app.put(typed)


def enter(app: ShedApp) -> None:
    """Go where the row leads to: the page, or else the story, of what it speaks of; else the entry line."""
    row = app.view.listing.row
    if row is not None and row.folds:
        app.view.fold(row.folds, app.session)
        app.pane.paint()
    elif row is not None and (goes := app.view.goes(row)):
        _go_to(app, row, goes)
    elif row is not None and row.sort and row.sort.page and row.sort.page != app.open_view:
        app.open_over(row.sort.page, row)
    elif row is not None and not app.view.TYPES and (code := _spoken_of(app.session.farm, row)):
        app.find(code)
    else:
        app.action_write()


def _spoken_of(farm: Farm, row: Row) -> str:
    """What is looked up of a row: the code of its tray, planting, lot or bed, else the name of its thing (a plan, a
    box, a supply, the end of an entry's id); "" where it is of none."""
    code = next((of for of in row.id[1:] if canonical(of) == of or of in farm.beds), "")
    name = row.id[1] if len(row.id) > 1 else ""
    return code or (f'"{name}"' if " " in name else name)


def _go_to(app: ShedApp, row: Row, goes: str | Typed | RowKey) -> None:
    if isinstance(goes, RowKey):
        _do(app, goes, row)
    elif isinstance(goes, Typed):
        app.put(goes)
    else:
        app.action_show(goes)
        if app.view.listing.choose(row.id):
            app.pane.paint()
