import pytest

from benchlink.core.exchange import Answer, Command, Verdict, require_done
from benchlink.errors import BoardError, RefusedError, UnansweredError
from benchlink.units import Seconds

COMMAND = Command(line="keep", answer_within=Seconds(1.0))


def answer(verdict: Verdict) -> Answer:
    return Answer(command=COMMAND, verdict=verdict, remark="store full")


@pytest.mark.parametrize("verdict", Verdict)
def test_only_damage_and_silence_cost_an_answer_its_trust(verdict: Verdict) -> None:
    doubtful = {Verdict.DAMAGED, Verdict.UNANSWERED}
    assert answer(verdict).trusted is (verdict not in doubtful)


@pytest.mark.parametrize("verdict", [Verdict.OK, Verdict.NOTED])
def test_success_passes(verdict: Verdict) -> None:
    given = answer(verdict)
    assert require_done(given) is given


@pytest.mark.parametrize(
    ("verdict", "error", "hint"),
    [
        (Verdict.REFUSED, RefusedError, "Nothing was changed"),
        (Verdict.DAMAGED, UnansweredError, "Read the board again"),
        (Verdict.UNANSWERED, UnansweredError, "Read the board again"),
    ],
)
def test_anything_else_says_which_line_and_what_to_do(
    verdict: Verdict, error: type[BoardError], hint: str
) -> None:
    with pytest.raises(error, match="`keep`: store full") as caught:
        require_done(answer(verdict))
    assert hint in caught.value.hint
