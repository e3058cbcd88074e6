"""What is asked at every step of one board is offered the next time, and never taken."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from benchlink.core.identity import Identity
from benchlink.core.roles import OwnSide
from benchlink.errors import SafetyRefusalError
from benchlink.faces.arguments import Given, defaults
from benchlink.faces.at_board import AtBoard
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.who_works import TRIES, operator_of, who_works
from benchlink.faces.wiring import Bench
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.session import Session
from tests.support.virtual_bench import meet_wader, virtual_board

TAIL = "Tail number of the aircraft at the bench"
WHO = "Who works here, for the record?"
GIVEN = defaults("spin")
TWIN = Identity(board_type="wader", firmware="1.4.2")


class Sitting:
    """One board that stays open, and somebody who types in turn."""

    def __init__(self) -> None:
        session = meet_wader(virtual_board())
        self.bench = Bench(session=session, console_hash="", close=lambda: None)
        self.asked: list[str] = []
        self._typed: list[str] = []

    def at(self, *typed: str, session: Session | None = None) -> AtBoard:
        """The next step: the board is met anew for each."""
        self.asked, self._typed = [], list(typed)
        bench = replace(self.bench, session=session or self.bench.session)
        return AtBoard(bench=bench, person=PlainPerson(asks=self._asks), aircraft=None)

    def who(self, *typed: str, given: Given = GIVEN) -> Who:
        return who_works(self.at(*typed), given)

    def _asks(self, prompt: str) -> str:
        self.asked.append(prompt)
        return self._typed.pop(0)


def refused_after(sitting: Sitting, typed: Sequence[str]) -> SafetyRefusalError:
    with pytest.raises(SafetyRefusalError, match="nobody said who") as caught:
        operator_of(sitting.at(*typed), GIVEN)
    return caught.value


def test_the_last_answers_are_offered_and_enter_takes_them() -> None:
    sitting = Sitting()
    who = sitting.who("LW-03", "builder")
    assert sitting.asked == [f"{TAIL}: ", f"{WHO} "]
    assert sitting.who("", "") == who == Who(aircraft="LW-03", operator="builder")
    assert sitting.asked == [f"{TAIL} (Enter: LW-03): ", f"{WHO} (Enter: builder) "]


def test_another_answer_takes_the_place_of_the_last() -> None:
    sitting = Sitting()
    sitting.who("LW-03", "builder")
    sitting.who("LW-04", "assistant")
    assert sitting.who("", "") == Who(aircraft="LW-04", operator="assistant")


def test_a_flag_is_never_offered_later() -> None:
    sitting = Sitting()
    given = defaults("spin", "--operator", "builder", "--aircraft", "LW-03")
    assert sitting.who(given=given) == Who(aircraft="LW-03", operator="builder")
    assert sitting.asked == []
    sitting.who("LW-04", "assistant")
    assert sitting.asked == [f"{TAIL}: ", f"{WHO} "]


@pytest.mark.parametrize(
    ("then", "now", "restarts", "offered"),
    [
        (None, None, 1, True),
        (None, Identity(board_type="wader", number="7F3A-0192"), 0, False),
        (TWIN, TWIN, 0, True),
        (TWIN, TWIN, 1, False),
    ],
    ids=["the same, restarted", "another", "no number", "no number, was away"],
)
def test_nothing_is_offered_at_another_board(
    then: Identity | None, now: Identity | None, restarts: int, *, offered: bool
) -> None:
    sitting = Sitting()
    first = sitting.bench.session
    first = replace(first, identity=then or first.identity)
    operator_of(sitting.at("builder", session=first), GIVEN)
    epoch = first.epoch + restarts
    later = replace(first, identity=now or first.identity, epoch=epoch)
    operator_of(sitting.at("builder", session=later), GIVEN)
    assert sitting.asked == [f"{WHO} (Enter: builder) " if offered else f"{WHO} "]


def test_a_board_that_is_opened_anew_has_no_answers() -> None:
    Sitting().who("LW-03", "builder")
    again = Sitting().at()
    assert again.last_answers.operator == again.last_answers.tail == ""


def test_the_servo_of_a_side_is_offered_for_that_side() -> None:
    sitting = Sitting()
    sitting.at().last_answers.servos[OwnSide.LEFT] = "reed-7"
    assert sitting.at().last_answers.servos == {OwnSide.LEFT: "reed-7"}


def test_an_empty_answer_to_who_works_here_is_asked_again_a_few_times() -> None:
    sitting = Sitting()
    assert operator_of(sitting.at("", " ", "builder"), GIVEN) == "builder"
    again = f"A name or initials are needed. {WHO} "
    assert sitting.asked == [f"{WHO} ", again, again]


def test_whoever_never_says_is_told_what_to_type_and_not_just_a_flag() -> None:
    sitting = Sitting()
    refusal = refused_after(sitting, [""] * TRIES)
    assert len(sitting.asked) == TRIES
    assert "type a name or initials" in refusal.hint
