"""Lines from a file, another program or the shell: read as text or refused whole, so that no letter is lost."""

from __future__ import annotations

from codecs import BOM_UTF8, BOM_UTF16_BE, BOM_UTF16_LE
from collections.abc import Iterable, Iterator

from core.problems import Problem

UTF_16 = Problem(
    "Standard input is in UTF-16: save it as UTF-8, then write it again. Nothing of it is written."
)


def typed_lines(raw: Iterable[bytes]) -> Iterator[str | Problem]:
    """Each line that is not blank as text, or why it is not written; `raw` as a file gives it, newlines and all.

    A mark of UTF-8 at the beginning and carriage returns at the ends are read over. UTF-16 ends the reading.
    """
    number = 0
    for part in raw:
        if not number and part.startswith((BOM_UTF16_LE, BOM_UTF16_BE)):
            yield UTF_16
            return
        if not number:
            part = part.removeprefix(BOM_UTF8)
        for line in part.splitlines():
            number += 1
            if line.strip():
                yield _text(line, number)


def typed_words(words: Iterable[str]) -> str | Problem:
    """The words of a command as one line, or why it is not written."""
    line = " ".join(words)
    try:
        line.encode()
    except UnicodeEncodeError as error:
        return Problem(
            f"The line is not UTF-8{_after(line[: error.start])}: set the terminal to UTF-8 and write it again."
        )
    return line


def _text(line: bytes, number: int) -> str | Problem:
    try:
        text = line.decode()
    except UnicodeDecodeError as error:
        return Problem(
            f"Line {number} is not UTF-8{_after(line[: error.start].decode())}: it is not written; save the file as "
            "UTF-8 and write this line again."
        )
    at = next((i for i, c in enumerate(text) if (c < " " and c != "\t") or c == "\x7f"), None)
    if at is None:
        return text
    return Problem(
        f"Line {number} holds a byte {ord(text[at])} that is no letter{_after(text[:at])}: it is not written; take "
        "it out and write this line again."
    )


def _after(before: str) -> str:
    return f" after '{before[-30:].strip()}'" if before.strip() else ""
