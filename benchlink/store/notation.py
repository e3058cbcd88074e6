"""Our own spelling of names and texts in YAML files."""

import re
from typing import Final

from benchlink.core.values import SWITCH_WORDS, UNSET_WORD, decimal_or_none
from benchlink.errors import FileError

_BARE: Final = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.+/-]*", re.ASCII)
"""Never mistaken for anything but text, also inside `[a, b]`."""

_SHORT_ESCAPES: Final = {
    '"': '\\"',
    "\\": "\\\\",
    "\n": "\\n",
    "\r": "\\r",
    "\t": "\\t",
    "\0": "\\0",
}
_BYTE: Final = 0xFF
_SHORT: Final = 0xFFFF


def quoted(text: str) -> str:
    """Text in double quotes, everything invisible escaped (YAML 1.1, section 5.6).

    Raises:
        FileError: half of a surrogate pair, which no file of text can hold.
    """
    if any("\ud800" <= char <= "\udfff" for char in text):
        msg = f"{text!r} is not whole text: no file of ours can hold it"
        raise FileError(msg, hint="Nothing was written. Type it again as UTF-8.")
    return '"' + "".join(map(_escaped, text)) + '"'


def bare_or_quoted(text: str) -> str:
    """Text as it is where nobody can take it for anything else, else in quotes."""
    return text if _BARE.fullmatch(text) else quoted(text)


def is_bare_word(text: str) -> bool:
    """Whether a word needs nothing to tell it from a number, a switch or a text."""
    return (
        _BARE.fullmatch(text) is not None
        and text not in {*SWITCH_WORDS, UNSET_WORD}
        and decimal_or_none(text) is None
    )


def _escaped(char: str) -> str:
    if char in _SHORT_ESCAPES:
        return _SHORT_ESCAPES[char]
    if char.isprintable():
        return char
    code = ord(char)
    if code <= _BYTE:
        return f"\\x{code:02X}"
    return f"\\u{code:04X}" if code <= _SHORT else f"\\U{code:08X}"
