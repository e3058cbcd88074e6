"""Which servo it is: said or asked, and never guessed silently."""

import pytest

from benchlink.core.parts import UNKNOWN_MAKE, Parts, ServoMake
from benchlink.core.servo_part import UNKNOWN_SERVO
from benchlink.errors import DeclinedError, UsageError
from benchlink.workflows.which_servo import TRIES, which_servo
from tests.support.people import ScriptedPerson

REED = ServoMake(name="reed-7", title="Reed 7", part=UNKNOWN_SERVO, source="reed.yaml")
PARTS = Parts(servos={"reed-7": REED})


def ask(person: ScriptedPerson, named: str = "", before: str = "") -> ServoMake:
    return which_servo(PARTS, person, named, "the left tilt", before)


def test_a_named_servo_is_taken_and_told() -> None:
    person = ScriptedPerson()
    assert ask(person, "reed-7") is REED
    assert person.asked == []
    assert person.told == [
        "servo of the left tilt: Reed 7: 1000 to 2000 us around 1500, at most 50 Hz"
    ]


def test_a_named_servo_that_is_not_there_is_refused() -> None:
    with pytest.raises(UsageError, match="no servo 'reed-8'"):
        ask(ScriptedPerson(), "reed-8")


def test_the_word_unknown_is_an_answer_and_is_told() -> None:
    person = ScriptedPerson(says_yes=False)
    assert ask(person, "unknown") is UNKNOWN_MAKE
    assert person.asked == []
    assert (
        "taken for an unknown servo: 1000 to 2000 us around 1500, at most 50"
        in (person.told[0])
    )


def test_the_person_names_it() -> None:
    person = ScriptedPerson(typed=" reed-7 ")
    assert ask(person) is REED
    assert person.asked == ["servo of the left tilt (nothing: nobody knows): "]
    assert person.told[0] == "known servos: reed-7"


def test_nobody_knows_it_and_a_yes_is_needed() -> None:
    person = ScriptedPerson(typed="")
    assert ask(person) is UNKNOWN_MAKE
    assert person.asked[-1] == "Go on with an unknown servo?"


def test_whoever_cannot_be_asked_gets_no_servo() -> None:
    with pytest.raises(DeclinedError, match="nobody said which servo the left tilt"):
        ask(ScriptedPerson(typed="", says_yes=False))


@pytest.mark.parametrize(
    ("typed", "before", "made", "offer"),
    [
        ("", "reed-7", REED, "Enter: as before, reed-7; `unknown`: nobody knows"),
        ("unknown", "reed-7", UNKNOWN_MAKE, "Enter: as before, reed-7; `unknown`"),
        ("", "unknown", UNKNOWN_MAKE, "(Enter: as before, unknown)"),
        ("reed-7", "unknown", REED, "(Enter: as before, unknown)"),
    ],
)
def test_the_last_one_is_offered_and_an_answer_is_not_questioned(
    typed: str, before: str, made: ServoMake, offer: str
) -> None:
    person = ScriptedPerson(typed=typed, says_yes=False)
    assert ask(person, before=before) is made
    (asked,) = person.asked
    assert offer in asked


def test_one_that_is_known_no_more_is_not_offered() -> None:
    person = ScriptedPerson(typed="")
    ask(person, before="reed-8")
    assert person.asked[0] == "servo of the left tilt (nothing: nobody knows): "


def test_wrong_names_never_come_to_the_last_one() -> None:
    person = ScriptedPerson(typed="rede", says_yes=False)
    with pytest.raises(DeclinedError):
        ask(person, before="unknown")


def test_wrong_names_are_told_and_asked_again_a_few_times() -> None:
    person = ScriptedPerson(typed="rede", says_yes=False)
    with pytest.raises(DeclinedError):
        ask(person)
    assert sum("there is no servo 'rede'" in text for text in person.told) == TRIES
