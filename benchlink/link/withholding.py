"""Secrets taken out of a stream of bytes, however it is cut into chunks.

What may be the beginning of a secret waits until the next bytes of the same direction
show whether it is one; a stream that ends there counts as the secret. A secret is
replaced where it begins; the rest of it vanishes from the chunks that carried it.
"""

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from typing import Final, final

from benchlink.link.recording_text import stand_in


@final
class Withholding:
    """One direction of one connection."""

    def __init__(self, secrets: Mapping[str, str]) -> None:
        """Take out the values of `secrets`, each by its name."""
        self._stand_ins: Final = {
            spelled: stand_in(name).encode()
            for name, secret in secrets.items()
            for spelled in _spellings(secret)
        }
        longest_first = sorted(self._stand_ins, key=len, reverse=True)
        self._secrets: Final = tuple(longest_first)
        self._find: Final = re.compile(b"|".join(map(re.escape, longest_first)))
        self._waiting: list[tuple[int, bytearray]] = []
        """Bytes that may begin a secret, each with the chunk that it came in."""
        self.count = 0
        """How many were taken out."""

    def feed(self, data: bytes, into: bytearray) -> None:
        """Put a chunk into `into`; some of it, or of earlier chunks, may wait."""
        if not self._secrets:
            into += data
            return
        waiting = self._waiting
        text = bytes(byte for byte, _ in waiting) + data
        chunks = [chunk for _, chunk in waiting]
        at = 0
        for found in self._find.finditer(text):
            self._pass(text, at, found.start(), chunks, into)
            begun_in = chunks[found.start()] if found.start() < len(chunks) else into
            begun_in += self._stand_ins[found[0]]
            self.count += 1
            at = found.end()
        kept = len(text) - self._begun(text[at:])
        self._pass(text, at, kept, chunks, into)
        self._waiting = [
            (text[i], chunks[i] if i < len(chunks) else into)
            for i in range(kept, len(text))
        ]

    def holds_back(self, chunk: bytearray) -> bool:
        """Whether bytes of this chunk wait."""
        return any(owner is chunk for _, owner in self._waiting)

    def settle(self) -> None:
        """The stream ends here: what waits is taken for a secret."""
        if not self._waiting:
            return
        begun = bytes(byte for byte, _ in self._waiting)
        secret = next(s for s in self._secrets if s.startswith(begun))
        chunk = self._waiting[0][1]
        chunk += self._stand_ins[secret]
        self.count += 1
        self._waiting = []

    def _begun(self, rest: bytes) -> int:
        """How many bytes at the end may begin a secret."""
        most = min(len(rest), len(self._secrets[0]) - 1)
        for count in range(most, 0, -1):
            end = rest[-count:]
            if any(len(s) > count and s.startswith(end) for s in self._secrets):
                return count
        return 0

    @staticmethod
    def _pass(
        text: bytes, start: int, end: int, chunks: list[bytearray], into: bytearray
    ) -> None:
        """Hand bytes back to the chunks that they came in."""
        for at in range(start, min(end, len(chunks))):
            chunks[at].append(text[at])
        into += text[max(start, len(chunks)) : end]


def _spellings(secret: str) -> Iterator[bytes]:
    """How it is written, whatever the charset of the console."""
    if secret:
        yield secret.encode()
        with suppress(UnicodeEncodeError):
            yield secret.encode("latin-1")
