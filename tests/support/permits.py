"""Permits for lines that are not on trial: the gate with all its conditions taken out."""

from dataclasses import replace

from benchlink.console.description import Manner
from benchlink.core.exchange import Command
from benchlink.core.gate import Kind, Motion, Permit, World, permit
from benchlink.core.hazard import NO_HAZARD
from benchlink.core.utterance import Utterance
from benchlink.units import Power, Seconds

LONGEST = Seconds(2.0)


def world(epoch: int, now: Seconds) -> World:
    """A board of which nothing is known but its epoch."""
    return World(
        ready=False,
        epoch=epoch,
        looked_at=now,
        armed=None,
        aircraft="",
        operator="",
        pack_volts=None,
    )


def granted(
    data: bytes,
    epoch: int,
    now: Seconds,
    *,
    run_for: Seconds | None = None,
    proving: bool = False,
) -> Permit:
    """A permit for these bytes; with `run_for`, one of a motor."""
    motion = Motion(
        kind=Kind.SERVO if run_for is None else Kind.MOTOR,
        thing="p3",
        data=data,
        hazards=NO_HAZARD,
        power=Power(0.05),
        run_for=run_for or LONGEST,
        proving=proving,
    )
    return permit(motion, world(epoch, now), None, now, conditions={})


def permitted(said: Utterance, manner: Manner, epoch: int, now: Seconds) -> Utterance:
    """The same lines, each with a permit of its own."""

    def one(command: Command) -> Command:
        data = manner.bytes_of(command)
        return replace(command, permit=granted(data, epoch, now))

    return replace(said, commands=tuple(map(one, said.commands)))
