"""What every part of the spin check works with, and what it has to ask each time."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from typing import Final, TypeVar

from benchlink.core.doors import Person
from benchlink.core.jobs import Job
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState, SceneKey, SpinScene
from benchlink.core.spin_expiry import BY_RADIO, UnprovenError
from benchlink.errors import DeclinedError, LinkError, SafetyRefusalError
from benchlink.units import MINUTE_S, Power, Seconds
from benchlink.workflows.bench_watch import NOBODY_LOOKED
from benchlink.workflows.mover import Mover
from benchlink.workflows.notebook import Notebook
from benchlink.workflows.pack_place import told_pack

Heard = TypeVar("Heard")

LOOK_EVERY: Final = Seconds(1.0)
"""While a question stands: a pack that is taken out is seen."""

TRIES: Final = 3
"""How often a question is asked before it counts as not answered."""
MOTORS: Final = {OwnSide.LEFT: Job.MOTOR_LEFT, OwnSide.RIGHT: Job.MOTOR_RIGHT}
CONFIRM: Final = "Look at both hubs, then type"
STOPPED: Final = "Stopped"
PULL: Final = "PULL THE PACK, from behind the disc"
NOT_KNOWN: Final = (
    "Whether the motor stopped is NOT KNOWN: pull the pack, from behind the disc."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Burst:
    """One motor, and what a run of it is."""

    side: OwnSide
    motor: str
    """As the console calls it."""
    power: Power
    run_for: Seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class SpinBench:
    """The mover, the person, and a way to let time pass."""

    mover: Mover
    person: Person
    pause: Callable[[Seconds], None]
    """Says nothing to the board meanwhile."""
    notes: Notebook = field(default_factory=Notebook)
    """What was seen so far."""

    @property
    def now(self) -> Seconds:
        """The time that permits go by."""
        return self.mover.clock()

    def motor(self, side: OwnSide) -> str:
        """The motor of a side, as the console calls it.

        Raises:
            UnprovenError: the description declares none.
        """
        motors = self.mover.session.grammar.description.live.motors
        found = [name for name, job in motors.items() if job is MOTORS[side]]
        if len(found) == 1:
            return found[0]
        msg = f"the description does not say which motor is the {side.value} one"
        raise UnprovenError(
            msg, hint=f"`live: motors:` makes it possible. Until then {BY_RADIO}"
        )

    def told_pack(self) -> bool | None:
        """Whether a pack is in; None where the board tells no pack voltage."""
        return told_pack(self.mover)

    def show(
        self,
        burst: Burst,
        state: MotorState,
        asks: str,
        *,
        left: Seconds | None = None,
        keys: tuple[SceneKey, ...] = (),
    ) -> None:
        """How it stands, for whoever looks from behind the disc."""
        scene = self._scene(burst, state, asks)
        if state is MotorState.RUNNING:
            scene = replace(scene, left=left or burst.run_for)
        self.person.show_scene(replace(scene, keys=keys))

    @contextmanager
    def running(self, burst: Burst) -> Iterator[None]:
        """Around a run: whatever breaks it off stops it, and is shown as what it is."""
        try:
            yield
        except BaseException as exc:
            state, asks = MotorState.NOT_KNOWN, PULL
            with suppress(LinkError):
                self.mover.stop()
                if not isinstance(exc, LinkError):
                    state, asks = MotorState.STOPPED, STOPPED
            if state is MotorState.NOT_KNOWN:
                self.person.tell(NOT_KNOWN)
            self.show(burst, state, asks)
            raise

    def _scene(self, burst: Burst, state: MotorState, asks: str) -> SpinScene:
        return SpinScene(
            side=burst.side,
            asks=asks,
            state=state,
            power=burst.power,
            ceiling=self.mover.ceiling,
            run_for=burst.run_for,
            left=Seconds(0.0),
            confirmed_for=self._confirmed_for(),
        )

    def _confirmed_for(self) -> Seconds | None:
        props = self.mover.props_off
        if props is None or props.asked.epoch != self.mover.session.board.epoch:
            return None
        left = Seconds(props.until - self.now)
        return left if left > 0 else None

    def is_confirmed(self) -> bool:
        """Whether props off was confirmed and still counts; asks the board afresh.

        Where the board tells no pack voltage, each run has a confirmation of its own.

        Raises:
            LinkError: it does not answer.
        """
        world, props = self.mover.look(), self.mover.props_off
        return (
            props is not None
            and props.at <= self.now <= props.until
            and props.asked.epoch == world.epoch
            and world.pack_volts is not None
            and self.mover.props_void != NOBODY_LOOKED
        )

    def be_confirmed(self, burst: Burst) -> None:
        """Props off, confirmed and still counting; asked again where it is not.

        Raises:
            SafetyRefusalError: it was not typed.
        """
        if not self.is_confirmed():
            self.confirm(burst)

    def confirm(self, burst: Burst) -> None:
        """Ask for the typed sentence, whatever was confirmed before.

        Raises:
            SafetyRefusalError: it was not typed.
        """
        scene = self._scene(burst, MotorState.STOPPED, CONFIRM)
        self.person.show_scene(replace(scene, confirmed_for=None))
        self.mover.confirm_props_off()

    def asks(
        self, prompt: str, read: Callable[[str], Heard | None], again: str
    ) -> Heard:
        """A typed answer that is understood.

        Raises:
            DeclinedError: nobody gave one.
        """
        for _ in range(TRIES):
            heard = read(self.person.types_while(prompt, self.look_on))
            if heard is not None:
                return heard
            self.person.tell(again)
        msg = "nobody answered"
        raise DeclinedError(msg, hint="Nothing turns now. Start again when you can.")

    def look_on(self) -> None:
        """A pack that is taken out while somebody thinks about an answer is seen."""
        if self.mover.unseen_for >= LOOK_EVERY:
            # Where the board does not answer, the gap itself voids what was confirmed.
            with suppress(LinkError):
                self.mover.look()

    def counts_for(self) -> str:
        """How much longer the confirmation counts, in words."""
        props = self.mover.props_off
        left = int(props.until - self.now) if props else 0
        if left <= 0:
            return "Props off has to be confirmed again."
        minutes, seconds = divmod(left, MINUTE_S)
        return f"Props off counts for {minutes} min {seconds:02d} s more."


def require_at_rest(bench: SpinBench) -> None:
    """Refuse a board whose outputs are live; say what holds back one that rests.

    Raises:
        SafetyRefusalError: they are live, or nobody knows.
    """
    bench.mover.look()
    session = bench.mover.session
    readiness = session.readiness
    if readiness is not None and not readiness.armed:
        if readiness.reasons:
            reasons = "; ".join(readiness.reasons)
            bench.person.tell(f"It rests, and would not arm now: {reasons}.")
        return
    msg = f"the outputs of {session.identity} are LIVE"
    details: tuple[str, ...] = ()
    if readiness is None:
        msg = "this console cannot say whether the outputs are live"
    else:
        details = readiness.reasons
    raise SafetyRefusalError(
        msg,
        details=details,
        hint="Nothing was spun. Power stick low and disarm by the transmitter; then pull"
        " the pack, from behind the disc, and start again.",
    )
