"""What the board at the bench tells of the steps of a job; nothing is written for it."""

from dataclasses import replace

import pytest

from benchlink.console.description import Description, Live
from benchlink.console.grammar import Grammar
from benchlink.console.role_setting import Roles
from benchlink.core.angles import Way
from benchlink.core.bench_record import Held
from benchlink.core.intent import Fits
from benchlink.core.job_facts import BoardNow, OnPaper
from benchlink.core.job_standing import Standing, standings
from benchlink.core.job_steps import Step
from benchlink.core.roles import Ends, OwnSide, Role
from benchlink.core.settings import Snapshot
from benchlink.units import PulseUs
from benchlink.workflows.job import Wishes, board_now, rests_on
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import Session, meet
from tests.support.people import ScriptedPerson
from tests.support.virtual_bench import virtual_board, wader, wanting


def at(description: Description) -> tuple[Session, Snapshot]:
    session = meet(virtual_board(), Grammar(description))
    return session, read_settled(session, ScriptedPerson())


def now(description: Description) -> BoardNow:
    return board_now(*at(description), None)


@pytest.fixture
def described() -> Description:
    return wader()


def without(description: Description, *roles: Role) -> Description:
    settings = {
        role: held
        for role, held in description.roles.settings.items()
        if role not in roles
    }
    return replace(description, roles=replace(description.roles, settings=settings))


def test_centres_and_ends_come_from_the_settings_by_their_roles(
    described: Description,
) -> None:
    tilt = now(described).tilts[OwnSide.LEFT]
    assert tilt.centre_us == PulseUs(1500)
    assert tilt.spans_us == {Way.FORWARD: 350, Way.AFT: 350}


def test_a_profile_for_other_boards_is_not_what_this_one_should_hold(
    described: Description,
) -> None:
    session, snapshot = at(described)
    strange = wanting({"pack.cells": "6"}, fits=Fits(board_types=("sandpiper",)))
    board = board_now(session, snapshot, Wishes(intent=strange, profile="marsh"))
    assert board.against is None
    (baseline,) = (s for s in standings(OnPaper(), board) if s.step is Step.BASELINE)
    assert baseline.standing is not Standing.DONE
    assert baseline.why == (
        "'Marsh baseline' is made for sandpiper, firmware any, but the board is"
        f" {session.identity}"
    )


def test_ends_that_are_pulses_become_spans(described: Description) -> None:
    pulses = replace(described, roles=replace(described.roles, ends=Ends.PULSES))
    assert now(pulses).tilts[OwnSide.LEFT].spans_us == {
        Way.FORWARD: 1150,
        Way.AFT: 1150,
    }


def test_this_board_can_do_every_step_and_its_map_is_right(
    described: Description,
) -> None:
    board = now(described)
    assert board.cannot == {}
    assert board.wrong_outputs == ()


def test_what_the_description_does_not_say_cannot_be_done_here(
    described: Description,
) -> None:
    bare = replace(
        without(described, Role.LEFT_CENTRE, Role.RIGHT_FORE), pads=None, live=Live()
    )
    assert now(bare).cannot == {
        Step.OUTPUTS: "the console 'wader' does not say what decides its outputs",
        Step.WIGGLE: "the console 'wader' does not say what decides its outputs",
        Step.CENTRE: (
            "the description of its console does not say which setting holds the left"
            " centre"
        ),
        Step.THROW: (
            "the description of its console does not say which setting holds the right"
            " fore"
        ),
    }


def test_a_console_that_drives_nothing_cannot_wiggle(described: Description) -> None:
    board = now(replace(described, live=Live()))
    assert board.cannot == {Step.WIGGLE: "its console has no way to drive an output"}


def test_what_is_left_to_bring_about_is_named(described: Description) -> None:
    wishes = Wishes(intent=wanting({"pack.cells": "3", "tilt.left.rate_hz": "50"}))
    board = board_now(*at(described), wishes)
    assert board.against is not None
    assert board.against.off == ("pack.cells",)
    assert board.against.asked == 2


def test_a_step_rests_on_its_settings_as_the_board_has_them(
    described: Description,
) -> None:
    _, snapshot = at(described)
    assert rests_on(Step.MOUNTING, described, snapshot)[0] == Held(
        "mount.yaw_deg", "0.0"
    )
    spin = {held.name for held in rests_on(Step.SPIN, described, snapshot)}
    assert {"motor.left.direction", "output.p1.job"} <= spin
    assert rests_on(Step.RADIO, described, snapshot) == ()
    assert (
        rests_on(Step.SPIN, replace(described, pads=None, roles=Roles()), snapshot)
        == ()
    )
