"""The line being typed at a made-up console, and what its echo looks like."""

from typing import TYPE_CHECKING, Final, final

from .generated_plan import Echo

if TYPE_CHECKING:
    from .generated_plan import Plan

FOLD_COLUMNS: Final = 40
"""An echo that folds starts a new line after so many columns, prompt included."""
ERASERS: Final = frozenset({0x08, 0x7F})
ABANDON: Final = 0x15
"""Throws the line away."""

_SPACE: Final = 0x20
_TOP: Final = 0x7E


@final
class Typing:
    """Collects a line; `key` gives the echo, `line` the finished line once."""

    def __init__(self, plan: "Plan") -> None:
        self.text = ""
        self.line: str | None = None
        self.column = 0
        """Where the cursor stands; the console sets it when it has said a prompt."""
        self._echo = plan.echo
        self._end_in = plan.line_end_in[-1:].encode()
        self._end_out = plan.line_end_out.encode()

    def wipe(self) -> None:
        """Forget what was typed."""
        self.text = ""
        self.line = None
        self.column = 0

    def key(self, key: int) -> bytes:
        """Take one byte."""
        if bytes([key]) == self._end_in:
            self.line, self.text = self.text, ""
            self.column = 0
            return self._echoed(self._end_out)
        if key in ERASERS and self.text:
            return self._erase()
        if key == ABANDON:
            self.wipe()
            self.line = ""
            return self._echoed(self._end_out)
        if not _SPACE <= key <= _TOP:
            return b""
        before, self.text = self.text, self.text + chr(key)
        return self._echoed(self._shown(before, key))

    def _echoed(self, data: bytes) -> bytes:
        return b"" if self._echo is Echo.NONE else data

    def _shown(self, before: str, key: int) -> bytes:
        if self._echo is Echo.DRAWN:
            return b"\b" * len(before) + self.text.encode()
        self.column += 1
        if self._echo is Echo.FOLDED and self.column >= FOLD_COLUMNS:
            self.column = 0
            return bytes([key]) + self._end_out
        return bytes([key])

    def _erase(self) -> bytes:
        before, self.text = self.text, self.text[:-1]
        if self._echo is Echo.DRAWN:
            kept = self.text.encode()
            return b"\b" * len(before) + kept + b" \b"
        self.column = max(0, self.column - 1)
        return self._echoed(b"\b \b")
