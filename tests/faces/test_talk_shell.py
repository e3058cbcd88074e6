"""The prompt of a talk: keys come from a pipe, as a terminal would send them."""

import io
import signal
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import final

import pytest
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.document import Document
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput

from benchlink.console.offers import Offer, Offers
from benchlink.errors import PortLostError
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.shell.history import LineHistory
from benchlink.faces.shell.loop import converse
from benchlink.faces.shell.page import ShellPage
from benchlink.faces.shell.prompter import OfferCompleter, Prompter, Questions
from benchlink.workflows.talk_outcome import Fate, Outcome

PASTE, ENDED = "\x1b[200~", "\x1b[201~"
CTRL_C, CTRL_D = "\x03", "\x04"


@final
class Drawn(DummyOutput):
    """A screen that answers: once a text stands there, the reply is typed."""

    def __init__(self, keys: PipeInput) -> None:
        self.text = ""
        self._keys = keys
        self._looked = 0
        self.replies: list[tuple[str, str]] = []

    def write(self, data: str) -> None:
        self.text += data

    def write_raw(self, data: str) -> None:
        del data

    def flush(self) -> None:
        if self.replies and self.replies[0][0].strip() in self.text[self._looked :]:
            self._looked = len(self.text)
            self._keys.send_text(self.replies.pop(0)[1])


@final
class HoldingTalk:
    """Holds lines that begin with `x` until they are typed again; interrupts at `wait`."""

    def __init__(self, person: PlainPerson, page: ShellPage) -> None:
        self._person, self._page = person, page
        self.sent: list[str] = []
        self.stops = self.asked = 0
        self.unasked: list[str] = []
        self.lost = False

    def line(self, text: str) -> Outcome:
        if text == "wait":
            signal.raise_signal(signal.SIGINT)
        if text.startswith("x"):
            self.asked += 1
            if self._person.types(f"Type {text} again: ") != text:
                return Outcome(line=text, fate=Fate.HELD, sentence="not again", hint="")
        self.sent.append(text)
        self._page.sent(text)
        return Outcome(line=text, fate=Fate.SENT)

    def listen(self) -> None:
        if self.lost:
            msg = "the port went away"
            raise PortLostError(msg)
        self._page.said(self.unasked)
        self.unasked.clear()

    def stop(self) -> None:
        self.stops += 1

    def abandon(self) -> Outcome:
        return Outcome(line="", fate=Fate.SENT)

    def enter(self) -> Outcome:
        return Outcome(line="", fate=Fate.SENT)


@final
class Room:
    def __init__(self, keys: PipeInput) -> None:
        self.keys = keys
        self.drawn = Drawn(keys)
        self.out, self.err = io.StringIO(), io.StringIO()
        questions = Questions(terminal=keys, output=self.drawn)
        self.person = PlainPerson(io.StringIO(), self.out, self.err, asks=questions.ask)
        self.page = ShellPage(
            self.person.result, lambda: datetime(2025, 3, 1, 10, 20, tzinfo=UTC)
        )
        self.talk = HoldingTalk(self.person, self.page)
        self.prompter = Prompter(
            "LW-03", lambda: Offers(()), InMemoryHistory(), questions
        )

    def converse(self, keys: str) -> None:
        self.keys.send_text(keys)
        converse(self.talk, self.prompter, self.page, self.person)


@pytest.fixture
def room() -> Iterator[Room]:
    with create_pipe_input() as keys:
        yield Room(keys)


def test_lines_go_out_with_the_time_until_ctrl_d(room: Room) -> None:
    room.converse(f"plate\rstate\r\r{CTRL_D}")
    assert room.talk.sent == ["plate", "state"]
    assert room.out.getvalue() == "10:20:00 > plate\n10:20:00 > state\n"


def test_ctrl_c_gives_up_the_line_and_nothing_of_it_leaves(room: Room) -> None:
    room.drawn.replies = [("LW-03>", f"resta{CTRL_C}"), ("LW-03>", f"plate\r{CTRL_D}")]
    room.converse("")
    assert room.talk.sent == ["plate"]


def test_ctrl_c_while_it_waits_ends_the_waiting_alone(room: Room) -> None:
    room.drawn.replies = [("LW-03>", "wait\r"), ("LW-03>", f"plate\r{CTRL_D}")]
    room.converse("")
    assert room.talk.sent == ["plate"]
    assert "Not waited for" in room.err.getvalue()


def test_our_own_words_never_leave(room: Room) -> None:
    room.converse("..help\r..STOP\r..leave\r")
    assert room.talk.sent == []
    assert room.talk.stops == 1
    told = room.err.getvalue()
    assert "Pull the pack, from behind the disc, or switch off the bench supply" in told


def test_what_only_begins_like_a_word_of_ours_never_leaves(room: Room) -> None:
    room.drawn.replies = [("LW-03>", f"{PASTE}..blorp\nplate\n{ENDED}{CTRL_D}")]
    room.drawn.replies.append(("LW-03>", CTRL_D))
    room.converse("")
    assert room.talk.sent == []
    assert "none of ..help" in room.err.getvalue()


def test_a_paste_is_taken_line_by_line_and_each_is_held(room: Room) -> None:
    room.drawn.replies = [
        ("x1 again", "x1\r"),
        ("x2 again", "x2\r"),
        ("LW-03>", f"{CTRL_C}"),
        ("LW-03>", CTRL_D),
    ]
    room.converse(f"{PASTE}plate\nx1\r\nx2\nbegun{ENDED}")
    assert room.talk.sent == ["plate", "x1", "x2"], "what had no line end did not go"


def test_what_follows_a_line_that_was_held_back_is_dropped(room: Room) -> None:
    room.drawn.replies = [("x1 again", "no\r"), ("LW-03>", CTRL_D)]
    room.converse(f"{PASTE}x1\nplate\nstate\n{ENDED}")
    assert room.talk.sent == []
    assert "2 more lines of the paste: dropped." in room.err.getvalue()


@pytest.mark.parametrize("begin", ["", PASTE], ids=["as typed", "as a paste"])
def test_a_paste_never_answers_the_question_that_it_brings(
    room: Room, begin: str
) -> None:
    room.drawn.replies = [("x1 again", "\r"), ("LW-03>", CTRL_D)]
    end = ENDED if begin else ""
    room.converse(f"{begin}x1\rx1\rx1\r{end}")
    assert room.talk.sent == []
    assert room.talk.asked == 1


def test_nor_does_one_that_is_longer_than_a_terminal_hands_over_at_once(
    room: Room,
) -> None:
    room.drawn.replies = [("x1 again", "\r"), ("LW-03>", CTRL_D)]
    room.converse("x1\r" * 1000)
    assert room.talk.sent == []
    assert room.talk.asked == 1


def test_a_paste_into_a_question_is_no_answer(room: Room) -> None:
    room.drawn.replies = [("x1 again", f"{PASTE}x1{ENDED}\r"), ("LW-03>", CTRL_D)]
    room.converse("x1\r")
    assert room.talk.sent == []


@pytest.mark.parametrize("key", [CTRL_C, CTRL_D])
def test_a_question_that_is_given_up_is_answered_with_nothing(
    room: Room, key: str
) -> None:
    room.drawn.replies = [("x1 again", key), ("LW-03>", CTRL_D)]
    room.converse("x1\r")
    assert room.talk.sent == []


def test_what_comes_unasked_is_shown_above_the_prompt(room: Room) -> None:
    room.talk.unasked = ["rail dips"]
    room.drawn.replies = [("LW-03>", ""), ("LW-03>", CTRL_D)]
    room.converse("")
    assert room.out.getvalue() == "rail dips\n"


def test_a_port_that_goes_away_at_the_prompt_ends_the_talk(room: Room) -> None:
    room.talk.lost = True
    with pytest.raises(PortLostError):
        room.converse("")


def test_completion_offers_what_begins_alike() -> None:
    offers = Offers(
        (
            Offer(line="let tilt.left.rate_hz be ", about="writes"),
            Offer(line="let tilt.left.rate_hz be 50", about="as it is now"),
            Offer(line="plate", about="identify"),
        )
    )

    def completed(typed: str) -> list[str]:
        found = OfferCompleter(lambda: offers).get_completions(
            Document(typed), CompleteEvent()
        )
        return [completion.text for completion in found]

    assert completed("LET tilt") == [
        "let tilt.left.rate_hz be ",
        "let tilt.left.rate_hz be 50",
    ]
    assert completed("let tilt.left.rate_hz be ") == ["let tilt.left.rate_hz be 50"]
    assert completed("plate") == []
    assert completed("z") == []


def test_lines_typed_before_come_back_the_newest_first(tmp_path: Path) -> None:
    file = tmp_path / "talk" / "wader"
    first = LineHistory(file)
    for line in ("plate", "state", "two\nlines"):
        first.append_string(line)
    assert list(LineHistory(file).load_history_strings()) == [
        "twolines",
        "state",
        "plate",
    ]
    assert file.stat().st_mode & 0o777 == 0o600


def test_a_disk_that_takes_no_history_is_done_without(tmp_path: Path) -> None:
    (tmp_path / "talk").write_text("a file where the folder should be")
    history = LineHistory(tmp_path / "talk" / "wader")
    history.append_string("plate")
    assert list(history.load_history_strings()) == []
