"""How bytes of a console stand for characters, both ways."""

from enum import Enum

from benchlink.core.stray import stray_byte, strays


class Charset(Enum):
    """A closed list of ways to write characters as bytes."""

    ASCII = "ascii"
    UTF_8 = "utf-8"
    LATIN_1 = "latin-1"
    """ISO 8859-1."""
    UNSAID = "unsaid"
    """Nobody said: read as UTF-8, and sent as ASCII only. A board that strips the eighth
    bit would take one half of a character for the end of the line."""

    @property
    def reads(self) -> str:
        """The codec for what the board says."""
        return "utf-8" if self is Charset.UNSAID else self.value

    @property
    def writes(self) -> str:
        """The codec for what the board is sent."""
        return "ascii" if self is Charset.UNSAID else self.value

    def decode(self, data: bytes) -> str:
        """Characters, control ones too; half a surrogate pair for a byte that is none."""
        return data.decode(self.reads, "surrogateescape")

    def held(self, char: str) -> str:
        """What stands in a line for a character that `decode` gave."""
        if char.isprintable():
            return char
        return strays(char.encode(self.reads, "surrogateescape"))

    def text(self, data: bytes) -> str:
        """The text of some bytes, with a stand-in for each that does not show."""
        text = self.decode(data)
        return text if text.isprintable() else "".join(map(self.held, text))

    def said(self, text: str) -> bytes:
        """The bytes that a board said for a text, stand-ins included."""
        if text.isascii():
            return text.encode("ascii")
        return b"".join(map(self._said, text))

    def _said(self, char: str) -> bytes:
        byte = stray_byte(char)
        return char.encode(self.reads) if byte is None else bytes([byte])

    def encode(self, text: str) -> bytes:
        """The bytes of a text.

        Raises:
            UnicodeEncodeError: it holds a character that this charset has not.
        """
        return text.encode(self.writes)

    def length(self, text: str) -> int:
        """How many bytes a text has, a character that cannot be sent counted as one."""
        return len(text) if text.isascii() else len(text.encode(self.writes, "replace"))

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
            char.encode(self.writes)
        except UnicodeEncodeError:
            code = f"U+{ord(char):04X}"
            return (
                f"{char!r} ({code}), which {self.writes} has not (`charset:` under"
                " `line:`)"
            )
        return ""


def _plain(text: str) -> bool:
    return text.isascii() and text.isprintable()
