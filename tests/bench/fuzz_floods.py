"""Endless talk of one kind each, made as it is taken, never held."""

from collections.abc import Callable, Iterator, Mapping
from itertools import chain, count, repeat
from random import Random
from typing import Final

LONG: Final = 20_000
"""Characters of a line that is long, but could still be one."""


def _listing() -> Iterator[bytes]:
    return (b"  tilt.left.n%d: %d\r\n" % (n, n % 2000) for n in count())


def _binary() -> Iterator[bytes]:
    chance = Random(7)  # noqa: S311 - a seeded generator is the point
    return (chance.randbytes(4096) for _ in count())


def _repeated(unit: bytes) -> Callable[[], Iterator[bytes]]:
    return lambda: repeat(unit * (4096 // len(unit) + 1))


def _lines(unit: bytes) -> Callable[[], Iterator[bytes]]:
    """Settings whose values are long and built to be hard."""
    body = unit * (LONG // len(unit))
    return lambda: (b"  craft.n%d: " % n + body + b"\r\n" for n in count())


FLOODS: Final[Mapping[str, Callable[[], Iterator[bytes]]]] = {
    "plain listing": _listing,
    "one endless line": _repeated(b"x"),
    "escape sequences": _repeated(
        b"\x1b[9999G\x1b[1mx\x1b[1K\x1b[2K\x1b]0;a\x07\x1b[5D\x1b[K\x1b[3C"
    ),
    "unfinished sequences": _repeated(b"\x1b[0;1\x1b]0;\x1b["),
    "prompts only": _repeated(b"\r\n@ "),
    "prompts in one line": _repeated(b"\r\x1b[K@ "),
    "CR only": _repeated(b"\r"),
    "tabs": _repeated(b"\t"),
    "nested quotes": _lines(rb'"\"\\"'),
    "lists in lists": _lines(b'["1",'),
    "digits": _lines(b"9"),
    "chatter only": _repeated(b"log: pack 14.8 V, all at rest\r\n"),
    "echoes only": _repeated(b"@ recite\r\n"),
    "binary": _binary,
}
"""By the name that the report shows; none of them ends by itself."""

WORST_CHUNKS: Final = (1, 2, 7, 64, 64, 64)
"""Sizes of the pieces that arrive, in turns."""


def chunks(kind: str, length: int) -> Iterator[bytes]:
    """So many bytes of one kind, in the pieces in which they arrive."""
    sizes = chain.from_iterable(repeat(WORST_CHUNKS))
    source, held, given = FLOODS[kind](), bytearray(), 0
    while given < length:
        size = min(next(sizes), length - given)
        while len(held) < size:
            held += next(source)
        yield bytes(held[:size])
        del held[:size]
        given += size
