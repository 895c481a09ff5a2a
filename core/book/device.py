"""The name of the machine that writes, and the short mark its lot codes carry."""

from __future__ import annotations

import os
import re
from pathlib import Path
from zlib import crc32

from core.book import layout
from core.book.disk import open_to_read, read_file, trouble
from core.patterns import pattern

NAME = pattern(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")
"""What a device's name looks like: it is part of a file name, and never holds a dot."""

FIRST_BYTES = 400
"""Bytes of a line in which its head fields stand."""
_BY = pattern(rb'^[0-9a-f]{8}[ +]\{"id":"[^"]*","on":"[^"]*","at":"[^"]*","by":"([^"\\\\]{1,24})"')

_LETTERS = "abcdefghjkmnpqrstuvwxyz"  # none that looks like a digit on a tag
_MACHINE_IDS = ("/etc/machine-id", "/var/lib/dbus/machine-id")


def this_device() -> str:
    """This machine's name: SHEDBOOK_DEVICE, else host name and a short hash of the machine's own id.

    It is never stored in the farm folder, so that a copied folder writes a log of its own elsewhere.
    """
    return safe_name(os.environ.get("SHEDBOOK_DEVICE", "")) or _of_machine()


def safe_name(text: str) -> str:
    """`text` with only what a device's name may hold; "" where nothing of it is left."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower())[:40].strip("-")


def device_mark(folder: Path, device: str) -> str:
    """What sets this machine's lot codes apart from the other machines': "" for the one that made the farm.

    Otherwise one small letter that follows from the name alone; two where a machine that wrote in this
    book before has the same letter. The first line of a log never changes, so neither does the mark.
    """
    first = _first_ids(folder)
    maker = layout.about_farm(folder)["device"] or min(
        first, key=lambda name: (first[name], name), default=device
    )
    if device == maker:
        return ""
    mine = (first.get(device, "~"), device)  # one that has not written yet comes last
    before = {_letters(name, 1) for name, begun in first.items() if name != maker and (begun, name) < mine}
    return _letters(device, 2 if _letters(device, 1) in before else 1)


def first_writer(folder: Path, device: str) -> str:
    """The initials in the first line of this machine's own log: who set the farm up here; "" where nothing is written.

    A helper who writes once under initials of their own does not become the one who writes here.
    """
    try:
        with open_to_read(folder / layout.LOGS / f"{device}{layout.LOG_END}") as fd:
            first = os.pread(fd, FIRST_BYTES, 0).partition(b"\n")[0]
    except OSError:
        return ""
    found = _BY.search(first)
    return found[1].decode("utf-8", "replace") if found else ""


def _letters(device: str, count: int) -> str:
    number = crc32(device.encode())
    return "".join(_LETTERS[number // len(_LETTERS) ** place % len(_LETTERS)] for place in range(count))


def _first_ids(folder: Path) -> dict[str, str]:
    """The id in the first line of each machine's own log, by machine."""
    found = {}
    for name, size in layout.log_sizes(folder / layout.LOGS).items():
        device = name.removesuffix(layout.LOG_END)
        if size and NAME.fullmatch(device):
            try:
                with open_to_read(folder / layout.LOGS / name) as fd:
                    found[device] = os.pread(fd, 52, 0)[16:].decode("ascii", "replace")
            except OSError as error:
                raise trouble(error, "read", folder / layout.LOGS / name) from error
    return found


def _of_machine() -> str:
    host = safe_name(os.uname().nodename.partition(".")[0])[:24].strip("-") or "machine"
    return f"{host}-{crc32(_machine_id()) & 0xFFFFFF:06x}"


def _machine_id() -> bytes:
    for name in _MACHINE_IDS:
        try:
            found = read_file(Path(name), 4096, follow=True).strip()
        except OSError:
            continue
        if found:
            return found
    import uuid  # the network card's number: only where there is no machine-id

    return uuid.getnode().to_bytes(8, "big")
