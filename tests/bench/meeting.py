"""What a meeting of two machines costs, beside a merge of the same in the same run: `python -m tests.bench meet`.

The two sides talk in one process, over pipes; what the farm is reckoned to be is left out.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import threading
import time
from pathlib import Path

from core.book.book import Book
from core.book.merge import merge
from core.meeting.exchange import About, Outcome, Side, answer, begin
from core.meeting.line import Channel
from tests.bench.storage import make_book
from tests.farms import cuts

SIZES = 2_000, 20_000, 200_000
A_DAY = 20


class Nothing:
    """No file lies beside these books."""

    def lacks(self) -> bool:
        return False

    def data(self) -> bytes:
        return b""

    def take(self, data: bytes) -> str:
        return ""


class Counted(Channel):
    """A line that counts the bytes it sends."""

    sent = 0

    def send(self, data: bytes) -> None:
        self.sent += len(data)
        super().send(data)


def side(book: Book) -> Side:
    def bring(path, part, moved):  # type: ignore[no-untyped-def]
        return merge(book, path, None, moved, None, part)

    return Side(book, About("", 0, 0, ""), bring, lambda _about: None, Nothing())


def met(here: Book, there: Book) -> tuple[float, int, Outcome]:
    """(seconds, bytes both ways, what came of it)."""
    from_here, to_there = os.pipe(), os.pipe()
    lines = Counted(to_there[0], from_here[1], "there"), Counted(from_here[0], to_there[1], "here")
    answering = threading.Thread(
        target=lambda: answer(lines[1], there.device, lambda: side(there), Outcome())
    )
    outcome = Outcome()
    begun = time.perf_counter()
    answering.start()
    begin(lines[0], side(here), outcome, sure=True, moved=lambda _share: None, first=60)
    answering.join()
    took = time.perf_counter() - begun
    for fd in (*from_here, *to_there):
        os.close(fd)
    return took, sum(line.sent for line in lines), outcome


def main() -> None:
    print("entries  what                    seconds  beside a merge  bytes on the line  beside the logs")
    for size in SIZES:
        with tempfile.TemporaryDirectory() as folder:
            shed = make_book(Path(folder) / "shed", size)
            logs = sum(log.stat().st_size for log in shed.folder.glob("log/*.log"))
            merged = Book.create(Path(folder) / "merged", device="net")
            begun = time.perf_counter()
            merge(merged, shed.folder)
            first = time.perf_counter() - begun
            net = Book.create(Path(folder) / "net", device="net")
            _tell(size, "a new, empty netbook", met(net, shed), first, logs)
            net.append(cuts(A_DAY), by="ml")
            shutil.copytree(net.folder, Path(folder) / "copy")
            begun = time.perf_counter()
            merge(shed, Path(folder) / "copy")
            daily = time.perf_counter() - begun
            net.append(cuts(A_DAY), by="ml")
            _tell(size, f"{A_DAY} lines of a day", met(net, shed), daily, logs)
            _tell(size, "nothing new", met(net, shed), daily, logs)


def _tell(size: int, what: str, of: tuple[float, int, Outcome], beside: float, logs: int) -> None:
    took, sent, outcome = of
    assert outcome.is_whole
    print(f"{size:7}  {what:22}  {took:7.2f}  {took / beside:13.1f}x  {sent:17}  {sent / logs:14.4f}x")


if __name__ == "__main__":
    main()
