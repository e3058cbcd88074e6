"""The spin check in virtual time: proof, keys, answers, and what refuses it."""

from dataclasses import replace

import pytest

from benchlink.console.description import Description
from benchlink.core.readings import Quantity
from benchlink.core.roles import OwnSide
from benchlink.core.spin_answers import Hand, SpinCheck, Turned, Turning
from benchlink.core.spin_expiry import UnprovenError
from benchlink.core.spin_findings import findings
from benchlink.errors import DeclinedError, SafetyRefusalError, UsageError
from benchlink.units import Power, Seconds
from benchlink.workflows.spin import Asked, radio_check, spin_check
from tests.support.virtual_bench import wader
from tests.workflows.spin_person import (
    SENTENCE,
    SpinPerson,
    at_the_bench,
    held,
    ordered,
    runs,
    span,
)

LEFT = Asked(sides=(OwnSide.LEFT,))
BURST, SEEN = (0.7, "space"), (2.0, "enter")


def without(*quantities: Quantity, base: Description | None = None) -> Description:
    """A console that does not tell some quantities."""
    described = base or wader()
    readings = tuple(
        replace(
            asking,
            gauges={
                name: gauge
                for name, gauge in asking.gauges.items()
                if gauge.quantity not in quantities
            },
        )
        for asking in described.readings
    )
    return replace(described, readings=readings)


def untimed(expires: Seconds | None = None) -> Description:
    """A console whose spin is not told for how long."""
    live = wader().live
    spin = live.verbs["spin"]
    dials = {"percent": spin.dials["percent"]}
    spin = replace(spin, dials=dials, expires=expires)
    return replace(wader(), live=replace(live, verbs={**live.verbs, "spin": spin}))


def test_one_press_is_one_burst_that_the_board_times() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    check = spin_check(bench, LEFT)
    assert runs(person) == ["whirl left at 8.0 for 500"]
    (answer,) = check.answers
    assert (answer.turned, answer.turning) == (Turned.LEFT, Turning.CLOCKWISE)
    assert (answer.power, answer.ran_for) == (0.08, 0.5)
    assert list(span(person)) == ["motor-left"]
    assert ordered(person)[-1] == "halt"


def test_cautions_and_confirmation_come_before_anything_turns() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    spin_check(bench, LEFT)
    assert person.confirmations() == 2
    assert any("Props off both hubs" in said for said in person.told)
    assert any("pull the pack, from behind the disc" in said for said in person.told)


def test_a_supply_on_the_rail_goes_before_the_pack_comes() -> None:
    bench, person = at_the_bench(BURST, SEEN)

    def meanwhile(prompt: str) -> None:
        if "Type `in`" in prompt:
            assert any("Take the supply off the rail first" in s for s in person.told)
            person.hands("disconnect rail")

    person.before = meanwhile
    person.hands("connect rail")
    spin_check(bench, LEFT)
    assert sum("a bench supply feeds it" in said for said in person.told) == 1


def test_nothing_is_said_of_a_supply_that_is_not_there() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    spin_check(bench, LEFT)
    assert not any("supply" in said for said in person.told)


def test_the_end_of_a_run_is_proven_in_silence_with_the_pack_out_and_in() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    check = spin_check(bench, LEFT)
    assert [proof.pack_in for proof in check.proofs] == [False, True]
    proving = ordered(person)[:4]
    assert proving == ["whirl left at 5.0 for 500", "halt"] * 2
    assert all(0.5 <= proof.within < 0.8 for proof in check.proofs)


@pytest.mark.parametrize(
    ("expiry", "figure"),
    [("long", r"went on for 4\.\d s"), ("absent", "still driving")],
)
def test_a_board_that_goes_on_too_long_is_refused_with_the_figure(
    expiry: str, figure: str
) -> None:
    bench, person = at_the_bench(BURST)
    person.hands(f"expiry {expiry}")
    with pytest.raises(UnprovenError, match=figure):
        spin_check(bench, LEFT)
    assert span(person) == {}
    assert ordered(person)[-1] == "halt"


def test_a_board_that_goes_on_only_with_the_pack_in_is_stopped_at_once() -> None:
    bench, person = at_the_bench(BURST)

    def trick(prompt: str) -> None:
        if "Type `in`" in prompt:
            person.hands("expiry absent")

    person.before = trick
    with pytest.raises(UnprovenError, match=r"still driving after 1\.\d s"):
        spin_check(bench, LEFT)
    assert ordered(person).count("whirl left at 5.0 for 500") == 2
    assert person.board.device.aircraft.drives.power("left", person.board.now_us) == 0


def test_nothing_turns_unless_the_sentence_is_typed_to_the_letter() -> None:
    for typed in ("", "yes", "props off", "Props off LW-03", f"{SENTENCE} "):
        bench, person = at_the_bench(BURST, answers={SENTENCE: typed})
        with pytest.raises(SafetyRefusalError, match="not confirmed for LW-03"):
            spin_check(bench, LEFT)
        assert not [line for line in ordered(person) if line.startswith("whirl")]


def test_a_confirmation_from_before_the_pack_went_in_does_not_count_after() -> None:
    bench, person = at_the_bench(BURST, pack=False)
    typed = iter([SENTENCE, "no"])

    def second(prompt: str) -> None:
        if SENTENCE in prompt:
            person.answers[SENTENCE] = next(typed)

    person.before = second
    with pytest.raises(SafetyRefusalError, match="not confirmed"):
        spin_check(bench, LEFT)
    assert span(person) == {}


def test_an_expired_confirmation_is_asked_for_again_before_the_next_burst() -> None:
    bench, person = at_the_bench(BURST, (650.0, "space"), SEEN)
    spin_check(bench, LEFT)
    assert person.confirmations() == 3


def test_a_pack_that_comes_out_meanwhile_keeps_the_gate_shut() -> None:
    bench, person = at_the_bench(BURST, (4.0, "space"))

    def pull_it(_key: str) -> None:
        if runs(person):
            person.hands("disconnect pack")

    person.keyboard.at = pull_it
    with pytest.raises(SafetyRefusalError, match="taken out or swapped"):
        spin_check(bench, LEFT)
    assert len(runs(person)) == 1


def test_keys_that_come_together_are_a_paste_and_run_nothing() -> None:
    spaces = "+".join(["space"] * 300)
    fast = [(0.02, "space")] * 40
    bench, person = at_the_bench((1.0, spaces), (1.0, "space"), *fast, (2.0, "enter"))
    check = spin_check(bench, LEFT)
    assert runs(person) == []
    assert check.answers == ()
    assert sum("as a paste does" in said for said in person.told) == 2


def test_any_other_key_stops_a_burst() -> None:
    bench, person = at_the_bench(BURST, (0.2, "x"), SEEN)
    spin_check(bench, LEFT)
    assert "Stopped by a key." in person.told
    assert ordered(person)[5] == "halt"


def test_the_same_key_held_on_does_not_add_a_burst() -> None:
    bench, person = at_the_bench(BURST, *[(0.3, "space")] * 9, SEEN)
    spin_check(bench, LEFT)
    assert len(runs(person)) == 1


def test_an_interrupt_during_a_burst_sends_the_stop_first() -> None:
    bench, person = at_the_bench(BURST, (0.1, "space"))

    def interrupt(key: str) -> None:
        if key == "space" and runs(person):
            raise KeyboardInterrupt

    person.keyboard.at = interrupt
    with pytest.raises(KeyboardInterrupt):
        spin_check(bench, LEFT)
    assert ordered(person)[-1] == "halt"
    assert person.board.device.aircraft.drives.power("left", person.board.now_us) == 0


def test_a_held_key_runs_after_its_repeat_was_measured_and_stops_when_let_go() -> None:
    keys = [(0.7, "h"), *held(14), *held(40), (3.0, "enter")]
    bench, person = at_the_bench(*keys)
    check = spin_check(bench, LEFT)
    found = runs(person)
    assert set(found) == {"whirl left at 8.0 for 200"}
    assert 8 <= len(found) <= 14
    assert any(
        said.startswith("It repeats: first after 400 ms") for said in person.told
    )
    assert "Stopped: the key was let go." in person.told
    (answer,) = check.answers
    assert answer.ran_for is not None
    assert 1.0 < answer.ran_for < 1.7


def test_a_held_key_runs_three_seconds_at_most() -> None:
    keys = [(0.7, "h"), *held(14), *held(200), (3.0, "enter")]
    bench, person = at_the_bench(*keys)
    check = spin_check(bench, LEFT)
    assert any("3 s is the longest run" in said for said in person.told)
    assert check.answers[0].ran_for is not None
    assert check.answers[0].ran_for <= 3.2


def test_pasted_keys_are_no_held_key() -> None:
    paste = [(0.7, "h"), (0.7, "space+space+space"), (2.0, "enter")]
    bench, person = at_the_bench(*paste)
    spin_check(bench, LEFT)
    fast = [(0.7, "h"), (0.7, "space"), *[(0.004, "space")] * 30, (2.0, "enter")]
    bench, second = at_the_bench(*fast)
    spin_check(bench, LEFT)
    assert runs(person) == runs(second) == []
    assert any("No holding here" in said for said in person.told)
    assert any("No holding here" in said for said in second.told)


def test_a_paste_after_the_measuring_runs_nothing_either() -> None:
    paste = [(0.7, "space"), *[(0.004, "space")] * 200]
    bench, person = at_the_bench((0.7, "h"), *held(14), *paste, (2.0, "enter"))
    spin_check(bench, LEFT)
    assert runs(person) == []


def test_power_goes_up_by_key_and_never_above_the_ceiling() -> None:
    ups = [(0.7, "up")] * 9
    bench, person = at_the_bench(*ups, (0.7, "down"), *ups, BURST, SEEN)
    spin_check(bench, LEFT)
    assert runs(person) == ["whirl left at 10.0 for 500"]


def test_a_ceiling_above_the_usual_is_agreed_to_and_written_down() -> None:
    ups = [(0.7, "up")] * 9
    bench, person = at_the_bench(*ups, BURST, SEEN)
    check = spin_check(bench, replace(LEFT, ceiling=Power(0.12)))
    assert runs(person) == ["whirl left at 12.0 for 500"]
    assert check.remarks == ("ceiling raised to 12 %",)
    bench, person = at_the_bench(BURST)
    person.says_yes = False
    with pytest.raises(DeclinedError, match="12 %"):
        spin_check(bench, replace(LEFT, ceiling=Power(0.12)))
    with pytest.raises(UsageError, match="up to 20 %"):
        spin_check(bench, replace(LEFT, ceiling=Power(0.21)))
    assert ordered(person) == []


def test_where_no_pack_voltage_is_told_each_run_has_its_own_confirmation() -> None:
    bench, person = at_the_bench(
        BURST,
        (3.0, "space"),
        (3.0, "h"),
        SEEN,
        description=without(Quantity.PACK_VOLTS),
    )
    check = spin_check(bench, LEFT)
    assert person.confirmations() == 4
    assert len(runs(person)) == 2
    assert [proof.pack_in for proof in check.proofs] == [None, None]
    assert "This board can be run by single bursts alone." in person.told


@pytest.mark.parametrize(
    ("description", "why", "hint"),
    [
        (
            without(Quantity.OUTPUT, Quantity.MOTOR_SPEED),
            "tells neither outputs nor motor speeds",
            "`readings:`",
        ),
        (
            replace(wader(), live=replace(wader().live, verbs={})),
            "no way",
            "`live: spin:`",
        ),
        (untimed(), "nothing ends it", "`expires-ms:`"),
        (untimed(Seconds(4.0)), "ends a spin after 4 s", "Shorten it"),
    ],
)
def test_a_console_that_cannot_end_or_show_it_is_refused_with_what_would_help(
    description: Description, why: str, hint: str
) -> None:
    bench, person = at_the_bench(BURST, description=description)
    with pytest.raises(UnprovenError, match=why) as caught:
        spin_check(bench, LEFT)
    assert hint in caught.value.hint
    assert "spin by radio" in caught.value.hint.lower()
    assert ordered(person) == []


def test_outputs_alone_or_speeds_alone_prove_it() -> None:
    bench, _ = at_the_bench(BURST, SEEN, description=without(Quantity.MOTOR_SPEED))
    assert len(spin_check(bench, LEFT).proofs) == 2
    bench, person = at_the_bench(BURST, description=without(Quantity.OUTPUT))
    with pytest.raises(UnprovenError, match="nothing shows whether"):
        # With the pack out no motor turns, so speeds alone show nothing.
        spin_check(bench, LEFT)
    assert span(person) == {}


def test_live_outputs_are_refused_before_anything_is_asked() -> None:
    bench, person = at_the_bench(BURST)
    person.board.device.aircraft.outputs_live = True
    with pytest.raises(SafetyRefusalError, match="LIVE"):
        spin_check(bench, LEFT)
    assert person.confirmations() == 0


def test_a_board_that_rests_says_why_it_would_not_arm() -> None:
    bench, person = at_the_bench(BURST, SEEN)
    spin_check(bench, LEFT)
    assert any("would not arm now: no radio link" in said for said in person.told)


def both(person_answers: dict[str, str]) -> tuple[SpinCheck, SpinPerson]:
    bench, person = at_the_bench(BURST, SEEN, BURST, SEEN, answers=person_answers)
    turned = iter(["left", "right"])
    ways = iter(["clockwise", "clockwise"])

    def answer(prompt: str) -> None:
        if "What turned" in prompt and "What turned" not in person_answers:
            person.answers["What turned"] = next(turned)
        if "Which way, seen" in prompt:
            person.answers["Which way, seen"] = next(ways)

    person.before = answer
    person.answers = {"Which way, seen": "", **person.answers}
    return spin_check(bench, Asked(sides=tuple(OwnSide))), person


def test_a_pair_that_turns_alike_is_found() -> None:
    check, person = both({})
    assert [f.text for f in findings(check)] == [
        "Both turn clockwise seen from above; a pair must turn opposite ways."
    ]
    assert runs(person) == ["whirl left at 8.0 for 500", "whirl right at 8.0 for 500"]


def test_after_a_tilt_arm_moved_nothing_more_is_spun() -> None:
    check, person = both({"What turned": "a tilt"})
    assert runs(person) == ["whirl left at 8.0 for 500"]
    assert "a tilt arm moved" in findings(check)[0].text


def test_by_radio_the_same_is_asked_and_nothing_that_moves_is_sent() -> None:
    bench, person = at_the_bench(answers={"Which one sped up": "left"})
    check = radio_check(bench, replace(LEFT, hand=Hand.INBOARD_DOWN))
    assert ordered(person) == []
    assert check.proofs == ()
    assert "for inboard-down it must turn anticlockwise" in findings(check)[0].text
    assert person.confirmations() == 1


def test_leaving_or_not_answering_ends_it_with_a_stop() -> None:
    bench, person = at_the_bench(BURST, (2.0, "escape"))
    with pytest.raises(DeclinedError, match="was left"):
        spin_check(bench, LEFT)
    assert ordered(person)[-1] == "halt"
    bench, person = at_the_bench(BURST, SEEN, answers={"What turned": "who knows"})
    with pytest.raises(DeclinedError, match="nobody answered"):
        spin_check(bench, LEFT)
