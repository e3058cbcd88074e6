"""YAML as plain text with places: nothing is guessed, nothing is silently dropped.

PyYAML turns `on` into True, `010` into 8 and `8:30` into 510, and keeps the last of
two equal keys. Here every scalar stays the text that was written.
"""

import unicodedata
from dataclasses import dataclass
from typing import Final

import yaml

from benchlink.core.document import Node, Problems, Table
from benchlink.errors import MisuseError, Place
from benchlink.store.reading import MAX_BYTES, decode, too_long
from benchlink.store.yaml_tree import MAX_DEPTH, Builder, Span

_HIDDEN: Final = {"Cc", "Cf", "Cs", "Zl", "Zp"}
_MOST_HIDDEN_NAMED: Final = 20
_NONCHARACTERS: Final = "\ufffe\uffff"

_PLAIN_WORDS: Final = (
    ("cannot start any token", "this character cannot stand here: put it in quotes"),
    ("mapping values are not allowed", "a second `: ` here, or wrong indentation"),
    ("',' or ']'", "a list that was opened with `[` is not closed before here"),
    ("',' or '}'", "a table that was opened with `{` is not closed before here"),
    ("unexpected end of stream", "a quote is opened and never closed"),
    ("unexpected document indicator", "a quote is opened and never closed"),
    ("escape", "a backslash in double quotes with an unknown letter after it"),
    ("expected '-' indicator", "wrong indentation: this does not belong to the list"),
    ("expected key", "wrong indentation: this belongs to no table"),
    ("could not find expected ':'", "a key without `:` after it"),
    ("<block end>", "wrong indentation: this belongs to nothing above it"),
    ("directive", "lines that begin with `%` are not used here"),
    ("incompatible YAML", "lines that begin with `%` are not used here"),
    ("nesting", f"more than {MAX_DEPTH} tables and lists inside each other"),
    ("expected the node content", "something is missing before this"),
    ("expected node content", "something is missing before this"),
)


@dataclass(frozen=True, slots=True)
class Parsed:
    """One document, and where each of its nodes begins and ends."""

    root: Node
    spans: dict[tuple[bool, Place], Span]
    """By whether the node is a table, and its place."""

    def span(self, node: Node) -> Span:
        """Extent of a node; one in block form ends with its last value."""
        return self.spans[isinstance(node, Table), node.place]


def load(text: str, name: str, *, most: int = MAX_BYTES) -> Node:
    """Read one document.

    Raises:
        FileError: every mistake found, each with its place in `name`.
    """
    return parse(text, name, most=most).root


def load_bytes(data: bytes, name: str, *, most: int = MAX_BYTES) -> Node:
    """Read one document from UTF-8 bytes.

    Raises:
        FileError: not UTF-8, or every mistake found.
    """
    return load(decode(data, name), name, most=most)


def parse(text: str, name: str, *, most: int = MAX_BYTES) -> Parsed:
    """Read one document and remember the extent of every node.

    Raises:
        FileError: every mistake found, each with its place in `name`.
    """
    if len(text.encode("utf-8", "surrogatepass")) > most:
        raise too_long(name, most)
    text = text.removeprefix("\ufeff")
    problems = Problems()
    builder = Builder(name, problems)
    _feed(builder, _without_hidden(text, name, problems))
    if builder.root is None and not problems.found:
        problems.add(Place(name, 1), "the file holds nothing but blanks and comments")
    problems.stop_if_any(name)
    return Parsed(_require(builder.root), builder.spans)


def _require(root: Node | None) -> Node:
    if root is None:
        msg = "a document without a root passed the check"
        raise MisuseError(msg)
    return root


def _without_hidden(text: str, name: str, problems: Problems) -> str:
    """Name characters that nobody sees, and put `_` there so that reading goes on."""
    # Most files hold none: the set of their characters is small and tells.
    if not any(map(_is_hidden, set(text.replace("\r\n", "\n")))):
        return text
    lines = text.replace("\r\n", "\n").split("\n")
    places = [
        (Place(name, number, column), char)
        for number, line in enumerate(lines, start=1)
        for column, char in enumerate(line, start=1)
        if _is_hidden(char)
    ]
    for place, char in places[:_MOST_HIDDEN_NAMED]:
        problems.add(place, _hidden_words(char))
    return "\n".join(
        "".join("_" if _is_hidden(char) else char for char in line) for line in lines
    )


def _is_hidden(char: str) -> bool:
    if char in "\t\n":
        return False
    return unicodedata.category(char) in _HIDDEN or char in _NONCHARACTERS


def _hidden_words(char: str) -> str:
    label = unicodedata.name(char, "a control character")
    return f"invisible character U+{ord(char):04X} ({label}): delete it"


def _feed(builder: Builder, text: str) -> None:
    problems, name = builder.problems, builder.name
    try:
        for event in yaml.parse(text, Loader=_loader()):
            builder.take(event)
            if builder.stopped:
                return
    except yaml.MarkedYAMLError as exc:
        mark = exc.problem_mark or exc.context_mark
        place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name, 1)
        problems.add(place, _plain_words(exc.problem or "", text, place))
    except (yaml.YAMLError, RecursionError, ValueError, OverflowError) as exc:
        # The last two: escapes beyond Unicode, in the parser without its C part.
        problems.add(Place(name, 1), f"this is not YAML text: {exc}")


def _plain_words(problem: str, text: str, place: Place) -> str:
    lines = text.split("\n")
    line = lines[place.line - 1] if place.line <= len(lines) else ""
    if "\t" in line[: place.column]:
        return "a tab before the text: indent with blanks"
    for needle, words in _PLAIN_WORDS:
        if needle in problem:
            return words
    return f"the text breaks off its form here ({problem})"


def _loader() -> type[yaml.CBaseLoader] | type[yaml.BaseLoader]:
    # PyYAML is sometimes built without its C part; the marks of both agree.
    return yaml.CBaseLoader if yaml.__with_libyaml__ else yaml.BaseLoader
