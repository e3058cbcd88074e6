import asyncio
import subprocess
import sys
import threading
from concurrent.futures import Future

import pytest

from benchlink.core.advance import Advance, Amount
from benchlink.errors import UsageError
from benchlink.faces.screen.frame.fitting import fitted
from benchlink.faces.screen.frame.keys import (
    HOME_KEYS,
    OPENING_KEYS,
    STATION_KEYS,
    VALUES_KEYS,
    foot,
    help_lines,
)
from benchlink.faces.screen.frame.marks import Mark
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.program import require_terminal, tidy
from benchlink.faces.screen.threads.errands import open_place
from benchlink.faces.screen.threads.mailbox import Mailbox
from benchlink.faces.screen.threads.news import (
    Broke,
    Errand,
    Failed,
    News,
    Progressed,
    Told,
)
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.screen.threads.work import WorkThread, aside
from benchlink.units import Seconds
from tests.faces.screen.screen_bench import FIRST, ROOT, FakeEntrance

WITHIN_S = 5.0


def test_what_does_not_fit_is_marked_as_cut() -> None:
    assert fitted("tilt.left.centre_us", 8) == "tilt.l.."
    assert fitted("abc", 5) == "abc  "
    assert fitted("abc", 2) == "ab"


def test_every_character_that_could_act_is_made_visible() -> None:
    assert plain("a\x1b[0m\x9b\u202e\t") == "a\\u{1b}[0m\\u{9b}\\u{202e}\\u{9}"
    assert plain("37 ° plain") == "37 ° plain"


def test_shapes_and_words_are_plain_ascii_and_all_different() -> None:
    looks = [mark.value for mark in Mark]
    assert len({look.shape for look in looks}) == len(looks)
    assert all(f"{look.shape}{look.word}".isascii() for look in looks)


def test_the_foot_lines_fit_an_ordinary_terminal() -> None:
    assert len(foot(OPENING_KEYS)) <= 78
    assert len(foot(VALUES_KEYS)) <= 78
    assert len(foot(HOME_KEYS)) <= 78
    assert len(foot(STATION_KEYS)) <= 78
    assert max(map(len, help_lines())) <= 76


def test_the_work_thread_does_one_job_after_the_other_under_its_name() -> None:
    posted: list[News] = []
    work = WorkThread(posted.append)
    names: list[str] = []

    def job() -> News:
        names.append(threading.current_thread().name)
        return Told(sentence=str(len(names)))

    work.start()
    work.give(Errand.LOOK, job)
    work.give(Errand.READ, job)
    assert work.finish(Seconds(WITHIN_S))
    assert names == ["work", "work"]
    assert posted == [Told(sentence="1"), Told(sentence="2")]


def test_a_job_that_fails_is_news_and_the_thread_goes_on() -> None:
    posted: list[News] = []
    work = WorkThread(posted.append)

    def refused() -> News:
        msg = "no"
        raise UsageError(msg)

    def wrong() -> News:
        raise ZeroDivisionError

    work.start()
    work.give(Errand.OPEN, refused)
    work.give(Errand.READ, wrong)
    assert work.finish(Seconds(WITHIN_S))
    assert isinstance(posted[0], Failed)
    assert isinstance(posted[1], Broke)


def test_a_hanging_job_does_not_hold_up_the_exit() -> None:
    release = threading.Event()
    work = WorkThread(lambda _: None)
    work.start()

    def hang() -> News:
        release.wait(WITHIN_S)
        return Told(sentence="")

    work.give(Errand.READ, hang)
    assert not work.finish(Seconds(0.01))
    release.set()
    assert work.finish(Seconds(WITHIN_S))


def test_a_board_that_opens_after_the_exit_is_let_go() -> None:
    entrance = FakeEntrance()
    mailbox = Mailbox()
    work = WorkThread(mailbox.post)
    work.start()
    person = ScreenPerson(mailbox.post, lambda: Seconds(0))
    work.give(Errand.OPEN, lambda: open_place(entrance, FIRST, person))
    tidy(mailbox, work)
    assert entrance.closed == 1


def test_a_board_is_let_go_when_what_was_left_on_it_breaks_us(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def broken(*_: object) -> tuple[str, ...]:
        raise ZeroDivisionError

    entrance = FakeEntrance()
    monkeypatch.setattr(entrance, "left_open", broken)
    with pytest.raises(ZeroDivisionError):
        open_place(entrance, FIRST, ScreenPerson(lambda _: None, lambda: Seconds(0)))
    assert entrance.closed == 1


def test_closing_runs_on_a_thread_of_its_own() -> None:
    name: Future[str] = Future()
    aside(lambda: name.set_result(threading.current_thread().name))
    assert name.result(WITHIN_S) == "closing"


async def test_a_burst_of_news_comes_as_one_batch_in_its_order() -> None:
    mailbox = Mailbox()
    batches: list[tuple[News, ...]] = []
    done = asyncio.Event()

    def deliver(batch: tuple[News, ...]) -> None:
        batches.append(batch)
        done.set()

    mailbox.attach(asyncio.get_running_loop(), deliver)
    news = [Told(sentence=str(n)) for n in range(100)]
    for one in news:
        mailbox.post(one)
    await asyncio.wait_for(done.wait(), WITHIN_S)
    assert batches == [tuple(news)]


def test_news_after_the_loop_has_ended_waits_to_be_taken_by_hand() -> None:
    loop = asyncio.new_event_loop()
    mailbox = Mailbox()
    mailbox.attach(loop, lambda _: None)
    loop.close()
    mailbox.post(Told(sentence="late"))
    assert mailbox.take() == (Told(sentence="late"),)


def test_progress_is_shown_at_most_twenty_times_a_second() -> None:
    posted: list[News] = []
    moments = iter((0.0, 0.01, 0.049, 0.051))
    person = ScreenPerson(posted.append, lambda: Seconds(next(moments)))
    for done in range(4):
        person.progress(Advance(what="reading", size=Amount(done=done)))
    assert posted == [Progressed(line=f"reading   {n} bytes") for n in (0, 3)]


def test_what_was_in_progress_goes_away_once_and_the_next_shows_at_once() -> None:
    posted: list[News] = []
    person = ScreenPerson(posted.append, lambda: Seconds(1.0))
    person.done()
    person.progress(Advance(what="writing"))
    person.done()
    person.done()
    person.progress(Advance(what="reading back"))
    lines = ["writing", "", "reading back"]
    assert posted == [Progressed(line=line) for line in lines]


@pytest.mark.parametrize(
    ("terminal", "term"), [(False, "xterm"), (True, "dumb"), (True, "")]
)
def test_no_terminal_is_refused_with_a_sentence(terminal: bool, term: str) -> None:  # noqa: FBT001
    with pytest.raises(UsageError, match="needs a terminal") as caught:
        require_terminal({"TERM": term}, is_terminal=terminal)
    assert "plain verbs" in caught.value.hint


def test_an_ordinary_terminal_will_do() -> None:
    require_terminal({"TERM": "xterm-256color"}, is_terminal=True)


def test_the_first_page_waits_for_nothing_that_only_a_board_needs() -> None:
    code = (
        "import sys, benchlink.faces.screen.app\n"
        "late = ('benchlink.workflows', 'benchlink.console', 'benchlink.core')\n"
        "print(*(m for m in sys.modules if m.startswith(late)))"
    )
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout == "\n"
