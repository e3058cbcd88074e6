"""Runs by key: a press is one burst, and a held key runs while it is held.

Keys that come together are a paste, and run nothing; so a press counts only when
nothing follows it at once. Any other key stops; whatever goes wrong ends in the mover's
`close`, which stops too.
"""

from dataclasses import dataclass, replace
from typing import Final, final

from benchlink.core.cautions import REAL_STOP
from benchlink.core.doors import Keys
from benchlink.core.key_repeat import KEYS, KeyRepeat, NoRepeat, measure
from benchlink.core.roles import OwnSide
from benchlink.core.scene import MotorState, SceneKey
from benchlink.core.spin_expiry import Expiry
from benchlink.core.spin_hold import End, Extend, Hold, pressed, quiet, rest_after
from benchlink.errors import DeclinedError
from benchlink.units import Power, Seconds, percent, power
from benchlink.workflows.spin_bench import Burst, SpinBench

START: Final = Power(0.08)
STEP: Final = Power(0.01)
BURST: Final = Seconds(0.5)
"""Long enough to see a flag of tape go round, and which way (guidance)."""
ALONE: Final = Seconds(0.05)
"""A key that another follows so soon was pasted; no held key repeats before 0.12 s."""
LET_GO: Final = Seconds(0.6)
"""So long without a key, and a held one was let go: first delays are shorter."""
ASKED: Final = "What turned, and which way?"
"""Once the keys are over."""
IDLE: Final = Seconds(1.0)
"""How often the pack is looked after while no key comes."""
BEAT: Final = Seconds(0.02)
HOLD_WITHIN: Final = Seconds(30.0)
"""How long a key is waited for that shall be held."""
STOPPING: Final = (SceneKey("ANY KEY BUT SPACE", "stops"),)
LETTING_GO: Final = (SceneKey("LET GO", "stops"), SceneKey("ANY OTHER KEY", "stops"))
ANY_KEY: Final = "Any key but space stops it"
COOLING: Final = "Cooling: let go of all keys"
MEASURING: Final = "Hold space: nothing turns yet"
HOLD_ASKS: Final = "Hold space to run"
LET_GO_ASKS: Final = "Let go to stop"
GONE: Final = "gone"
HELD: Final = "space"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What one motor was told in the end."""

    power: Power
    run_for: Seconds
    """The longest of its runs; 0 where it never ran."""


@final
class SpinKeys:
    """The keyboard as the throttle of one motor at a time."""

    def __init__(
        self, bench: SpinBench, *, ceiling: Power, burst: Seconds, expiry: Expiry
    ) -> None:
        """`burst` is how long a press runs; the board's own time where it cannot be told."""
        self._bench: Final = bench
        self._ceiling: Final = ceiling
        self._burst: Final = burst
        self._expiry: Final = expiry
        self._repeat: KeyRepeat | None = None
        verb = bench.mover.session.grammar.description.live.verbs["spin"]
        self._can_hold: Final = verb.timed and expiry.pack_in is not None

    def run(self, side: OwnSide) -> Ran:
        """Let the person run the motor of one side, until they have seen enough.

        Raises:
            SafetyRefusalError: something was not confirmed.
            DeclinedError: the person left.
            LinkError: the board does not answer.
        """
        ran = Ran(power=Power(min(START, self._ceiling)), run_for=Seconds(0.0))
        self._say_keys(side)
        while (key := self._next(side, ran)) != "enter":
            if key in {"up", "down"}:
                ran = replace(ran, power=self._louder(ran.power, up=key == "up"))
            elif key == HELD:
                ran = self._longest(ran, self._press(self._told(side, ran)))
            elif key == "h":
                ran = self._longest(ran, self._hold(self._told(side, ran)))
            elif key in {"escape", GONE}:
                msg = "the spin check was left"
                raise DeclinedError(msg, hint=f"Stop was sent. {REAL_STOP}")
        self._bench.show(self._told(side, ran), MotorState.STOPPED, ASKED)
        return ran

    def _told(self, side: OwnSide, ran: Ran) -> Burst:
        """What a press orders now."""
        motor = self._bench.motor(side)
        return Burst(side=side, motor=motor, power=ran.power, run_for=self._burst)

    def _keys(self) -> tuple[SceneKey, ...]:
        held = (SceneKey("h", "hold to run"),) if self._can_hold else ()
        return (
            SceneKey("SPACE", f"runs {self._burst:g} s"),
            SceneKey("up down", "power"),
            *held,
            SceneKey("enter", "seen enough"),
            SceneKey("escape", "leave"),
        )

    def _say_keys(self, side: OwnSide) -> None:
        tell = self._bench.person.tell
        tell(
            f"Next: the {side.value} motor (the aircraft's own {side.value}, nose away"
            " from you). Stand behind the disc, never in its plane."
        )
        hold = "; h hold to run" if self._can_hold else ""
        tell(
            f"  space one burst of {self._burst:g} s; up, down power{hold};"
            " Enter seen enough; Escape leave"
        )
        tell(f"  While it runs, any key but space stops it. {REAL_STOP}")

    def _next(self, side: OwnSide, ran: Ran) -> str:
        """The next key that came alone; several at once are told, and nothing else."""
        bench = self._bench
        level = percent(ran.power)
        prompt = f"{side.value} at {level}. {bench.counts_for()} Key: "
        burst, ready = self._told(side, ran), f"Space runs the {side.value} motor"
        while True:
            with bench.person.keys(prompt) as keys:
                bench.show(burst, MotorState.STOPPED, ready, keys=self._keys())
                came = self._some(keys)
                more = keys.pressed(ALONE) if came != (GONE,) else ()
                if len(came) == 1 and not more:
                    bench.person.tell("")
                    return came[0]
                _drain(keys)
            bench.person.tell("")
            bench.person.tell(
                "Several keys came at once, as a paste does: nothing runs."
            )

    def _some(self, keys: Keys) -> tuple[str, ...]:
        """The next keys; the pack is looked after meanwhile.

        A pack that is taken out and put back while nobody presses a key voids what was
        confirmed for it.
        """
        while not (came := keys.pressed(IDLE)):
            self._bench.mover.look()
        if came != (HELD,):
            # Before a run the board is looked at anyway.
            self._bench.look_on()
        return came

    def _louder(self, now: Power, *, up: bool) -> Power:
        wanted = now + (STEP if up else -STEP)
        return power(round(max(STEP, min(self._ceiling, wanted)), 3))

    def _longest(self, ran: Ran, run_for: Seconds) -> Ran:
        return replace(ran, run_for=max(ran.run_for, run_for))

    def _press(self, burst: Burst) -> Seconds:
        """One burst, timed by the board; keys count from the moment that it is wanted."""
        bench = self._bench
        with bench.person.keys("") as keys:
            if bench.is_confirmed():
                return self._burst_of(keys, burst)
        bench.confirm(burst)
        with bench.person.keys("") as keys:
            bench.mover.look()
            return self._burst_of(keys, burst)

    def _burst_of(self, keys: Keys, burst: Burst) -> Seconds:
        """How long it was told to run: not at all where a key came before it did."""
        bench = self._bench
        if any(key != HELD for key in keys.pressed(Seconds(0.0))):
            bench.person.tell("Called off by a key: nothing ran.")
            _drain(keys)
            return Seconds(0.0)
        by_key = False
        with bench.running(burst):
            bench.mover.spin(burst.motor, burst.power, self._burst)
            ends = Seconds(bench.now + self._burst)
            bench.show(burst, MotorState.RUNNING, ANY_KEY, keys=STOPPING)
            while not by_key and (left := ends - bench.now) > 0:
                by_key = any(key != HELD for key in keys.pressed(Seconds(left)))
            bench.mover.stop()
        bench.show(burst, MotorState.STOPPED, COOLING)
        if by_key:
            bench.person.tell("Stopped by a key.")
        self._rest(keys, self._burst)
        return self._burst

    def _hold(self, burst: Burst) -> Seconds:
        """A run for as long as the key is held."""
        bench = self._bench
        if not self._can_hold:
            bench.person.tell("This board can be run by single bursts alone.")
            return Seconds(0.0)
        bench.be_confirmed(burst)
        if self._repeat is None:
            bench.show(burst, MotorState.STOPPED, MEASURING)
            self._repeat = self._measured()
        if self._repeat is None:
            return Seconds(0.0)
        bench.person.tell(f"Now hold space: the {burst.motor} motor runs, 3 s at most.")
        hold = Hold(motor=burst.motor, repeat=self._repeat, expiry=self._expiry.within)
        with bench.person.keys("") as keys:
            bench.show(burst, MotorState.STOPPED, HOLD_ASKS)
            with bench.running(burst):
                hold, why = self._held(keys, hold, burst)
                bench.mover.stop()
            bench.show(burst, MotorState.STOPPED, COOLING)
            bench.person.tell(f"Stopped: {why}.")
            self._rest(keys, hold.ran_for)
        return hold.ran_for

    def _held(self, keys: Keys, hold: Hold, burst: Burst) -> tuple[Hold, str]:
        """Run by the beat of the key; how it stood in the end, and why it ended."""
        bench = self._bench
        give_up = bench.now + HOLD_WITHIN
        while True:
            came = keys.pressed(BEAT)
            if came:
                hold, act = pressed(hold, bench.now, same=came == (HELD,))
            else:
                act = quiet(hold, bench.now)
            if isinstance(act, End):
                return hold, act.why
            if isinstance(act, Extend):
                bench.mover.spin(burst.motor, burst.power, act.run_for)
                run = replace(burst, run_for=act.run_for)
                bench.show(run, MotorState.RUNNING, LET_GO_ASKS, keys=LETTING_GO)
            elif hold.last_key is None and bench.now > give_up:
                return hold, "no key was held"

    def _measured(self) -> KeyRepeat | None:
        """How this terminal repeats a held key; None where it cannot be held by."""
        bench = self._bench
        bench.person.tell("This terminal's repeat is measured first; nothing turns.")
        times: list[Seconds] = []
        together = False
        with bench.person.keys("Hold space until this line ends: ") as keys:
            until = bench.now + HOLD_WITHIN
            while len(times) < KEYS and bench.now < until and not together:
                came = keys.pressed(LET_GO if len(times) > 1 else HOLD_WITHIN)
                together = came != (HELD,)
                times.append(bench.now)
            _drain(keys)
        bench.person.tell("")
        found = NoRepeat(why="other keys came, or several at once")
        measured = found if together else measure(times)
        if isinstance(measured, KeyRepeat):
            bench.person.tell(f"It repeats: {measured}.")
            return measured
        bench.person.tell(f"No holding here: {measured.why}. Single bursts go on.")
        return None

    def _rest(self, keys: Keys, ran_for: Seconds) -> None:
        """Let it cool, and wait until no key is held any more."""
        until = self._bench.now + rest_after(ran_for)
        _drain(keys)
        self._bench.pause(Seconds(max(0.0, until - self._bench.now)))


def _drain(keys: Keys) -> None:
    """Until no key has come for a while; a terminal that is gone sends none."""
    while (came := keys.pressed(LET_GO)) and came != (GONE,):
        pass
