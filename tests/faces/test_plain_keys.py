"""Bytes of a keyboard as words, whole or cut by a read."""

import fcntl
import os
import termios
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress

import pytest

from benchlink.faces import plain_keys
from benchlink.faces.plain_keys import TerminalKeys, key_words
from benchlink.units import Seconds

SOON = Seconds(10.0)

WORDS = {
    b"a 7\r\n": ("a", "space", "7", "enter", "enter"),
    b"\x7f\x08": ("backspace", "backspace"),
    b"\x1b[A\x1b[B\x1b[C\x1b[D": ("up", "down", "right", "left"),
    b"\x1bOA\x1bOB\x1bOC\x1bOD": ("up", "down", "right", "left"),
    b"\x1b": ("escape",),
    b"\x1b\x1b[A": ("escape", "up"),
    b"\x1bq": ("escape", "q"),
    b"\x1b[15~": ("other",),
    b"\x1b[1;5A": ("other",),
    b"\x1b[3~\x1b[A5": ("other", "up", "5"),
    b"\x1b[?25 q9": ("other", "9"),
    b"\x1bOP": ("other",),
    b"\x1b[200~15\r\x1b[201~": ("other", "1", "5", "enter", "other"),
    b"\x1b[1\x1b[A": ("other", "up"),
    b"\x1b[1\x03": ("other", "other"),
    b"\x1b[": ("other",),
    b"\xc3\xb6": ("other", "other"),
}
"""No digit of a sequence ever counts as one that was typed."""


@pytest.mark.parametrize("data", WORDS, ids=repr)
def test_each_key_is_a_word(data: bytes) -> None:
    assert tuple(key_words(data)) == WORDS[data]


class Typing:
    """One end types, the other is read as a terminal would be."""

    def __init__(self) -> None:
        self.terminal, self.keyboard = os.pipe()
        self.keys = TerminalKeys(self.terminal, lambda _: None)

    def types(self, data: bytes) -> None:
        os.write(self.keyboard, data)

    def until_read(self) -> None:
        """Until a read has taken what was typed so far."""
        limit = time.monotonic() + SOON
        left = bytearray(4)
        while True:
            fcntl.ioctl(self.terminal, termios.FIONREAD, left)
            if not any(left):
                return
            assert time.monotonic() < limit
            threading.Event().wait(0.001)

    def goes(self) -> None:
        os.close(self.keyboard)


@pytest.fixture
def typing() -> Iterator[Typing]:
    made = Typing()
    yield made
    for end in (made.terminal, made.keyboard):
        with suppress(OSError):
            os.close(end)


@pytest.mark.parametrize(
    ("pieces", "words"),
    [
        ((b"\x1b", b"[A"), ("up",)),
        ((b"\x1b[", b"B"), ("down",)),
        ((b"\x1bO", b"C"), ("right",)),
        ((b"5\x1b[1", b"5", b"~"), ("5", "other")),
        ((b"\x1b", b"q"), ("escape", "q")),
    ],
)
def test_a_sequence_that_a_read_cut_is_put_together(
    typing: Typing,
    monkeypatch: pytest.MonkeyPatch,
    pieces: tuple[bytes, ...],
    words: tuple[str, ...],
) -> None:
    monkeypatch.setattr(plain_keys, "REST_WITHIN", SOON)
    with ThreadPoolExecutor(1) as others:
        typing.types(pieces[0])
        pressed = others.submit(typing.keys.pressed, SOON)
        for piece in pieces[1:]:
            typing.until_read()
            typing.types(piece)
        assert pressed.result(SOON) == words


@pytest.mark.parametrize(
    ("data", "words"), [(b"\x1b", ("escape",)), (b"\x1b[", ("other",))]
)
def test_what_has_no_rest_is_waited_for_only_a_moment(
    typing: Typing, data: bytes, words: tuple[str, ...]
) -> None:
    typing.types(data)
    began = time.monotonic()
    assert typing.keys.pressed(SOON) == words
    assert plain_keys.REST_WITHIN <= time.monotonic() - began < SOON / 2


def test_whole_keys_are_not_waited_behind(
    typing: Typing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plain_keys, "REST_WITHIN", Seconds(60.0))
    typing.types(b"\x1b[Aq")
    assert typing.keys.pressed(SOON) == ("up", "q")


def test_nothing_is_no_key_and_a_closed_terminal_is_gone(typing: Typing) -> None:
    assert typing.keys.pressed(Seconds(0.0)) == ()
    typing.types(b"\x1b")
    typing.goes()
    assert typing.keys.pressed(SOON) == ("escape",)
    assert typing.keys.pressed(SOON) == ("gone",)
