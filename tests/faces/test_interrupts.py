"""Ctrl-C twice: the second does not cut what stops the arms and writes down what was read."""

import signal
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from io import StringIO
from typing import final

import pytest

from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.roles import OwnSide
from benchlink.errors import BoardError, FileError
from benchlink.faces import entry
from benchlink.faces.at_board import AtBoard
from benchlink.faces.interrupts import Interrupts
from benchlink.faces.noting import Noting, noting
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.screen.threads.news import Told
from benchlink.faces.screen.threads.person import ScreenPerson
from benchlink.faces.talker import Talker
from benchlink.faces.wiring import Bench
from benchlink.units import Seconds
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.read import read_settled
from tests.support.virtual_bench import meet_wader, virtual_board
from tests.workflows.test_notebook import TAKEN

ENDINGS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


@pytest.fixture(autouse=True)
def heeded_as_by_the_command() -> Iterator[None]:
    before = {number: signal.getsignal(number) for number in ENDINGS}
    entry._end_like_an_interrupt()
    yield
    for number, was in before.items():
        signal.signal(number, was)


def strike(*numbers: signal.Signals) -> None:
    for number in numbers:
        signal.raise_signal(number)


@pytest.mark.parametrize("first", ENDINGS)
@pytest.mark.parametrize("next_one", ENDINGS)
def test_the_first_ends_it_and_the_next_ones_wait(
    first: signal.Signals, next_one: signal.Signals
) -> None:
    put_back: list[str] = []

    def work() -> None:
        with Interrupts().heeded_once():
            try:
                strike(first)
            finally:
                strike(next_one, next_one)
                put_back.append("all")

    with pytest.raises(KeyboardInterrupt):
        work()
    assert put_back == ["all"]


def test_afterwards_everything_is_heeded_as_before() -> None:
    before = [signal.getsignal(number) for number in ENDINGS]
    with Interrupts().heeded_once():
        assert signal.getsignal(signal.SIGINT) != before[0]
    assert [signal.getsignal(number) for number in ENDINGS] == before


def test_a_terminal_that_was_closed_is_ignored_from_then_on_as_before() -> None:
    with pytest.raises(KeyboardInterrupt), Interrupts().heeded_once():
        strike(signal.SIGHUP)
    assert signal.getsignal(signal.SIGHUP) is signal.SIG_IGN


def test_a_change_that_is_put_back_can_be_left_to_its_journal() -> None:
    interrupts, ended = Interrupts(), 0
    with interrupts.heeded_once():
        with interrupts.let_through():
            for _ in range(2):
                try:
                    strike(signal.SIGINT)
                except KeyboardInterrupt:
                    ended += 1
        strike(signal.SIGINT)
    assert ended == 2


def test_work_that_ends_by_itself_is_not_cut_either() -> None:
    interrupts = Interrupts()
    with interrupts.heeded_once():
        interrupts.end()
        strike(*ENDINGS)


def test_what_the_system_does_about_a_signal_stays_so() -> None:
    signal.signal(signal.SIGHUP, signal.SIG_DFL)
    with Interrupts().heeded_once():
        assert signal.getsignal(signal.SIGHUP) is signal.SIG_DFL


def test_on_another_thread_nothing_is_taken() -> None:
    def work() -> bool:
        before = signal.getsignal(signal.SIGINT)
        with Interrupts().heeded_once():
            return signal.getsignal(signal.SIGINT) == before

    with ThreadPoolExecutor() as pool:
        assert pool.submit(work).result()


@final
class StruckWhileWriting:
    """A folder of records, written to while somebody strikes again."""

    def __init__(self, *, full: bool = False) -> None:
        self.records: list[BenchRecord] = []
        self._full = full

    def keep(self, record: BenchRecord) -> str:
        if self._full:
            msg = "no room"
            raise FileError(msg)
        strike(*ENDINGS)
        self.records.append(record)
        return "records/0001"

    def newest(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        raise NotImplementedError

    def kept(self) -> tuple[BenchRecord, ...]:
        raise NotImplementedError


def noting_at(records: StruckWhileWriting, person: Talker) -> Noting:
    """One arm that was read once."""
    session = meet_wader(virtual_board())
    bench = Bench(session=session, console_hash="", close=lambda: None)
    noted = Noting(
        at=AtBoard(bench=bench, person=person, aircraft=None),
        work=Work.CENTRE,
        who=Who(aircraft="LW-03", operator="builder"),
        before=read_settled(session, person),
        records=records,
    )
    noted.notes.arm(OwnSide.LEFT).taken.append(TAKEN)
    return noted


@pytest.mark.parametrize("ends", [KeyboardInterrupt(), BoardError("silent"), None])
def test_what_was_read_is_written_down_though_it_is_struck_again(
    ends: BaseException | None,
) -> None:
    records, said = StruckWhileWriting(), StringIO()
    noted = noting_at(records, PlainPerson(StringIO(), StringIO(), said))

    def work() -> None:
        with noting(noted):
            if ends:
                raise ends

    if ends is None:
        work()
    else:
        with pytest.raises(type(ends)):
            work()
    assert len(records.records) == 1
    assert "Nothing read is lost" in said.getvalue()


def test_a_screen_that_is_interrupted_at_its_last_words_has_said_them_all() -> None:
    news: list[object] = []
    person = ScreenPerson(news.append, lambda: Seconds(0.0))
    noted = noting_at(StruckWhileWriting(full=True), person)
    person.interrupt()
    with noting(noted):
        pass
    told = [one.sentence for one in news if isinstance(one, Told)]
    assert told[0].startswith("NOT written down: 1 reading of the left arm.")
    assert told[1].startswith("  left: 1.0 deg")
