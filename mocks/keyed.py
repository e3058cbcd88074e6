"""A console that looks at every key by itself: pagers, questions, unechoed words."""

from abc import ABC, abstractmethod
from collections import deque
from typing import TYPE_CHECKING, Final

from .console import Said, Typed

if TYPE_CHECKING:
    from collections.abc import Callable

ERASERS: Final = frozenset({0x08, 0x7F})
CR: Final = 0x0D
LF: Final = 0x0A
PRINTABLE: Final = range(0x20, 0x7F)
REMEMBERED_LINES: Final = 200


class Keyed(ABC):
    """Keys in, work out; a subclass says what a key does."""

    def __init__(self) -> None:
        self.commands = 0
        self.received: deque[str] = deque(maxlen=REMEMBERED_LINES)
        self._todo: deque[Callable[[int], Said]] = deque()

    @property
    def busy(self) -> bool:
        """Something typed is still to be carried out."""
        return bool(self._todo)

    def wipe(self) -> None:
        """Forget what waits; a subclass forgets its own state as well."""
        self._todo.clear()

    def type(self, data: bytes | bytearray, start: int) -> Typed:
        """Take keys from `start` until one gives work to do."""
        say = bytearray()
        at = start
        while at < len(data) and not self._todo:
            say += self._key(data[at])
            at += 1
        return Typed(upto=at, say=bytes(say))

    def work(self, now_us: int) -> Said:
        """Carry out what was typed."""
        self.commands += 1
        return self._todo.popleft()(now_us)

    @abstractmethod
    def _key(self, key: int) -> bytes:
        """What is said when this key is pressed."""


def text(*lines: str) -> bytes:
    """Lines as they are sent."""
    return "".join(f"{line}\r\n" for line in lines).encode("ascii", "replace")
