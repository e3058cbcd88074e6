"""Talking to a board: what leaves, what is asked before, and what is said at the end."""

from collections.abc import Callable, Sequence
from typing import final

import pytest

from benchlink.console.description import Kept
from benchlink.console.grammar import Grammar
from benchlink.console.schema import describe
from benchlink.console.talking import Deed, Passed, Usher
from benchlink.core.advance import Advance
from benchlink.core.exchange import Command, Verdict
from benchlink.core.plan import Plan
from benchlink.store.descriptions import find_console, node_of
from benchlink.units import Seconds
from benchlink.workflows.session import meet
from benchlink.workflows.talk import Talk
from benchlink.workflows.talk_outcome import Fate
from mocks.control import tell_hands
from mocks.options import ConsoleKind, Options
from tests.support.people import StillPerson
from tests.support.virtual_board import VirtualBoard

AGAIN = "Type the line again"
HANDS = "hands clear"


@final
class Typist(StillPerson):
    """Answers each question by what stands in it; anything else gets nothing."""

    def __init__(self) -> None:
        self.answers: dict[str, str] = {}
        self.told: list[str] = []
        self.asked: list[str] = []
        self.before: Callable[[], None] = lambda: None

    def tell(self, sentence: str) -> None:
        self.told.append(sentence)

    def progress(self, advance: Advance) -> None: ...

    def done(self) -> None: ...

    def show_plan(self, plan: Plan) -> None:
        raise NotImplementedError

    def agrees(self, question: str) -> bool:
        raise NotImplementedError

    def whispers(self, prompt: str) -> str:
        raise NotImplementedError

    def types(self, prompt: str) -> str:
        self.asked.append(prompt)
        self.before()
        return next((a for q, a in self.answers.items() if q in prompt), "")

    def waits_for(
        self,
        word: str,
        within: Seconds,
        prompt: Callable[[Seconds], str],
        meanwhile: Callable[[], None],
    ) -> bool:
        raise NotImplementedError


@final
class Wall:
    """Remembers what is shown."""

    def __init__(self) -> None:
        self.lines: list[str] = []

    def sent(self, line: str) -> None:
        self.lines.append(f"> {line}")

    def said(self, lines: Sequence[str]) -> None:
        self.lines += lines


@final
class Tap:
    """Hears all that comes over the virtual wire."""

    def __init__(self) -> None:
        self.data = b""

    def take(self, data: bytes) -> bytes:
        self.data += data
        return data

    def overheard(self) -> bytes:
        data, self.data = self.data, b""
        return data


@final
class Room:
    """A talk with a virtual board, and all that belongs to it."""

    def __init__(self, console: str, *, attended: bool = True) -> None:
        _, path, data = find_console(console)
        spoken = Grammar(describe(node_of(data, path)))
        told = {"user": "bench", "word": "reed"} if console == "dunlin" else None
        self.tap = Tap()
        self.board = VirtualBoard(
            spoken.description,
            Options(console=ConsoleKind(console), settings=90),
            told=told,
            damage=self.tap.take,
        )
        self.person, self.wall = Typist(), Wall()
        session = meet(self.board, spoken)
        self.talk = Talk(session, self.person, self.wall, self.tap, attended=attended)
        self.board.written.clear()

    def sent(self) -> list[str]:
        return [data.decode().strip() for data in self.board.written]


def test_a_harmless_line_leaves_at_once_and_its_answer_is_shown() -> None:
    room = Room("wader")
    outcome = room.talk.line("plate")
    assert outcome.answered
    assert room.sent() == ["plate"]
    assert room.wall.lines == [
        "> plate",
        "type      wader",
        "layout    twin-tilt",
        "firmware  1.4.2",
        f"number    {room.talk.session.identity.number}",
        "done",
    ]
    assert room.person.asked == []


def test_what_may_spin_a_motor_is_asked_about_before_each_line() -> None:
    room = Room("wader")
    room.person.answers = {f"{HANDS}, props off": f"{HANDS}, props off"}
    assert room.talk.line("let motor.left.idle_pct be 6.0").answered
    tell_hands(room.board.device, "connect pack", room.board.now_us)
    room.board.idle(1.0)
    room.person.answers = {}
    outcome = room.talk.line("let motor.left.idle_pct be 7.0")
    assert outcome.fate is Fate.HELD
    assert room.sent().count("let motor.left.idle_pct be 6.0") == 1
    assert "let motor.left.idle_pct be 7.0" not in room.sent()


def test_the_board_s_own_no_is_shown_and_told() -> None:
    room = Room("wader")
    outcome = room.talk.line("recite nothing.like.it")
    assert outcome.fate is Fate.SENT
    assert outcome.verdict is Verdict.REFUSED
    assert room.wall.lines[-1].startswith("sorry: ")


@pytest.mark.parametrize(
    ("console", "line"),
    [
        ("wader", "whirl left at 5 for 100"),
        ("wader", "plate; swing p1 to 1500 for 500"),
        ("scoter", "*IDN?;:OUTP:SPIN LEFT,0.05,0.5"),
        ("avocet", "AT+WHRL=1,50,5"),
        ("turnstone", "turn left at 50 permille for 0.1 s"),
    ],
)
def test_no_answer_makes_a_line_leave_that_moves(console: str, line: str) -> None:
    room = Room(console)
    room.person.answers = {"": line, HANDS: HANDS}
    outcome = room.talk.line(line)
    assert outcome.fate is Fate.REFUSED
    assert "benchlink" in outcome.hint
    assert room.sent() == []


@pytest.mark.parametrize(
    ("console", "line"),
    [
        ("wader", "whirl left at 5 for 100"),
        ("scoter", "*IDN?;:outp:spin LEFT,0.05,0.5"),
        ("avocet", "AT+WHRL=1,50,5"),
    ],
)
def test_what_moves_is_held_at_the_wire_when_the_front_door_fails(
    console: str, line: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = Room(console)

    def careless(_usher: Usher, text: str, _standing: object) -> Passed:
        command = Command(line=text, answer_within=Seconds(1.0))
        return Passed(deed=Deed.TELLS, commands=(command,), at_rest=False)

    monkeypatch.setattr(Usher, "look", careless)
    outcome = room.talk.line(line)
    assert room.sent() == []
    assert outcome.verdict is Verdict.UNANSWERED
    assert "may spin a motor" in outcome.remark
    assert room.talk.line("blorp").fate is Fate.SENT, "what nobody knows may pass there"


def test_a_setting_that_may_move_something_needs_hands_clear_once_an_epoch() -> None:
    room = Room("wader")
    line = "let tilt.left.centre_us be 1510"
    assert room.talk.line(line).fate is Fate.HELD
    assert line not in room.sent()
    room.person.answers = {HANDS: HANDS}
    assert room.talk.line(line).answered
    assert room.board.device.aircraft.live["tilt.left.centre_us"] == "1510"
    room.person.answers.clear()
    assert room.talk.line("let tilt.left.centre_us be 1500").answered
    room.board.restart_by_hand()
    room.board.epoch += 1
    room.talk.line("plate")
    assert room.talk.line(line).fate is Fate.HELD
    assert any("started anew" in told for told in room.person.told)


def test_a_line_that_repeats_is_judged_by_what_it_repeats() -> None:
    room = Room("avocet")
    assert room.talk.line("A/").fate is Fate.REFUSED, "nobody typed anything yet"
    assert room.talk.line("AT+GMR").answered
    assert room.talk.line("A/").answered
    room.person.answers = {HANDS: HANDS}
    assert room.talk.line("AT+TLC=1510").answered
    outcome = room.talk.line("A/")
    assert outcome.fate is Fate.REFUSED
    assert "may move a servo" in outcome.sentence
    assert room.sent().count("A/") == 1


def test_after_a_question_of_ours_nobody_types_what_repeats() -> None:
    room = Room("avocet")
    assert room.talk.line("AT+GMR").answered
    room.board.device.aircraft.outputs_live = True
    assert room.talk.line("AT+TLR=60").fate is Fate.HELD
    assert room.talk.line("A/").fate is Fate.REFUSED


def test_a_line_nobody_knows_leaves_once_it_was_typed_again() -> None:
    room = Room("wader")
    room.person.answers = {AGAIN: "blorb"}
    assert room.talk.line("blorp").fate is Fate.HELD
    assert room.sent() == []
    room.person.answers = {AGAIN: "blorp"}
    assert room.talk.line("blorp").verdict is Verdict.REFUSED
    assert room.sent() == ["state", "blorp"]


def test_while_outputs_are_live_nothing_leaves_that_may_change_something() -> None:
    room = Room("wader")
    room.person.answers = {AGAIN: "blorp"}

    def arm() -> None:
        room.board.device.aircraft.outputs_live = True

    room.person.before = arm  # while the question stands there
    outcome = room.talk.line("blorp")
    assert outcome.fate is Fate.HELD
    assert "LIVE" in outcome.sentence
    assert room.talk.line("let tilt.left.rate_hz be 60").fate is Fate.HELD
    assert room.talk.line("plate").answered
    assert room.talk.line("halt").fate is Fate.SENT
    assert "blorp" not in room.sent()


def test_a_restart_is_typed_again_and_hands_are_clear() -> None:
    room = Room("wader")
    tell_hands(room.board.device, "connect rail", room.board.now_us)
    room.person.answers = {AGAIN: "restart"}
    assert room.talk.line("restart").fate is Fate.HELD
    assert "restart" not in room.sent()
    room.person.answers[HANDS] = HANDS
    assert room.talk.line("restart").answered
    assert room.board.epoch == 2
    assert room.talk.line("plate").answered


def test_a_line_that_asks_gets_the_key_that_its_description_tells() -> None:
    room = Room("turnstone")
    room.person.answers = {AGAIN: "store"}
    assert room.talk.line("store").answered
    assert room.sent()[-2:] == ["store", "y"]
    assert any("stored" in line for line in room.wall.lines)


def test_at_the_end_it_says_what_is_not_as_before_and_what_is_not_kept() -> None:
    room = Room("wader")
    assert room.talk.line("let tilt.left.rate_hz be 60").answered
    parting = room.talk.leave()
    (changed,) = parting.changed
    assert (changed.name, changed.now) == ("tilt.left.rate_hz", "60")
    assert changed.kept is Kept.ON_KEEP
    assert parting.unkept == ("tilt.left.rate_hz",)
    assert room.talk.line("keep").answered
    assert room.talk.leave().unkept == ()


def test_a_mode_that_was_entered_is_left_at_the_end() -> None:
    room = Room("dunlin")
    assert room.talk.line("edit").answered
    assert room.talk.line("lay tilt/left/rate 60").answered
    parting = room.talk.leave()
    assert "done" in room.sent()
    assert [one.name for one in parting.changed] == ["tilt/left/rate"]
    assert parting.unkept == (), "this board keeps it at once"


def test_what_is_said_unasked_is_shown_and_signs_of_life_are_not() -> None:
    room = Room("knot")
    room.talk.line("able?")
    room.wall.lines.clear()
    room.tap.data += b".\r\n: 12.5 rail dips\r\n"
    room.talk.listen()
    assert room.wall.lines == [": 12.5 rail dips"]


def test_nothing_a_board_says_can_act_on_the_screen() -> None:
    room = Room("wader")
    room.tap.data += b"\x1b[2J\x07bad\xff\r\n"
    room.talk.listen()
    (shown,) = room.wall.lines
    assert "\x1b" not in shown
    assert "\x07" not in shown


def test_unattended_only_what_tells_something_leaves() -> None:
    room = Room("wader", attended=False)
    room.person.answers = {AGAIN: "blorp", HANDS: HANDS}
    assert room.talk.line("plate").answered
    for line in ("let tilt.left.rate_hz be 60", "keep", "blorp", "restart"):
        assert room.talk.line(line).fate is Fate.REFUSED
    assert room.sent() == ["plate"]


def test_a_begun_line_is_given_up_by_the_board_s_own_key() -> None:
    room = Room("wader")
    assert room.talk.abandon().fate is Fate.SENT
    assert room.board.written == [b"\x15"]
    assert room.talk.line("plate").answered
    assert Room("avocet").talk.abandon().fate is Fate.REFUSED


def test_an_answer_that_does_not_come_is_said_and_the_talk_goes_on() -> None:
    room = Room("scoter")
    room.person.answers = {AGAIN: "BLORP?"}
    outcome = room.talk.line("BLORP?")
    assert outcome.fate is Fate.SENT
    assert room.talk.line("*IDN?").answered
    assert any("scoter" in line.casefold() for line in room.wall.lines)
