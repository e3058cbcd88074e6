"""A text with cuts to make, so that everything outside them stays as it was typed."""

from typing import final

from benchlink.store.yaml_tree import Span


@final
class Draft:
    """Collects cuts by line and column; they are made from the end backwards."""

    def __init__(self, text: str) -> None:
        self._lines = text.split("\n")
        self._newline = "\r\n" if "\r\n" in text else "\n"
        self._cuts: list[tuple[Span, str]] = []

    def put(self, span: Span, new: str) -> None:
        """Replace what stands in the span."""
        self._cuts.append((span, new))

    def after(self, span: Span, new: str) -> None:
        """Insert right after the span."""
        line, column = span.end_line, span.end_column
        self.put(Span(line, column, line, column), new)

    def lines_after(self, number: int, *new: str) -> None:
        """Insert whole lines after line `number`, whatever comment ends that."""
        column = len(self._lines[number - 1].rstrip("\r"))
        text = "".join(self._newline + line for line in new)
        self.put(Span(number, column, number, column), text)

    def drop_lines(self, first: int, last: int) -> None:
        """Take whole lines away; never the first one of the text."""
        if last < len(self._lines):
            self.put(Span(first, 0, last + 1, 0), "")
            return
        before = len(self._lines[first - 2].rstrip("\r"))
        self.put(Span(first - 1, before, last, len(self._lines[last - 1])), "")

    def line(self, number: int) -> str:
        """One line without its end; empty beyond the last."""
        if number > len(self._lines):
            return ""
        return self._lines[number - 1].rstrip("\r")

    def piece(self, span: Span) -> str:
        """The text in a span."""
        lines = self._lines[span.line - 1 : span.end_line]
        lines[-1] = lines[-1][: span.end_column]
        lines[0] = lines[0][span.column :]
        return "\n".join(lines)

    def last_text_line(self) -> int:
        """Number of the last line with anything on it."""
        filled = [n for n, line in enumerate(self._lines, 1) if line.strip()]
        return filled[-1]

    def text(self) -> str:
        """The text after all cuts."""
        lines = list(self._lines)
        for span, new in sorted(
            self._cuts, key=lambda c: (c[0].line, c[0].column), reverse=True
        ):
            first, last = lines[span.line - 1], lines[span.end_line - 1]
            lines[span.line - 1 : span.end_line] = [
                first[: span.column] + new + last[span.end_column :]
            ]
        return "\n".join(lines)
