"""A board on a pty that keeps whatever bytes it is told, and lists them."""

import os
import select
import threading
import tty
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import final

DESCRIPTION = """\
benchlink-console: 1
name: gull
title: A board that keeps bytes
boards: [gull]
opening: {{wake: abandon}}
line: {{ends-with: CR, abandon: 0x15, longest: 100{charset}}}
answer: {{prompt: "@ ", ok: [done], refused: ["no: {{remark}}"]}}
values: {{kind: word}}
{more}
settings:
  - {{list: {{line: all}}, forms: [{{pair: "{{name}} = {{value}}"}}]}}
verbs:
  readiness: {{line: ready, gives: ["outputs {{outputs}}"]}}
  identify: {{line: id, gives: ["{{type}} {{firmware}} {{number}}"]}}
  write: {{line: "let {{name}} be {{value}}"}}
  keep: {{line: keep}}
outputs: {{live: live, resting: rest}}
"""


def describe_in(folder: Path, charset: str = "", more: str = "") -> str:
    """A description file for this board."""
    path = folder / "gull.yaml"
    told = f", charset: {charset}" if charset else ""
    path.write_text(DESCRIPTION.format(charset=told, more=more))
    return str(path)


@final
class ByteBoard:
    """What it holds, by name; `port` is where it listens."""

    def __init__(self, port: str, held: dict[str, bytes]) -> None:
        self.port = port
        self.held = held

    def answer(self, line: bytes) -> bytes:
        """What it says to one line."""
        word, _, rest = line.partition(b" ")
        if word == b"id":
            return b"gull 1.0 LW-03\r\ndone\r\n"
        if word == b"ready":
            return b"outputs rest\r\ndone\r\n"
        if word == b"all":
            listed = (n.encode() + b" = " + v for n, v in self.held.items())
            return b"".join(pair + b"\r\n" for pair in listed) + b"done\r\n"
        if word == b"let":
            name, _, value = rest.partition(b" be ")
            self.held[name.decode()] = value
        return b"done\r\n"


@contextmanager
def byte_board(held: dict[str, bytes]) -> Iterator[ByteBoard]:
    """Such a board, switched off afterwards."""
    master, slave = os.openpty()
    tty.setraw(slave)
    ended, end = os.pipe()
    board = ByteBoard(os.ttyname(slave), held)
    thread = threading.Thread(target=_serve, args=(master, ended, board))
    thread.start()
    try:
        yield board
    finally:
        os.close(end)
        thread.join(10)
        for fd in (master, slave, ended):
            os.close(fd)


def _serve(master: int, ended: int, board: ByteBoard) -> None:
    typed = b""
    with suppress(OSError):
        while ended not in select.select([master, ended], [], [])[0]:
            typed += os.read(master, 4096)
            if b"\x15" in typed:
                typed = typed.rpartition(b"\x15")[2]
                os.write(master, b"\r\n@ ")
            *lines, typed = typed.split(b"\r")
            for line in lines:
                os.write(master, line + b"\r\n" + board.answer(line) + b"@ ")
