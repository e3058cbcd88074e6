"""Whether a typed line can be sent to a console as it stands."""

from benchlink.console.charset import Charset
from benchlink.console.description import Manner


def why_not_plain(line: str, manner: Manner) -> str:
    """Why a line cannot be sent as it stands, in a sentence; empty where it can."""
    why = why_no_character(line, manner.charset)
    if why:
        return why
    if manner.charset.length(line) > manner.longest_line:
        return (
            f"the line has {manner.charset.length(line)} bytes, and the board takes"
            f" {manner.longest_line}"
        )
    return ""


def why_no_character(line: str, charset: Charset) -> str:
    """The same for its characters alone."""
    for place, char in enumerate(line, start=1):
        why = charset.why_not(char)
        if why:
            return f"character {place} of the line cannot be sent: {why}"
    return ""
