"""What to say about a board that shows no prompt."""

import string
from typing import Final

from benchlink.errors import SilentBoardError
from benchlink.units import Baud

SHOWN_CHARACTERS: Final = 60
"""Enough to recognise another console, short enough for one line."""

SHOWN_REFUSAL: Final = 160
"""A refusal is shown whole: a line or two."""

NOISE_SHARE: Final = 0.3
"""More unreadable bytes than this are not text in any language: a wrong speed."""

_READABLE: Final = frozenset((string.printable.strip() + " \r\n\t").encode())


TIMES: Final = {1: "once", 2: "twice"}


def silent_board(
    url: str, speed: Baud | None, heard: bytes, logins: int = 0
) -> SilentBoardError:
    """No prompt came; the hint follows from what came instead.

    `logins` is how often what the person told was sent to it.
    """
    if logins:
        return _not_let_in(url, heard, TIMES.get(logins, f"{logins} times"))
    at = f" at {speed} baud" if speed else ""
    if not heard:
        return SilentBoardError(
            f"the board at {url} says nothing{at}",
            hint="No power, wrong speed, or another console? Nothing was changed.",
        )
    if _noise_share(heard) > NOISE_SHARE:
        return SilentBoardError(
            f"only noise comes from {url}{at}: {heard[-SHOWN_CHARACTERS // 3 :].hex()}",
            hint="Wrong speed? Nothing was changed.",
        )
    return SilentBoardError(
        f"{url} speaks{at}, but shows no prompt that is known here: {_shown(heard)}",
        hint="Another console, or still starting? Nothing was changed.",
    )


def _not_let_in(url: str, heard: bytes, times: str) -> SilentBoardError:
    return SilentBoardError(
        f"the board at {url} does not let you in: what you typed was sent {times}, and"
        f" no prompt followed: {_last_lines(heard)}",
        hint="Nothing was changed, and a secret that you typed is kept nowhere. Run this"
        " again and type it anew, but not at once: a board may lock out whoever keeps"
        " guessing. If all of it is right, the description does not fit this console.",
    )


def _noise_share(heard: bytes) -> float:
    return sum(byte not in _READABLE for byte in heard) / len(heard)


def _shown(heard: bytes) -> str:
    return f"`{_printable(heard)[-SHOWN_CHARACTERS:]}`"


def _last_lines(heard: bytes) -> str:
    """Whole lines, the last ones that fit: a refusal with its first letters cut is none."""
    kept = ""
    for line in reversed([_printable(line) for line in heard.splitlines()]):
        longer = f"{line} {kept}".strip()
        if len(longer) > SHOWN_REFUSAL and kept:
            break
        kept = longer
    return f"`{kept[:SHOWN_REFUSAL]}`"


def _printable(heard: bytes) -> str:
    text = " ".join(heard.decode("ascii", "replace").split())
    return "".join(c if c.isprintable() else "\ufffd" for c in text)
