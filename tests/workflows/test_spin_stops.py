"""What stops a spin, or keeps it from beginning; and what is said to have stopped."""

import pytest

from benchlink.core.exchange import Command
from benchlink.core.gate import World
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState, SpinScene
from benchlink.core.spin_answers import Hand
from benchlink.errors import LinkError, SafetyRefusalError
from benchlink.workflows.bench_watch import BenchWatch
from benchlink.workflows.spin import Asked, radio_check, spin_check
from benchlink.workflows.spin_bench import NOT_KNOWN, PULL, SpinBench
from benchlink.workflows.spin_proof import PROVING
from tests.support.virtual_board import VirtualBoard
from tests.workflows.spin_person import (
    SENTENCE,
    SpinPerson,
    at_the_bench,
    held,
    ordered,
    runs,
)

LEFT = Asked(sides=(OwnSide.LEFT,))
BOTH = Asked(sides=tuple(OwnSide))
BURST, SEEN = (0.7, "space"), (2.0, "enter")


def scenes_of(person: SpinPerson) -> list[SpinScene]:
    return [scene for scene in person.scenes if isinstance(scene, SpinScene)]


def test_a_key_between_the_press_and_the_burst_calls_it_off(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    bench, person = at_the_bench(BURST, (2.0, "enter"))
    look, wanted = BenchWatch.look, []
    person.keyboard.at = lambda key: wanted.append(key) if key == "space" else None

    def looked(watch: BenchWatch) -> World:
        """The key is struck while the board is asked, before anything runs."""
        if wanted and not runs(person):
            wanted.clear()
            person.keyboard.left.insert(0, (0.0, "x"))
        return look(watch)

    monkeypatch.setattr(BenchWatch, "look", looked)
    check = spin_check(bench, LEFT)
    assert runs(person) == []
    assert check.answers == ()
    assert "Called off by a key: nothing ran." in person.told


def test_a_pack_that_was_out_while_a_key_was_waited_for_voids_the_confirmation() -> (
    None
):
    bench, person = at_the_bench(BURST, (9.0, "space"))
    hands = iter(["look", "disconnect pack", "look", "connect pack"])

    def waits() -> None:
        if runs(person):
            person.hands(next(hands, "look"))

    person.keyboard.waits = waits
    with pytest.raises(SafetyRefusalError, match="taken out or swapped"):
        spin_check(bench, LEFT)
    assert len(runs(person)) == 1


def test_a_burst_ends_with_a_stop_that_the_board_answers() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    spin_check(bench, LEFT)
    run = ordered(person).index("whirl left at 8.0 for 500")
    assert ordered(person)[run + 1] == "halt"


@pytest.mark.parametrize("keys", [(BURST,), ((0.7, "h"), *held(14), *held(30))])
def test_a_stop_that_nobody_answers_leaves_the_motor_not_known(
    keys: tuple[tuple[float, str], ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    bench, person = at_the_bench(*keys)
    stop = VirtualBoard.stop

    def stopped(board: VirtualBoard, command: Command) -> None:
        stop(board, command)
        if runs(person):
            msg = "no answer"
            raise LinkError(msg)

    monkeypatch.setattr(VirtualBoard, "stop", stopped)
    with pytest.raises(LinkError, match="no answer"):
        spin_check(bench, LEFT)
    last = scenes_of(person)[-1]
    assert (last.state, last.asks) == (MotorState.NOT_KNOWN, PULL)
    assert NOT_KNOWN in person.told
    assert not any(said.startswith("Stopped") for said in person.told)


def test_each_motor_is_proven_before_any_is_run() -> None:
    bench, person = at_the_bench(BURST, SEEN, BURST, SEEN)
    check = spin_check(bench, BOTH)
    left, right = "whirl left at 5.0 for 500", "whirl right at 5.0 for 500"
    assert ordered(person)[:8] == [left, "halt", right, "halt"] * 2
    assert [(proof.motor, proof.pack_in) for proof in check.proofs] == [
        ("left", False),
        ("right", False),
        ("left", True),
        ("right", True),
    ]
    assert person.confirmations() == 2


def test_while_the_end_is_proven_it_is_said_how_to_stop() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    spin_check(bench, LEFT)
    proving = [scene for scene in scenes_of(person) if scene.asks == PROVING]
    assert [(key.key, key.does) for key in proving[0].keys] == [
        ("CTRL-C", "stops"),
        ("THE PACK", "pull it"),
    ]
    assert any("Ctrl-C stops it" in said for said in person.told)


def test_stopping_keys_are_named_while_something_runs_and_no_sooner() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    spin_check(bench, LEFT)
    for scene in scenes_of(person):
        stopping = any(key.does == "stops" for key in scene.keys)
        assert stopping is (scene.state is MotorState.RUNNING)


def radio(bench: SpinBench) -> None:
    radio_check(bench, Asked(sides=tuple(OwnSide), hand=Hand.INBOARD_DOWN))


def test_by_radio_props_off_is_typed_before_the_pack_goes_in_and_after() -> None:
    bench, person = at_the_bench(answers={"Which one sped up": "left"}, pack=False)
    radio(bench)
    asked = [p for p in person.prompts if SENTENCE in p or "Type `in`" in p]
    assert [SENTENCE in prompt for prompt in asked] == [True, False, True]
    steps = [said.strip()[:2] for said in person.told if said.startswith("  ")]
    assert steps == [f"{number}." for number in range(1, 8)]


def test_by_radio_without_the_second_word_nothing_goes_on() -> None:
    bench, person = at_the_bench(pack=False)
    words = iter([SENTENCE, "yes", "yes", "yes"])

    def typed(prompt: str) -> None:
        if SENTENCE in prompt:
            person.answers[SENTENCE] = next(words)

    person.before = typed
    with pytest.raises(SafetyRefusalError, match="not confirmed"):
        radio(bench)
    assert not any("Arm by the transmitter" in said for said in person.told)
