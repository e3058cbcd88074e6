"""A parsed text file as plain data with places, and the reader that checks it.

The store turns YAML into these nodes; whoever knows a format reads them here and
reports every mistake at once, each with its file, line and column.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Final, TypeVar, final

from benchlink.errors import FileError, Place, Problem

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Scalar:
    """Text exactly as written; `quoted` tells `"on"` from `on`."""

    text: str
    quoted: bool
    place: Place


@dataclass(frozen=True, slots=True)
class Items:
    """A list of nodes."""

    items: tuple["Node", ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Entry:
    """One `key: value` of a table; the key keeps its own place."""

    key: Scalar
    value: "Node"


@dataclass(frozen=True, slots=True)
class Table:
    """Keys and values in written order; keys are unique."""

    entries: tuple[Entry, ...]
    place: Place

    def get(self, key: str) -> "Node | None":
        """The value under `key`, or None."""
        for entry in self.entries:
            if entry.key.text == key:
                return entry.value
        return None


Node = Scalar | Items | Table


def kind_of(node: Node) -> str:
    """What to call a node when talking to a person."""
    match node:
        case Scalar():
            return f"the text {node.text!r}"
        case Items():
            return "a list"
        case Table():
            return "a table of keys"


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that is spelled most alike, or nothing where none is."""
    by_folded = {name.casefold(): name for name in reversed(tuple(known))}
    found = get_close_matches(word.casefold(), list(by_folded), n=1)
    return by_folded[found[0]] if found else ""


def _in_order(problem: Problem) -> tuple[str, int, int]:
    return problem.place.file, problem.place.line, problem.place.column


@final
@dataclass(slots=True)
class Problems:
    """Collects every mistake of one reading."""

    found: list[Problem] = field(default_factory=list)

    def add(self, place: Place, text: str) -> None:
        """Note one mistake."""
        self.found.append(Problem(place, text))

    def stop_if_any(self, what: str) -> None:
        """End the reading when anything was found.

        Raises:
            FileError: with all problems, in the order of their places.
        """
        if not self.found:
            return
        ordered = sorted(self.found, key=_in_order)
        count = len(ordered)
        msg = f"{what} has {count} mistake{'s' if count > 1 else ''}"
        raise FileError(
            msg,
            hint="Nothing was sent to a board. Mend the lines above and run it again.",
            problems=tuple(ordered),
        )


@final
class TableReader:
    """Takes known keys from a table; whatever is left is a mistake that gets named."""

    def __init__(self, node: Node, problems: Problems, what: str) -> None:
        self.problems: Final = problems
        self.what: Final = what
        self.place: Final = node.place
        self._left: dict[str, Entry] = {}
        self._known: list[str] = []
        if isinstance(node, Table):
            self._left = {entry.key.text: entry for entry in node.entries}
        else:
            problems.add(
                node.place, f"{what} must be a table of keys, not {kind_of(node)}"
            )

    def take(self, key: str) -> Node | None:
        """The node under `key`, which then counts as understood."""
        self._known.append(key)
        entry = self._left.pop(key, None)
        return entry.value if entry else None

    def has(self, key: str) -> bool:
        """Whether `key` stands there and was not taken yet; counts as known."""
        self._known.append(key)
        return key in self._left

    def names_like(self, start: str) -> tuple[str, ...]:
        """Keys not taken yet that begin with `start`."""
        return tuple(key for key in self._left if key.startswith(start))

    def need(self, key: str) -> Node | None:
        """Like `take`, and a mistake when it is not there."""
        node = self.take(key)
        if node is None:
            self.problems.add(self.place, f"{self.what} needs `{key}:`")
        return node

    def text(self, key: str, default: str = "") -> str:
        """Text under `key`, or the default."""
        node = self.take(key)
        return default if node is None else self._text_of(node, key)

    def need_text(self, key: str) -> str:
        """Text under `key`; a mistake when absent or empty."""
        node = self.need(key)
        if node is None:
            return ""
        text = self._text_of(node, key)
        if not text and isinstance(node, Scalar):
            self.problems.add(node.place, f"`{key}:` is empty")
        return text

    def whole(self, key: str, default: int, *, least: int = 0) -> int:
        """A whole number under `key`, at least `least`, or the default."""
        node = self.take(key)
        if node is None:
            return default
        text = self._text_of(node, key)
        try:
            number = int(text)
        except ValueError:
            self.problems.add(
                node.place, f"`{key}:` must be a whole number, not {text!r}"
            )
            return default
        if number < least:
            self.problems.add(node.place, f"`{key}:` must be {least} or more")
            return default
        return number

    def number(self, key: str, default: float) -> float:
        """A number above zero under `key`, or the default."""
        node = self.take(key)
        if node is None:
            return default
        text = self._text_of(node, key)
        try:
            number = float(text)
        except ValueError:
            number = -1.0
        if not 0 < number < float("inf"):
            self.problems.add(
                node.place, f"`{key}:` must be a number above 0, not {text!r}"
            )
            return default
        return number

    def choice(self, key: str, choices: Mapping[str, T], default: T) -> T:
        """One word of a closed list under `key`, or the default."""
        node = self.take(key)
        if node is None:
            return default
        text = self._text_of(node, key)
        if text not in choices:
            allowed = ", ".join(choices)
            near = nearest(text, choices)
            meant = f"; write {near}" if near else ""
            self.problems.add(
                node.place, f"`{key}:` must be one of {allowed}, not {text!r}{meant}"
            )
            return default
        return choices[text]

    def texts(self, key: str) -> tuple[Scalar, ...]:
        """A list of texts under `key` (one text counts as a list of one)."""
        node = self.take(key)
        if node is None:
            return ()
        if isinstance(node, Scalar):
            return (node,)
        return tuple(self._scalars(node, key))

    def table(self, key: str, what: str) -> "TableReader | None":
        """A reader for the table under `key`, or None when it is absent."""
        node = self.take(key)
        return None if node is None else TableReader(node, self.problems, what)

    def tables(self, key: str, what: str) -> tuple["TableReader", ...]:
        """Readers for a list of tables under `key`."""
        node = self.take(key)
        if node is None:
            return ()
        if not isinstance(node, Items):
            self.problems.add(
                node.place, f"`{key}:` must be a list, not {kind_of(node)}"
            )
            return ()
        return tuple(TableReader(item, self.problems, what) for item in node.items)

    def entries(self) -> tuple[Entry, ...]:
        """Every entry not taken yet, for tables whose keys are data."""
        entries = tuple(self._left.values())
        self._left.clear()
        return entries

    def finish(self) -> None:
        """Name every key that nobody asked for, and the closest that is known."""
        for entry in self._left.values():
            allowed = ", ".join(dict.fromkeys(self._known))
            near = nearest(entry.key.text, self._known)
            meant = f"; write `{near}:`" if near else ""
            self.problems.add(
                entry.key.place,
                f"{self.what} does not know `{entry.key.text}:`{meant}"
                f" (it knows {allowed})",
            )

    def _scalars(self, node: Node, key: str) -> Iterator[Scalar]:
        if not isinstance(node, Items):
            self.problems.add(
                node.place, f"`{key}:` must be a list, not {kind_of(node)}"
            )
            return
        for item in node.items:
            if isinstance(item, Scalar):
                yield item
            else:
                self.problems.add(
                    item.place, f"`{key}:` lists texts, not {kind_of(item)}"
                )

    def _text_of(self, node: Node, key: str) -> str:
        if isinstance(node, Scalar):
            return node.text
        self.problems.add(node.place, f"`{key}:` must be text, not {kind_of(node)}")
        return ""
