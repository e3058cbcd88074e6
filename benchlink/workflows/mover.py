"""Everything that moves in one session goes through here, and so through the gate.

The mover knows what the gate has to know: when the board was last asked whether its
outputs rest and whether a pack is in, what was confirmed, which window is open, and what
stands where. It renders each line once, gets a permit for those very bytes, and hands both
over together. What was driven is kept alive only while somebody is being asked: whoever
stops calling `hold` lets it expire on the board.
"""

from dataclasses import dataclass, replace
from typing import Final, final

from benchlink.console.live import LiveGrammar
from benchlink.core import gate
from benchlink.core.cautions import CUT_THE_POWER, PULL_THE_PACK
from benchlink.core.doors import Person
from benchlink.core.exchange import Command
from benchlink.core.gate import Kind, Motion, Permit, Window, World
from benchlink.core.hazard import Hazard, Hazards, Typed
from benchlink.core.jobs import Job
from benchlink.core.outputs import NAMES
from benchlink.core.plan import Moves
from benchlink.core.settings import Snapshot
from benchlink.core.utterance import Utterance, require_done
from benchlink.core.values import Value
from benchlink.errors import LinkError, MisuseError, SafetyRefusalError
from benchlink.units import Power, PulseUs, Seconds
from benchlink.workflows.bench_watch import BenchWatch, Clock, Who
from benchlink.workflows.say import say
from benchlink.workflows.session import Session

LOOK_EVERY: Final = Seconds(2.0)
"""How old a look may be before the next motion asks again."""

LOOK_AHEAD: Final = Seconds(1.0)
"""How old a look is when the next is due behind a nudge."""

HOLD_SHARE: Final = 0.5
"""Share of its life after which what is held is told again."""

PLAIN: Final = Utterance(commands=())
"""Needs no mode and no bank."""

LONGEST_HOLD: Final = Seconds(1.0)
"""An arm outlives this program by no more, where the line tells for how long."""

UNTIMED_HOLD: Final = Seconds(1.0)
"""The same where the board never ends it by itself."""


@dataclass(frozen=True, slots=True)
class _Standing:
    """A pulse that an output gives, and when it was told."""

    pulse: PulseUs
    told: Seconds


@final
class Mover(BenchWatch):
    """Moves servos and motors of one board; used on one thread."""

    def __init__(
        self, session: Session, person: Person, clock: Clock, who: Who
    ) -> None:
        super().__init__(session, person, clock, who)
        self._live: Final = LiveGrammar(session.grammar)
        self._window: tuple[PulseUs, PulseUs] | None = None
        self._standing: Final[dict[str, _Standing]] = {}
        self._written: Final[dict[str, PulseUs]] = {}
        self._spinning: tuple[str, Seconds] | None = None
        self._told_unstopped = False

    def window(self, least: PulseUs, most: PulseUs) -> None:
        """What pulses may be sent from now on; widening it is the person's to say."""
        self._window = (least, most)

    def forget(self) -> None:
        """Nothing of ours stands on a board that started anew."""
        super().forget()
        self._standing.clear()

    def at(self, output: str) -> PulseUs | None:
        """The pulse that was last told; None before the first."""
        standing = self._standing.get(output)
        return standing.pulse if standing else self._written.get(output)

    def drive(self, output: str, pulse: PulseUs) -> None:
        """Put an output to a pulse, and see that the board takes it.

        Raises:
            SafetyRefusalError: the gate says no; nothing was sent.
            RefusedError: the board says no.
            LinkError: it does not answer.
        """
        if not self._standing:
            self.confirm_anew_after_a_gap()
        command = self._permitted_pulse(output, pulse)
        # Noted before it is sent: whatever becomes of the answer, it may stand there.
        self._standing[output] = _Standing(pulse, self._clock())
        self._say(command)

    def nudge(self, output: str, pulse: PulseUs) -> None:
        """The same at once, by the live lane: a newer one replaces one that waits.

        Raises:
            SafetyRefusalError: the gate says no; nothing was sent.
        """
        command = self._permitted_pulse(output, pulse)
        self._standing[output] = _Standing(pulse, self._clock())
        self.session.board.live(output, command)
        self._look_ahead()

    def hold(self) -> None:
        """Keep alive what stands: to be called again and again while somebody is asked.

        Raises:
            SafetyRefusalError: the bench is not what it was; nothing more is sent.
        """
        for output, standing in list(self._standing.items()):
            if self._clock() - standing.told >= HOLD_SHARE * self._life:
                self.drive(output, standing.pulse)
        if self._standing:
            self._look_ahead()

    def _look_ahead(self) -> None:
        """Ask the board while nobody waits for it, so that the next key need not."""
        world = self._world
        if world is None or self._clock() - world.looked_at > LOOK_AHEAD:
            self.look()

    def write(
        self, name: str, value: Value, pulse: PulseUs, snapshot: Snapshot
    ) -> None:
        """Put an arm to a pulse by writing the setting that holds its centre.

        Raises:
            SafetyRefusalError: the gate says no; nothing was sent.
            RefusedError: the board says no.
            LinkError: it does not answer.
        """
        (said,) = self.session.grammar.writes({name: value}, snapshot)
        motion = replace(self._bare(Kind.SERVO, name, said), pulse=pulse)
        self._say(replace(_only(said), permit=self._permit(motion)), said)
        self._written[name] = pulse

    def release(self, output: str) -> None:
        """Let go of an output: the servo goes limp, or obeys the board again."""
        standing = self._standing.get(output)
        if standing is None:
            return
        if self._live.can("release"):
            said = self._live.release(output)
            motion = replace(self._bare(Kind.SERVO, output, said), pulse=standing.pulse)
            self._say(replace(_only(said), permit=self._permit(motion)))
        # Only now: until the board let go of it, the end has to stop it.
        del self._standing[output]

    def spin(
        self, motor: str, power: Power, run_for: Seconds, *, proving: bool = False
    ) -> None:
        """One burst of one motor; `proving` that the board ends it, nothing stops it.

        Raises:
            SafetyRefusalError: the gate says no; nothing was sent.
            RefusedError: the board says no.
            LinkError: it does not answer.
        """
        command = self.permitted_burst(motor, power, run_for, proving=proving)
        self._spun_until = Seconds(self._clock() + run_for)
        self._spinning = (motor, self._spun_until)
        self._say(command)
        self._spun_until = Seconds(self._clock() + run_for)
        self._spinning = (motor, self._spun_until)

    def permitted_burst(
        self, motor: str, power: Power, run_for: Seconds, *, proving: bool = False
    ) -> Command:
        """The line of a burst with its permit; whoever takes it counts as having run it.

        Raises:
            SafetyRefusalError: the gate says no.
        """
        timed = self._verb_is_timed("spin")
        said = self._live.spin(motor, power, run_for if timed else None)
        motion = replace(
            self._bare(Kind.MOTOR, motor, said),
            power=power,
            run_for=run_for,
            proving=proving,
        )
        permit = self._permit(motion)
        self._bursts += 1
        return replace(_only(said), permit=permit)

    def stop(self) -> None:
        """End every motion, past everything else; needs no permit.

        Raises:
            LinkError: its bytes did not leave: pull the pack.
        """
        grammar = self.session.grammar
        if grammar.can("stop"):
            self.session.board.stop(grammar.single("stop"))
        # Only now: a stop that did not leave is tried once more at the end.
        self._standing.clear()
        self._spinning = None

    def close(self) -> None:
        """Leave nothing driven; what cannot be told any more is said."""
        if not (self._standing or self._bursts):
            return
        try:
            self.stop()
        except LinkError as exc:
            # Tried at every end of the work, but once is enough to be heard.
            if not self._told_unstopped:
                self._person.tell(f"{exc}. {exc.hint}")
            self._told_unstopped = True
        else:
            self._person.tell(
                "A stop was sent and answered: nothing of ours is driven."
            )

    @property
    def _life(self) -> Seconds:
        """How long the board keeps a driven pulse."""
        verb = self.session.grammar.description.live.verbs["drive"]
        if verb.timed:
            most = verb.dials["time"].ours(verb.dials["time"].most)
            return Seconds(min(LONGEST_HOLD, most))
        return verb.expires or UNTIMED_HOLD

    @property
    def drives_for_good(self) -> bool:
        """Whether the board never ends by itself what is driven."""
        verb = self.session.grammar.description.live.verbs.get("drive")
        return verb is not None and not verb.timed and verb.expires is None

    def _verb_is_timed(self, name: str) -> bool:
        verb = self.session.grammar.description.live.verbs.get(name)
        return verb is not None and verb.timed

    def _permitted_pulse(self, output: str, pulse: PulseUs) -> Command:
        self._require_tilt(output)
        timed = self._verb_is_timed("drive")
        said = self._live.drive(output, pulse, self._life if timed else None)
        motion = replace(self._bare(Kind.SERVO, output, said), pulse=pulse)
        return replace(_only(said), permit=self._permit(motion))

    def _job(self, output: str) -> Job:
        """What an output drives; by setting where nobody knows in this epoch."""
        job, epoch = self._jobs.get(output, (Job.BY_SETTING, 0))
        if epoch == self.session.board.epoch:
            return job
        live = self.session.grammar.description.live
        return live.outputs.get(output, Job.BY_SETTING)

    def _require_tilt(self, output: str) -> None:
        """No servo pulse goes to what may be an ESC.

        Raises:
            SafetyRefusalError: it is no tilt servo, or nobody knows in this epoch.
        """
        job = self._job(output)
        if job.moves is Moves.SERVO:
            return
        told = f"it drives {NAMES[job]}"
        if job is Job.BY_SETTING:
            told = (
                "no settings that were read since the board started say what it drives"
            )
        msg = f"no servo is moved on {output}: {told}"
        raise SafetyRefusalError(
            msg, hint="Nothing was sent. `benchlink outputs` shows what drives what."
        )

    def _bare(self, kind: Kind, thing: str, said: Utterance) -> Motion:
        """The motion of a line, before anybody says how much of it."""
        command = _only(said)
        data = self.session.grammar.description.manner.bytes_of(command)
        hazards = self._hazards(thing, command, data)
        return Motion(kind=kind, thing=thing, data=data, hazards=hazards)

    def _permit(self, motion: Motion) -> Permit:
        world = self._now(motion.thing)
        self._told_unstopped = False
        return gate.permit(motion, world, self._props, self._clock())

    def _hazards(self, thing: str, command: Command, data: bytes) -> Hazards:
        """What the line may do; an output known to be a tilt spins no motor."""
        classify = self.session.grammar.hazards.classify
        found = classify(data, Typed(aim=command.aim)) | command.hazards
        job = self._job(thing)
        if found & {Hazard.SERVO, Hazard.MOTOR} and job.moves is Moves.SERVO:
            found = found - {Hazard.MOTOR} | {Hazard.SERVO}
        return found

    def _now(self, thing: str) -> World:
        world = self._world
        stale = world is None or self._clock() - world.looked_at > LOOK_EVERY
        if world is None or stale or world.epoch != self.session.board.epoch:
            world = self.look()
        window = None
        if self._window is not None:
            least, most = self._window
            window = Window(least=least, most=most, last=self.at(thing))
        return replace(
            self._as_confirmed(world),
            window=window,
            ceiling=self.ceiling,
            spinning=self._running(),
        )

    def _running(self) -> str:
        if self._spinning is None or self._clock() >= self._spinning[1]:
            return ""
        return self._spinning[0]

    def _say(self, command: Command, said: Utterance = PLAIN) -> None:
        """One permitted line, in the mode that its utterance needs."""
        session = self.session
        try:
            utterance = replace(said, commands=(command,))
            (reply,) = say(session.board, session.grammar, [utterance])
        except LinkError as exc:
            if "pull the pack" not in exc.hint.casefold():
                exc.hint = f"{exc.hint} {_ends_it(command)}".strip()
            raise
        require_done(reply)


def _ends_it(command: Command) -> str:
    """What ends a motion that its board says nothing of any more."""
    permit = command.permit
    of_motor = permit is not None and permit.motion.kind is Kind.MOTOR
    return PULL_THE_PACK if of_motor else CUT_THE_POWER


def _only(said: Utterance) -> Command:
    """The one line of a motion: what takes several has no last look at the whole."""
    if len(said.commands) != 1:
        msg = "a motion that takes several lines has no permit"
        raise MisuseError(msg)
    return said.commands[0]
