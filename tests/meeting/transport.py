"""A way to another machine that is none: run as ssh would be, it runs the remote command in a shell on this one.

    transport.py [--back BYTES] [--there BYTES] [--garble BYTE] [--greeting TEXT] [--delay SECONDS] [--gate FILE]
                 HOST COMMAND...

The other machine is called HOST there. It is cut after so many bytes one way or the other, as ssh is: with status 255.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path


def main() -> int:
    parser = argparse.ArgumentParser()
    parser.add_argument("--there", type=int, default=1 << 40)
    parser.add_argument("--back", type=int, default=1 << 40)
    parser.add_argument("--garble", type=int, default=-1)
    parser.add_argument("--greeting", default="")
    parser.add_argument("--delay", type=float, default=0)
    parser.add_argument("--gate", type=Path, help="nothing is passed back before this file is there")
    parser.add_argument("host")
    parser.add_argument("words", nargs=argparse.REMAINDER)
    args = parser.parse_args()
    shell = subprocess.Popen(
        ["sh", "-c", " ".join(args.words)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env={**os.environ, "SHEDBOOK_DEVICE": args.host},
        bufsize=0,
    )
    assert shell.stdin is not None and shell.stdout is not None
    os.write(1, args.greeting.encode())

    def pass_on(source: int, target: int, most: int, garble: int) -> None:
        passed = 0
        while passed < most and (part := bytearray(os.read(source, min(4096, most - passed)))):
            if passed <= garble < passed + len(part):
                part[garble - passed] ^= 1
            passed += len(part)
            time.sleep(args.delay)
            while part:
                del part[: os.write(target, part)]
        if passed == most:
            os._exit(255)

    def send() -> None:
        with suppress(OSError):
            pass_on(0, shell.stdin.fileno(), args.there, -1)
        shell.stdin.close()

    threading.Thread(target=send, daemon=True).start()
    while args.gate and not args.gate.exists():
        time.sleep(0.02)
    pass_on(shell.stdout.fileno(), 1, args.back, args.garble)
    return shell.wait()


if __name__ == "__main__":
    sys.exit(main())
