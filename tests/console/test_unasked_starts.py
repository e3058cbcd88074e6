"""A board that starts by itself: each time is a new epoch, and an asked one is not."""

from benchlink.console.description import Manner, Wake
from benchlink.console.events import StartedByItself
from benchlink.console.phases import Phase
from benchlink.console.template import template
from benchlink.core.exchange import AnswerForm, Ending
from tests.console.talking import FORM, MANNER, Desk, answer_to, command

UP = b"\r\nwader boot 2\r\n"
PROMPTLESS = Manner(
    prompt=None,
    answer=FORM,
    wake=Wake.NOTHING,
    hello="id",
    hello_form=AnswerForm(ends=Ending.LINE),
    banner=(template("wader boot {count}"),),
    window_bytes=60,
)


def starts(desk: Desk) -> int:
    return sum(isinstance(event, StartedByItself) for event in desk.events)


def test_every_start_is_told_though_nothing_was_asked_in_between() -> None:
    desk = Desk(MANNER).ready()
    for count in (1, 2, 3):
        desk.says(UP)
        desk.passes(0.5)
        desk.says(b"@ ")
        desk.passes(0.5)
        assert starts(desk) == count


def test_one_start_with_two_banners_is_one() -> None:
    desk = Desk(MANNER).ready()
    desk.says(UP + UP)
    desk.says(b"@ ")
    assert starts(desk) == 1


def test_a_start_that_was_asked_for_is_none_of_its_own() -> None:
    desk = Desk(MANNER).ready()
    desk.order(command("restart", restarts=True, alone=True))
    desk.says(answer_to("restart"))
    desk.passes(0.2)
    desk.says(UP + b"@ ")
    desk.passes(0.5)
    assert starts(desk) == 0
    assert desk.stands(Phase.READY)
    desk.says(UP)
    assert starts(desk) == 1


def test_without_a_prompt_every_banner_counts() -> None:
    desk = Desk(PROMPTLESS)
    desk.passes(0.1)
    desk.says(b"id\r\nwader\r\n")
    desk.passes(0.1)
    assert desk.stands(Phase.READY)
    for count in (1, 2):
        desk.says(UP)
        desk.passes(0.5)
        assert starts(desk) == count
