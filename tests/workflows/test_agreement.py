"""What only a person can say, and no flag."""

import pytest

from benchlink.core.identity import Identity
from benchlink.core.plan import Change, Moves, Plan
from benchlink.core.values import Text
from benchlink.errors import DeclinedError, SafetyRefusalError
from benchlink.workflows.agreement import get_agreement
from benchlink.workflows.session import Session
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import meet_wader, virtual_board


def met() -> Session:
    return meet_wader(virtual_board())


def change(moves: Moves = Moves.NOTHING, one_way: str = "") -> Change:
    return Change(
        name="tilt.left.centre_us",
        old=Text("a"),
        new=Text("b"),
        moves=moves,
        one_way=one_way,
    )


def plan_of(*changes: Change) -> Plan:
    return Plan(identity=Identity(), fingerprint="", changes=changes)


def test_a_flag_is_a_yes_to_a_plan_that_moves_nothing() -> None:
    person = ScriptedPerson(says_yes=False, typed="")
    get_agreement(plan_of(change()), person, agreed=True, session=met())
    assert person.asked == []


def test_without_a_flag_the_person_is_asked_how_many_values() -> None:
    person = ScriptedPerson()
    get_agreement(plan_of(change(), change()), person, agreed=False, session=met())
    assert person.asked == ["Write 2 values to the board?"]


def test_a_no_is_a_no() -> None:
    with pytest.raises(DeclinedError, match="not agreed"):
        get_agreement(
            plan_of(change()),
            ScriptedPerson(says_yes=False),
            agreed=False,
            session=met(),
        )


@pytest.mark.parametrize("typed", ["", "yes", "HANDS CLEAR", "hands clear "])
@pytest.mark.parametrize("moves", [Moves.SERVO, Moves.MOTOR])
def test_only_the_exact_words_make_motion_safe(typed: str, moves: Moves) -> None:
    person = ScriptedPerson(typed=typed)
    with pytest.raises(SafetyRefusalError) as caught:
        get_agreement(plan_of(change(moves)), person, agreed=True, session=met())
    assert caught.value.details == (f"tilt.left.centre_us: may move a {moves.value}",)


def test_hands_clear_is_asked_for_with_the_names_that_move() -> None:
    person = ScriptedPerson()
    get_agreement(plan_of(change(Moves.SERVO)), person, agreed=True, session=met())
    assert person.asked == ["Type 'hands clear' to go on: "]
    assert any("tilt.left.centre_us" in line for line in person.told)


def test_no_flag_gives_up_a_value_that_is_gone_for_good() -> None:
    person = ScriptedPerson(says_yes=False)
    with pytest.raises(DeclinedError, match="give up") as caught:
        get_agreement(
            plan_of(change(one_way="holds ';'")), person, agreed=True, session=met()
        )
    assert caught.value.details == ("tilt.left.centre_us: the old value holds ';'",)
