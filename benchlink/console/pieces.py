"""Cutting text at a mark that means something only outside quotes."""

from collections.abc import Iterator


def pieces(text: str, mark: str, quote: str = "", escape: str = "") -> list[str]:
    """What stands between the marks; a mark inside quotes parts nothing.

    `quote` is one character, or an opening and a closing one; `escape` may be the
    closing one, which then counts doubled.
    """
    if not quote or mark not in text:
        return text.split(mark)
    found: list[str] = []
    start = 0
    for at in _outside(text, quote, escape):
        if at >= start and text.startswith(mark, at):
            found.append(text[start:at])
            start = at + len(mark)
    return [*found, text[start:]]


def outside(text: str, quote: str, escape: str = "") -> str:
    """The characters that do not stand inside quotes."""
    return "".join(text[at] for at in _outside(text, quote, escape)) if quote else text


def _outside(text: str, quote: str, escape: str) -> Iterator[int]:
    opens, closes = quote[0], quote[-1]
    inside = False
    at = 0
    while at < len(text):
        if not inside:
            yield at
            inside = text[at] == opens
        elif text[at] == escape != closes:
            at += 1
        else:
            inside = text[at] != closes
        at += 1
