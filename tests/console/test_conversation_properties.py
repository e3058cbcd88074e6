"""What holds whatever the board says, whatever is asked, and however time passes."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.description import Wake
from benchlink.console.events import Answered, Replaced
from benchlink.console.lanes import Lane
from benchlink.console.phases import Phase
from benchlink.core.exchange import Answer
from benchlink.units import Baud, Seconds, baud
from tests.console.talking import (
    FEW,
    MANNER,
    MANY,
    Desk,
    PlayedBoard,
    answer_to,
    command,
)

SAID = st.sampled_from(
    (
        *(b"@ ", b"\r\n", b"done\r\n", b"@ plate\r\n", b"@ halt\r\n"),
        *(b"plate\r\n", b"sorry: no\r\n", b"wader boot 3\r\n"),
        *(b"\xff", b"\x1b[2K", answer_to("plate")),
    )
)
SUBMITTED = st.tuples(
    st.sampled_from(Lane), st.sampled_from(["plate", "keep", "restart", "halt"])
)
PASSED = st.sampled_from([0.001, 0.015, 0.02, 0.25, 0.999, 1.0, 3.0, 11.0])
STEPS = st.lists(st.one_of(SAID, SUBMITTED, PASSED), max_size=25)
Step = bytes | tuple[Lane, str] | float
SPEEDS = st.sampled_from([None, baud(300), baud(115_200)])
WAKES = st.sampled_from(Wake)


class Watched(Desk):
    """Also looks between two deadlines: nothing may have been slept past."""

    def passes(self, seconds: float) -> None:
        end = Seconds(self.now + seconds)
        self.turn()
        while True:
            deadline = self.talk.deadline(self.now)
            upto = end if deadline is None else min(deadline, end)
            self.look_early(Seconds((self.now + upto) / 2))
            self.now = upto
            self.turn()
            if self.now >= end:
                return

    def look_early(self, between: Seconds) -> None:
        self.talk.tick(between)
        assert self.talk.outgoing(between) == b""
        assert self.talk.events() == []


def perform(desk: Desk, step: Step) -> None:
    match step:
        case bytes():
            desk.says(step)
        case (Lane() as lane, str(line)):
            alone = line in {"keep", "restart"} and lane is not Lane.STOP
            desk.order(
                command(line, alone=alone, restarts=line == "restart"), lane, "slot"
            )
        case float():
            desk.passes(step)


@MANY
@given(steps=STEPS, speed=SPEEDS, wake=WAKES)
def test_no_pump_ever_spins_or_sleeps_past_something(
    steps: list[Step], speed: Baud | None, wake: Wake
) -> None:
    desk = Watched(replace(MANNER, wake=wake), speed=speed)
    for step in steps:
        perform(desk, step)
    desk.passes(1)


@MANY
@given(steps=STEPS, wake=WAKES)
def test_every_ticket_is_answered_or_replaced_exactly_once(
    steps: list[Step], wake: Wake
) -> None:
    desk = Desk(replace(MANNER, wake=wake))
    for step in steps:
        perform(desk, step)
    desk.passes(60)
    ended = [e.ticket for e in desk.events if isinstance(e, Answered | Replaced)]
    asked = sum(isinstance(step, tuple) for step in steps)
    assert sorted(ended) == list(range(1, asked + 1))


@MANY
@given(STEPS)
def test_a_stop_leaves_at_once_and_nothing_else_before_the_board_is_ready(
    steps: list[Step],
) -> None:
    desk = Desk()
    for step in steps:
        ready = desk.stands(Phase.READY)
        before = len(desk.sent)
        perform(desk, step)
        if isinstance(step, tuple) and step[0] is not Lane.STOP and not ready:
            assert set(desk.sent[before:]) <= {b"\x15"}
        elif isinstance(step, tuple) and step[0] is Lane.STOP:
            assert desk.sent[before] == f"{step[1]}\r".encode()


@MANY
@given(data=st.lists(st.integers(1, 40), min_size=1, max_size=30), late=st.data())
def test_the_board_never_holds_more_than_its_declared_bytes(
    data: list[int], late: st.DataObject
) -> None:
    desk = Desk().ready()
    for length in data:
        desk.submit("x" * length)
    answered = 0
    while answered < len(data):
        held = [len(out) for out in desk.sent[answered:]]
        assert held
        assert len(held) == 1 or sum(held) <= MANNER.window_bytes
        line = desk.sent[answered][:-1].decode()
        status = late.draw(st.sampled_from(["done", "sorry: no"]))
        desk.says(answer_to(line, status=status))
        answered += 1
    assert all(a.trusted for a in desk.answers().values())


SESSION = {"plate": ("type wader",), "recite": ("a: 1", "", "b: @ "), "keep": ()}
STREAM = b"".join(answer_to(line, *lines) for line, lines in SESSION.items())


def heard_in(chunks: list[bytes]) -> dict[int, Answer]:
    desk = Desk().ready()
    for _ in range(3):
        desk.submit("plate")
        desk.says(answer_to("plate"))
    for line in SESSION:
        desk.submit(line)
    for chunk in chunks:
        desk.says(chunk)
    desk.passes(0.5)
    assert desk.stands(Phase.READY)
    return desk.answers()


def test_an_answer_is_the_same_whole_and_byte_by_byte() -> None:
    whole = heard_in([STREAM])
    assert [a.lines for a in whole.values()][3:] == list(SESSION.values())
    assert all(answer.trusted for answer in whole.values())
    assert heard_in([STREAM[i : i + 1] for i in range(len(STREAM))]) == whole


@FEW
@given(st.lists(st.integers(0, len(STREAM)), max_size=8))
def test_cutting_the_answers_anywhere_changes_nothing(cuts: list[int]) -> None:
    edges = [0, *sorted(cuts), len(STREAM)]
    chunks = [STREAM[a:b] for a, b in pairwise(edges)]
    assert heard_in(chunks) == heard_in([STREAM])


@FEW
@given(st.lists(st.sampled_from(["plate", "recite", "keep"]), max_size=12))
def test_a_sound_board_answers_everything_in_order(lines: list[str]) -> None:
    desk = Desk().ready()
    desk.board = PlayedBoard(SESSION)
    tickets = [desk.order(command(line, alone=line == "keep")) for line in lines]
    desk.passes(1)
    answers = desk.answers()
    assert [answers[t].lines for t in tickets] == [SESSION[line] for line in lines]
    assert list(answers) == tickets
