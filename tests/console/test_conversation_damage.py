"""Bytes lost, doubled and flipped on the way from the board, anywhere in a session."""

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Answer
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import BenchError
from mocks.options import Options
from tests.console.talking import (
    FEW,
    Desk,
    PlayedBoard,
    answer_to,
    listed,
    replied,
    wader,
)
from tests.support.virtual_board import VirtualBoard

LISTING = (
    "settings: 4",
    '! board.type: "wader"',
    "  tilt.left.centre_us: 1500",
    "~ accel.x_mg: 12",
    "  craft.call: up",
    "end of settings: 4",
)
ANSWERS: Mapping[str, tuple[str, ...]] = {
    "recite": LISTING,
    "plate": ("type      wader", "number    44CB"),
    "let craft.call be up": (),
}
SESSION = ("recite", "plate", "recite", "let craft.call be up")
TALKED = b"\r\n@ " + b"".join(answer_to(line, *ANSWERS[line]) for line in SESSION)
GRAMMAR = Grammar(wader())
SOURCE = wader().sources[0]
HARMS = ("lost", "doubled", 0x01, 0x04, 0x20, 0x80)


class Harm:
    """Spoils chosen bytes of all that passes."""

    def __init__(self, spoils: Mapping[int, str | int]) -> None:
        self.spoils = spoils
        self.passed = 0

    def __call__(self, data: bytes) -> bytes:
        out = bytearray()
        for byte in data:
            match self.spoils.get(self.passed):
                case None:
                    out.append(byte)
                case "lost":
                    pass
                case "doubled":
                    out += bytes((byte, byte))
                case int(bits):
                    out.append(byte ^ bits)
                case _:
                    raise AssertionError
            self.passed += 1
        return bytes(out)


def snapshot(*lines: str) -> Snapshot:
    told = Desk().ready()
    ticket = told.submit("recite")
    told.says(answer_to("recite", *lines))
    return listed(told.answers()[ticket])


TRUTH = snapshot(*LISTING)


def talked(harm: Harm) -> tuple[Desk, dict[int, Answer]]:
    desk = Desk(wader().manner)
    desk.board = PlayedBoard(ANSWERS, harm)
    tickets = [desk.submit(line) for line in SESSION]
    desk.passes(12)
    answers = desk.answers()
    assert set(answers) == set(tickets)
    return desk, answers


def mended(desk: Desk) -> Desk:
    """The same conversation over a good cable."""
    desk.board = PlayedBoard(ANSWERS)
    return desk


def require_honest(answer: Answer, harms: int) -> None:
    """A trusted answer is right, or the description flags it, or it looks right."""
    line = answer.command.line
    if not answer.trusted or answer.lines == ANSWERS[line]:
        return
    if line == "recite":
        read = listed(answer)
        if read.complete:
            require_looks_right(read, harms)
    elif line == "plate":
        try:
            GRAMMAR.identity(replied(answer))
        except BenchError:
            return
        assert len([text for text in answer.lines if text]) == 2
    else:
        assert set(answer.lines) <= {""}


def require_looks_right(read: Snapshot, harms: int) -> None:
    """As many settings as the board counts; no more of them wrong than were spoiled."""
    assert len(read.settings) == len(TRUTH.settings)
    wrong = [n for n, s in TRUTH.settings.items() if read.settings.get(n) != s]
    assert len(wrong) <= harms


@pytest.mark.parametrize("harm", HARMS)
def test_no_single_spoiled_byte_gives_a_wrong_answer_that_the_description_could_catch(
    harm: str | int,
) -> None:
    for at in range(len(TALKED)):
        _, answers = talked(Harm({at: harm}))
        for answer in answers.values():
            require_honest(answer, 1)


@pytest.mark.parametrize("harm", HARMS)
def test_after_any_spoiled_byte_a_later_command_works(harm: str | int) -> None:
    for at in range(0, len(TALKED), 3):
        desk, _ = talked(Harm({at: harm}))
        ticket = mended(desk).submit("plate")
        desk.passes(5)
        answer = desk.answers()[ticket]
        assert desk.silent or answer.lines == ANSWERS["plate"]
        assert not desk.silent


def test_damage_that_keeps_a_line_grammatical_differs_from_a_second_reading() -> None:
    body = TALKED.index(b"settings: 4")
    end = TALKED.index(b"end of settings: 4")
    caught = 0
    for at in range(body, end):
        _, answers = talked(Harm({at: 0x01}))
        first = answers[1]
        if not first.trusted:
            continue
        read = listed(first)
        marks = [(s.name, s.writable, s.board_owned) for s in read.settings.values()]
        true = [(s.name, s.writable, s.board_owned) for s in TRUTH.settings.values()]
        if read.complete and read.settings != TRUTH.settings and marks == true:
            assert moved(read, TRUTH) or _only_spelled_otherwise(read)
            caught += 1
    assert caught > 5


def _only_spelled_otherwise(read: Snapshot) -> bool:
    return all(TRUTH.settings[n].value == s.value for n, s in read.settings.items())


@FEW
@given(
    st.dictionaries(
        st.integers(0, len(TALKED)), st.sampled_from(HARMS), min_size=1, max_size=4
    )
)
def test_several_spoiled_bytes_end_in_answers_that_are_honest(
    spoils: dict[int, str | int],
) -> None:
    desk, answers = talked(Harm(spoils))
    for answer in answers.values():
        require_honest(answer, len(spoils))
    ticket = mended(desk).submit("plate")
    desk.passes(8)
    assert desk.silent or desk.answers()[ticket].trusted


@FEW
@given(
    st.dictionaries(
        st.integers(80, 4000), st.sampled_from(HARMS), min_size=1, max_size=5
    )
)
def test_a_simulated_board_behind_a_bad_cable_gives_typed_errors_or_true_answers(
    spoils: dict[int, str | int],
) -> None:
    harm = Harm(spoils)
    try:
        board = VirtualBoard(wader(), Options(settings=60), damage=harm)
        (answer,) = board.ask(GRAMMAR.asks(SOURCE)[0].commands)
        read = listed(answer)
    except BenchError:
        return
    assert not read.complete or len(read.settings) == 60
    assert read.complete or answer.trusted


@FEW
@given(st.integers(40, 1500), st.integers(1, 800))
def test_a_piece_lost_from_a_listing_is_noticed(at: int, length: int) -> None:
    harm = Harm(dict.fromkeys(range(at, at + length), "lost"))
    desk = Desk(wader().manner)
    many = [f"  a.{n}: {n}" for n in range(100)]
    listing = ("settings: 100", *many, "end of settings: 100")
    desk.board = PlayedBoard({"recite": listing}, harm)
    ticket = desk.submit("recite")
    desk.passes(5)
    answer = desk.answers()[ticket]
    read = listed(answer) if answer.trusted else None
    assert read is None or not read.complete or len(read.settings) == 100
