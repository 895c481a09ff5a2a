"""Help: the keys of one view, what there is, then the lines to write; or what answers words that were asked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from core.dialect import in_words
from core.language.guide import EVERY_LINE, IN_EVERY_LINE, IN_UNITS, UNITS, Job, answers, contents, guide
from core.problems import Problem
from core.text import wrap
from tui.keys import ENTRY, EVERYWHERE, LIST, SEEKING, Key
from tui.letters import LETTERS
from tui.registry import NUMBER_KEYS, row_sort, view_class, views
from tui.row_keys import Row, RowKey
from tui.table import fit
from tui.views.view import Page

if TYPE_CHECKING:
    from core.session import Session


HELP = "help"
"""What a line begins with that asks for help."""


class Help(Page):
    """A page to scroll through; any view's, for it is told which. "help frost" in the entry line asks it."""

    BEGINS = f"{HELP} "

    def __init__(self, rule: str) -> None:
        super().__init__(rule)
        self.about = "today"
        self.asked = ""

    def speak_of(self, over: str, row: Row | None) -> None:
        self.about, self.asked = over, ""

    def seek(self, words: str, session: Session) -> None:
        """Tell what answers these words; the whole page where there are none."""
        self.asked = words.strip()
        self.load(session)
        self.listing.edge(-1)

    def rows(self, session: Session) -> tuple[str, list[Row]]:
        if self.asked:
            return f"Help with '{self.asked}': Esc or ? goes back, w asks more", self._answers()
        about = view_class(self.about)
        rows: list[Row] = []
        for sort in map(row_sort, about.SORTS):
            if sort.keys:
                rows += [_row(sort.title, "head"), *(_key(k, self.width) for k in sort.keys)]
        if about.KEYS:
            rows += [_row("On any row of this view", "head"), *(_key(k, self.width) for k in about.KEYS)]
        rows += self._contents()
        for name in about.JOBS:
            rows += self._job(name)
        rows += [_row("In the entry line", "head"), *(_key(k, self.width) for k in ENTRY)]
        rows += [_row("After / or .", "head"), *(_key(k, self.width) for k in SEEKING)]
        numbered = ", ".join(view.says for view in views().values() if view.key in [*NUMBER_KEYS])
        lettered = [Key("", (), v.key, "", f"go to {v.says}") for v in views().values() if v.key.isupper()]
        always = (Key("", (), "1 to 9, 0", "", f"go to {numbered}"), *lettered, *EVERYWHERE, *LIST)
        rows += [_row("Everywhere", "head"), *(_key(k, self.width) for k in always)]
        rows += [_row("Letters on rows, the same in all views", "head")]
        rows += [_key(Key("", (), each.letter, "", each.says), self.width) for each in LETTERS]
        for job in guide():
            if job.name not in about.JOBS:
                rows += self._job(job.name)
        listed = views().get(self.about)
        rows += self._lines(Job(EVERY_LINE, IN_EVERY_LINE))
        rows += self._lines(Job(UNITS, IN_UNITS))
        return f"Help for {listed.says if listed else self.about}: Esc or ? goes back", rows

    def _contents(self) -> Iterator[Row]:
        """The page of contents: what lines begin with, job by job, and how to ask."""
        yield _row("Lines begin with", "head")
        for job, words in contents():
            yield from self._example(job, ", ".join(words), wide=20)
        yield from self._example(f"w, then {HELP} frost", "asks in words; Enter tells the lines for it")
        yield from self._example("w, then meet shed:farm", "brings this book and that machine's to the same")

    def _answers(self) -> list[Row]:
        found = answers(self.asked)
        if isinstance(found, Problem):
            return [_row(text) for text in wrap(found.sentence, self.width)]
        return [row for job in found for row in self._lines(job)]

    def _job(self, name: str) -> list[Row]:
        """The lines for one job of the guide."""
        return self._lines(next(job for job in guide() if job.name == name))

    def _lines(self, job: Job) -> list[Row]:
        rows = [_row(job.name if job.name == EVERY_LINE else f"Lines to write: {job.name}", "head")]
        for line, does in job.examples:
            rows += self._example(line, does)
        return rows

    def _example(self, line: str, does: str, wide: int = 0) -> list[Row]:
        wide, line = wide or (34 if self.width >= 70 else 24), in_words(line)
        lines = wrap(does, self.width - wide, hang=2)
        if len(line) < wide:
            first = Row((), ((fit(line, wide), "key"), (lines.pop(0), "")))
            return [first, *(_row(" " * wide + more) for more in lines)]
        return [_row(line, "key"), *(_row(" " * wide + more) for more in lines)]


VIEW = Help


def _row(text: str, look: str = "") -> Row:
    return Row((), ((text, look),))


def _key(key: Key | RowKey, width: int) -> Row:
    return Row((), ((fit(key.shown, 9) + " ", "key"), (fit(key.words, width - 10).rstrip(), "")))
