import pytest

from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.core.utterance import WORST_FIRST, Reply, Utterance, require_done
from benchlink.errors import BoardError, RefusedError, UnansweredError
from benchlink.units import Seconds

KEEP = Command(line="keep", answer_within=Seconds(1.0))
YES = Command(line="y", answer_within=Seconds(1.0), key=True)
BOTH = Utterance(commands=(KEEP, YES))


def answer(verdict: Verdict, command: Command = KEEP, line: str = "") -> Answer:
    lines = (line,) if line else ()
    raw = f"{line}\n".encode() if line else b""
    remark = f"{command.line} {verdict.name}"
    return Answer(command=command, verdict=verdict, lines=lines, remark=remark, raw=raw)


def reply(*verdicts: Verdict) -> Reply:
    pairs = zip(verdicts, BOTH.commands, strict=False)
    return Reply(utterance=BOTH, answers=tuple(answer(v, c) for v, c in pairs))


def test_a_reply_is_as_good_as_its_worst_answer() -> None:
    for place, worst in enumerate(WORST_FIRST):
        for better in (*WORST_FIRST[place:], Verdict.OK):
            assert reply(worst, better).verdict is worst
            assert reply(better, worst).verdict is worst
    assert reply(Verdict.OK, Verdict.OK).verdict is Verdict.OK


def test_every_verdict_but_success_has_its_place_among_the_worst() -> None:
    assert set(WORST_FIRST) == set(Verdict) - {Verdict.OK}


def test_the_remark_is_the_one_of_the_worst_answer() -> None:
    assert reply(Verdict.NOTED, Verdict.REFUSED).remark == "y REFUSED"
    assert reply(Verdict.OK, Verdict.OK).remark == "keep OK"
    assert Reply(utterance=BOTH, answers=()).remark == ""


def test_the_lines_of_all_answers_are_the_lines_of_the_reply() -> None:
    both = (answer(Verdict.OK, KEEP, "sure?"), answer(Verdict.OK, YES, "kept"))
    told = Reply(utterance=BOTH, answers=both)
    assert told.lines == ("sure?", "kept")
    assert told.raw == b"sure?\nkept\n"
    assert told.said == "keep / y"


def test_keys_make_an_utterance_stepwise() -> None:
    assert BOTH.stepwise
    assert not Utterance(commands=(KEEP, KEEP)).stepwise
    assert not Utterance(commands=()).stepwise


@pytest.mark.parametrize("verdict", [Verdict.OK, Verdict.NOTED])
def test_success_passes(verdict: Verdict) -> None:
    given = reply(Verdict.OK, verdict)
    assert require_done(given) is given


@pytest.mark.parametrize(
    ("verdict", "error", "hint"),
    [
        (Verdict.REFUSED, RefusedError, "Nothing was changed"),
        (Verdict.AGAIN, RefusedError, "Nothing was changed"),
        (Verdict.DAMAGED, UnansweredError, "Read the board again"),
        (Verdict.UNANSWERED, UnansweredError, "Read the board again"),
    ],
)
def test_anything_else_says_which_line_and_what_to_do(
    verdict: Verdict, error: type[BoardError], hint: str
) -> None:
    with pytest.raises(error, match=f"`keep / y`: y {verdict.name}") as caught:
        require_done(reply(Verdict.OK, verdict))
    assert hint in caught.value.hint
