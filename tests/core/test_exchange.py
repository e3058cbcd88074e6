import pytest

from benchlink.core.exchange import DEFAULT_FORM, Answer, Command, Ending, Verdict
from benchlink.units import Seconds

COMMAND = Command(line="keep", answer_within=Seconds(1.0))


@pytest.mark.parametrize("verdict", Verdict)
def test_only_damage_and_silence_cost_an_answer_its_trust(verdict: Verdict) -> None:
    doubtful = {Verdict.DAMAGED, Verdict.ENDLESS, Verdict.UNANSWERED}
    answer = Answer(command=COMMAND, verdict=verdict, remark="store full")
    assert answer.trusted is (verdict not in doubtful)


def test_where_nothing_is_said_an_answer_needs_a_word_of_success() -> None:
    assert COMMAND.form is DEFAULT_FORM
    assert (DEFAULT_FORM.ends, DEFAULT_FORM.needs_word) == (Ending.STATUS, True)
    told = (COMMAND.key, COMMAND.alone, COMMAND.changes, COMMAND.restarts)
    assert not any(told)
