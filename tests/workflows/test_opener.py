"""Which switch a refusal names, and when it may be put on for that."""

from decimal import Decimal
from typing import Final

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Answer, Command, Verdict
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.utterance import Reply, Utterance
from benchlink.core.values import Number, Switch, Value
from benchlink.units import Seconds
from benchlink.workflows.opener import named_switch
from tests.support.virtual_bench import wader

CENTRE: Final = "filter.notch.centre_hz"
SWITCH: Final = "filter.notch.on"
GRAMMAR: Final = Grammar(wader())


def refused(remark: str, verdict: Verdict = Verdict.REFUSED) -> dict[str, Reply]:
    command = Command(line="let", answer_within=Seconds(1.0))
    answer = Answer(command=command, verdict=verdict, remark=remark)
    said = Utterance(commands=(command,), names=(CENTRE,))
    return {CENTRE: Reply(utterance=said, answers=(answer,))}


def board(**others: Value) -> Snapshot:
    held = {CENTRE: Number(Decimal(120)), SWITCH: Switch(on=False), **others}
    return Snapshot(
        settings={n: Setting(name=n, value=v, raw=str(v)) for n, v in held.items()}
    )


def found(
    remark: str, now: Snapshot | None = None, wanted: tuple[str, ...] = (CENTRE, SWITCH)
) -> str | None:
    return named_switch([CENTRE], refused(remark), now or board(), wanted, GRAMMAR)


def test_the_switch_that_is_named_and_off() -> None:
    assert found(f"{SWITCH} must be on first") == SWITCH


@pytest.mark.parametrize(
    "remark",
    ["", "out of range", f"{SWITCH}_2 must be on", f"my.{SWITCH} must be on", CENTRE],
)
def test_no_other_words_name_it(remark: str) -> None:
    assert found(remark) is None


def test_one_that_is_on_already_is_not_the_reason() -> None:
    assert found(f"{SWITCH} must be on", board(**{SWITCH: Switch(on=True)})) is None


def test_two_that_are_named_leave_it_to_the_person() -> None:
    now = board(**{"log.on": Switch(on=False)})
    wanted = (CENTRE, SWITCH, "log.on")
    assert found(f"{SWITCH} or log.on must be on", now, wanted) is None


def test_one_that_nobody_would_put_off_again_stays_off() -> None:
    assert found(f"{SWITCH} must be on", wanted=(CENTRE,)) is None


def test_an_answer_that_is_no_refusal_names_nothing() -> None:
    said = refused(f"{SWITCH} must be on", Verdict.OK)
    assert named_switch([CENTRE], said, board(), (CENTRE, SWITCH), GRAMMAR) is None


def test_one_that_may_move_something_is_left_alone() -> None:
    now = board(**{"motor.left.idle_pct": Switch(on=False)})
    wanted = (CENTRE, "motor.left.idle_pct")
    assert found("motor.left.idle_pct must be on", now, wanted) is None
