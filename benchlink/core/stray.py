"""Bytes that show as no character: one stand-in for each, that means nothing else.

A byte that is no text, a tab inside a value, a mark that nobody sees: written out as
an escape, it would be equal to a board's own text that reads the same, and be written
to the board as that. A stand-in is a character for private use (Unicode, chapter 23.5)
that no text of a board is ever read as: what a board sends of those is taken byte by
byte as well.
"""

import re
from typing import Final

FIRST: Final = 0x10F700
"""The stand-in for byte 0; those of the others follow."""
_BYTES: Final = 0x100
_BAD_BYTE: Final = 0xDC00
"""Where Python puts a byte of a command line that is no UTF-8 (PEP 383)."""
_STRAY: Final = re.compile(f"[{chr(FIRST)}-{chr(FIRST + _BYTES - 1)}]")


def strays(data: bytes) -> str:
    """A stand-in for each byte."""
    return "".join(chr(FIRST + byte) for byte in data)


def has_stray(text: str) -> bool:
    """Whether a byte that is no text stands in it."""
    return _STRAY.search(text) is not None


def stray_byte(char: str) -> int | None:
    """The byte that a character stands for; None where it stands for itself."""
    return ord(char) - FIRST if _STRAY.match(char) else None


def restored(text: str) -> str:
    """The text with every byte of ASCII as the character that it is."""
    return _STRAY.sub(lambda found: chr(ord(found.group()) - FIRST), text)


def visible(char: str) -> str:
    """A character that shows, or its escape: nothing reaches a screen unseen."""
    if char.isprintable():
        return char
    byte = stray_byte(char)
    code = ord(char) if byte is None else byte
    if _BAD_BYTE <= code < _BAD_BYTE + _BYTES:
        code -= _BAD_BYTE
    return f"\\x{code:02x}" if code < _BYTES else f"\\u{code:04x}"


def shown(text: str) -> str:
    """A text with everything in it made visible."""
    return text if text.isprintable() else "".join(map(visible, text))
