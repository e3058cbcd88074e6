"""How bytes of a console stand for characters, both ways."""

from enum import Enum

from benchlink.core.stray import stray_byte, strays


class Charset(Enum):
    """A closed list of ways to write characters as bytes."""

    ASCII = "ascii"
    UTF_8 = "utf-8"
    LATIN_1 = "latin-1"
    """ISO 8859-1."""

    def decode(self, data: bytes) -> str:
        """Characters, control ones too; half a surrogate pair for a byte that is none."""
        return data.decode(self.value, "surrogateescape")

    def held(self, char: str) -> str:
        """What stands in a line for a character that `decode` gave."""
        if char.isprintable():
            return char
        return strays(char.encode(self.value, "surrogateescape"))

    def text(self, data: bytes) -> str:
        """The text of some bytes, with a stand-in for each that does not show."""
        text = self.decode(data)
        return text if text.isprintable() else "".join(map(self.held, text))

    def encode(self, text: str) -> bytes:
        """The bytes of a text.

        Raises:
            UnicodeEncodeError: it holds a character that this charset has not.
        """
        return text.encode(self.value)

    def length(self, text: str) -> int:
        """How many bytes a text has, a character that cannot be sent counted as one."""
        return len(text) if text.isascii() else len(text.encode(self.value, "replace"))

    def has(self, text: str) -> bool:
        """Whether every character shows, and can be sent as it is."""
        return _plain(text) or not any(map(self.why_not, text))

    def why_not(self, char: str) -> str:
        """Why a character cannot be sent; empty where it can."""
        byte = stray_byte(char)
        if byte is not None:
            return f"the byte {byte:02X}, which shows as no character here"
        if not char.isprintable():
            return f"U+{ord(char):04X}, which is not a plain printable character"
        try:
            char.encode(self.value)
        except UnicodeEncodeError:
            return f"{char!r}, which {self.value} has not (`charset:` under `line:`)"
        return ""


def _plain(text: str) -> bool:
    return text.isascii() and text.isprintable()
