r"""Bytes of a board as lines that a person can read, and back without any loss.

A line keeps its own line end, written `\r\n`. What is not visible text is written as
`\xNN`, one for each byte, and a backslash as `\\`; everything else stands as it is.
"""

import re
from typing import Final

_LINES: Final = re.compile(rb"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_ESCAPES: Final = re.compile(r"\\(?:x([0-9A-F]{2})|(.))", re.DOTALL)
_NAMED: Final = {"\r": "\\r", "\n": "\\n", "\t": "\\t", "\\": "\\\\"}
_MEANT: Final = {"r": b"\r", "n": b"\n", "t": b"\t", "\\": b"\\"}


def to_lines(data: bytes) -> tuple[str, ...]:
    """One readable text for each line of the board."""
    return tuple(_readable(line) for line in _LINES.findall(data))


def to_bytes(lines: tuple[str, ...]) -> bytes:
    """What `to_lines` was made from.

    Raises:
        ValueError: a backslash with an unknown letter after it, or at the end.
    """
    return b"".join(_meant(line) for line in lines)


def _readable(line: bytes) -> str:
    return "".join(map(_visible, line.decode("utf-8", "surrogateescape")))


def _visible(char: str) -> str:
    if char in _NAMED:
        return _NAMED[char]
    if char.isprintable():
        return char
    return "".join(f"\\x{byte:02X}" for byte in char.encode("utf-8", "surrogateescape"))


def _meant(line: str) -> bytes:
    parts: list[bytes] = []
    done = 0
    for match in _ESCAPES.finditer(line):
        parts.append(_plain(line[done : match.start()]))
        code, letter = match.groups()
        parts.append(bytes.fromhex(code) if code else _named(letter))
        done = match.end()
    parts.append(_plain(line[done:]))
    return b"".join(parts)


def _named(letter: str) -> bytes:
    if letter not in _MEANT:
        msg = f"a backslash before {letter!r} means nothing"
        raise ValueError(msg)
    return _MEANT[letter]


def _plain(text: str) -> bytes:
    if "\\" in text:
        msg = "a backslash at the end of a line"
        raise ValueError(msg)
    return text.encode("utf-8", "surrogatepass")
