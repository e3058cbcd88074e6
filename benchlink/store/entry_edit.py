"""One entry in a table of a profile's text: put in or changed; the rest stays as typed.

The text is cut at the places that the parser reported, so order, comments and spelling
survive, and the result is read again: whatever else changed its meaning is refused.
"""

from typing import Final, final

from benchlink.core.document import Entry, Node, Problems, Table
from benchlink.errors import FileError
from benchlink.store.draft import Draft
from benchlink.store.entry_nodes import entry_of, is_flow, plain_without, table_of
from benchlink.store.layer import read_layer
from benchlink.store.strict_yaml import Parsed, parse
from benchlink.store.yaml_tree import Span

BY_HAND: Final = "Nothing was changed. Edit it by hand there."
_INDENT: Final = "  "
_BOM: Final = "\ufeff"


@final
class EntryEdit:
    """The text of a profile, with cuts to make in one of its tables."""

    def __init__(self, text: str, key: str, source: str) -> None:
        """`key` is that of the table; `source` names the profile in messages.

        Raises:
            FileError: the profile has mistakes.
        """
        self.key: Final = key
        self.parsed: Final = _checked(text, source)
        self.draft: Final = Draft(text.removeprefix(_BOM))
        self._source: Final = source
        self._bom: Final = _BOM if text.startswith(_BOM) else ""

    @property
    def table(self) -> Table | None:
        """The table as it was."""
        return table_of(self.parsed.root, self.key)

    def entry(self, name: str) -> Entry | None:
        """What the table said of `name`."""
        return entry_of(self.table, name)

    def insert(self, words: str) -> None:
        """Put `name: value` into the table, beside its family, else last."""
        table = self.table
        if table is None:
            self._begin(words)
        elif not is_flow(table):
            neighbour = _neighbour(table, words)
            line = self.last_line(self.parsed.span(neighbour.value))
            indent = " " * self.parsed.span(neighbour.key).column
            self.draft.lines_after(line, indent + words)
        elif table.entries:
            self.draft.after(self.parsed.span(table.entries[-1].value), f", {words}")
        else:
            self.draft.put(self.parsed.span(table), f"{{{words}}}")

    def put(self, entry: Entry, new: str) -> None:
        """Write another value, on one line.

        Raises:
            FileError: a block of text, or comments that would be lost.
        """
        key, span = self.parsed.span(entry.key), self.parsed.span(entry.value)
        if span.block:
            msg = f"`{entry.key.text}` is written as a block of text on line {key.line}"
            raise FileError(msg, hint=BY_HAND)
        if span.line == key.end_line == span.end_line:
            self.draft.put(span, new)
            return
        # From the key on: a list of lines becomes one line, if no comment is lost.
        whole = Span(key.end_line, key.end_column, span.end_line, span.end_column)
        self.refuse_comments(entry, whole)
        self.draft.put(whole, f": {new}")

    def last_line(self, span: Span) -> int:
        """Where a node truly ends: the parser counts blank lines to a block of text."""
        line = span.end_line
        if span.block:
            line -= span.end_column == 0
            while not self.draft.line(line).strip():
                line -= 1
        return line

    def refuse_comments(self, entry: Entry, span: Span) -> None:
        """Refuse to take away a piece of text that a comment stands in.

        Raises:
            FileError: it does.
        """
        if "#" in self.draft.piece(span):
            line = self.parsed.span(entry.key).line
            msg = f"`{entry.key.text}` has comments inside its value on line {line}"
            raise FileError(msg, hint=BY_HAND)

    def proven(self, name: str) -> tuple[str, Node]:
        """The text as it came out, and its tree: nothing but `name` means another thing.

        Raises:
            FileError: it cannot be done without touching more than that.
        """
        result = self._bom + self.draft.text()
        try:
            parse(result, self._source)
        except FileError as exc:
            raise self.trouble(name) from exc
        before, after = self.parsed.root, _checked(result, self._source).root
        if plain_without(before, self.key, name) != plain_without(
            after, self.key, name
        ):
            raise self.trouble(name)
        return result, after

    def trouble(self, name: str) -> FileError:
        """The refusal of an edit that would reach further than it should."""
        return FileError(
            f"`{name}` cannot be changed in {self._source} without touching more than it",
            hint=BY_HAND,
        )

    def _begin(self, words: str) -> None:
        root = self.parsed.root
        if isinstance(root, Table) and is_flow(root):
            last = self.parsed.span(root.entries[-1].value)
            self.draft.after(last, f", {self.key}: {{{words}}}")
        else:
            line = self.draft.last_text_line()
            self.draft.lines_after(line, f"{self.key}:", _INDENT + words)


def _checked(text: str, source: str) -> Parsed:
    parsed = parse(text, source)
    problems = Problems()
    read_layer(parsed.root, problems)
    problems.stop_if_any(source)
    return parsed


def _neighbour(table: Table, words: str) -> Entry:
    """The last entry of the same family (`tilt.`), else the last one."""
    family = words.partition(".")[0] + "."
    kin = [e for e in table.entries if e.key.text.startswith(family)]
    return (kin or table.entries)[-1]
