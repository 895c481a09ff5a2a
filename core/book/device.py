"""The name of the machine that writes, and the short mark its lot codes carry."""

from __future__ import annotations

import os
import re
import zlib
from pathlib import Path

NAME = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")
"""What a device's name looks like: it is part of a file name, and never holds a dot."""

_MACHINE_IDS = ("/etc/machine-id", "/var/lib/dbus/machine-id")


def this_device() -> str:
    """This machine's name: SHEDBOOK_DEVICE, else host name and a short hash of the machine's own id.

    It is never stored in the farm folder, so that a copied folder writes a log of its own elsewhere.
    """
    return safe_name(os.environ.get("SHEDBOOK_DEVICE", "")) or _of_machine()


def safe_name(text: str) -> str:
    """`text` with only what a device's name may hold; "" where nothing of it is left."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower())[:40].strip("-")


def _of_machine() -> str:
    host = safe_name(os.uname().nodename.partition(".")[0])[:24].strip("-") or "machine"
    return f"{host}-{zlib.crc32(_machine_id()) & 0xFFFFFF:06x}"


def _machine_id() -> bytes:
    for name in _MACHINE_IDS:
        try:
            found = Path(name).read_bytes().strip()
        except OSError:
            continue
        if found:
            return found
    import uuid  # the network card's number: only where there is no machine-id

    return uuid.getnode().to_bytes(8, "big")
