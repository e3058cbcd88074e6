"""What hangs on the board: servos, motors, power, props, and who is plugged in where.

It knows pulses and volts only; what the pulses are is worked out in `pads`.
"""

from collections.abc import Mapping
from random import Random
from typing import Final, final

from .drives import SIDES
from .jig import Jig
from .motor import Motor
from .pads import SILENCE, Signal, job
from .power import BROWN_V, Load, Power
from .servo import Make, Servo

LEAST_MOVED_DEG: Final = 0.3
"""What a person sees move."""
_US_PER_MS: Final = 1000
_RAMP_MS: Final = "120"


@final
class Airframe:
    """One aircraft around its board. Times are integer microseconds."""

    def __init__(self, seed: int) -> None:
        random = Random(f"airframe {seed}")
        self.servos = {side: Servo(_make(random)) for side in SIDES}
        self.motors = {side: Motor() for side in SIDES}
        self.power = Power()
        self.jig = Jig(seed)
        self.plugs: dict[str, int | None] = {
            "motor-left": 1,
            "motor-right": 2,
            "tilt-left": 3,
            "tilt-right": 4,
        }
        """On which pad each of them hangs; None: on none."""
        self.props = False
        self.ever_span_with_props = False
        """Any motor ever turned with the props on; nothing takes this back."""

    @property
    def plugged(self) -> tuple[int, ...]:
        """The pads that something hangs on."""
        return tuple(pad for pad in self.plugs.values() if pad is not None)

    @property
    def load(self) -> Load:
        """What is drawn now."""
        return Load(
            servos=sum(servo.amps for servo in self.servos.values()),
            motors=sum(motor.amps for motor in self.motors.values()),
        )

    @property
    def browns_out(self) -> bool:
        """The board has power, and too few volts."""
        return self.power.board_on and self.power.board_v(self.load) < BROWN_V

    def readings(self) -> dict[str, float]:
        """What the board's meters see."""
        return self.power.readings(self.load)

    @property
    def due_us(self) -> int | None:
        """When something next arrives, or has its speed; None: all stands."""
        due = (
            *(servo.due_us for servo in self.servos.values()),
            *(motor.due_us for motor in self.motors.values()),
        )
        return min((at for at in due if at is not None), default=None)

    def settle(self, now_us: int) -> None:
        """Let all move up to this time."""
        for servo in self.servos.values():
            servo.settle(now_us)
        for motor in self.motors.values():
            motor.settle(now_us)
        if self.props and any(motor.driven for motor in self.motors.values()):
            self.ever_span_with_props = True

    def aim(
        self,
        signals: Mapping[int, Signal],
        settings: Mapping[str, str],
        pitch_deg: float,
    ) -> None:
        """Give every servo and ESC what stands on its pad from now on."""
        for side, servo in self.servos.items():
            signal = self._signal(f"tilt-{side}", signals)
            servo.aim(
                signal.pulse_us,
                signal.rate_hz,
                powered=self.power.rail_on,
                pitch_deg=pitch_deg,
            )
        for side, motor in self.motors.items():
            motor.loaded = self.props
            pulse_us = self._signal(f"motor-{side}", signals).pulse_us
            at = f"motor.{job(settings, self.plugs[f'motor-{side}'] or 0)[1]}"
            motor.aim(
                pulse_us,
                self.power.motor_v,
                ramp_us=round(float(settings.get(f"{at}.ramp_ms", _RAMP_MS)))
                * _US_PER_MS,
                reversed_=settings.get(f"{at}.direction") == "reversed",
            )

    def plug(self, what: str, pad: int | None) -> None:
        """Plug something in elsewhere; whatever was there is out."""
        for other, there in self.plugs.items():
            if there is not None and there == pad:
                self.plugs[other] = None
        self.plugs[what] = pad

    def swap(self, one: int, other: int) -> None:
        """Exchange what hangs on two pads."""
        places = {one: other, other: one}
        for what, pad in self.plugs.items():
            self.plugs[what] = places.get(pad, pad) if pad else None

    def speed_rev_min(self, settings: Mapping[str, str], side: str) -> float:
        """What the ESC on the pad of a side's motor tells."""
        for what, pad in self.plugs.items():
            kind, _, there = what.partition("-")
            if kind == "motor" and pad and job(settings, pad) == ("motor", side):
                return self.motors[there].rev_min
        return 0.0

    def moved(self) -> dict[str, dict[str, object]]:
        """What has moved, and which way, since this was last asked."""
        found: dict[str, dict[str, object]] = {}
        for side, servo in self.servos.items():
            went = servo.look()
            if went.most_deg >= LEAST_MOVED_DEG:
                found[f"tilt-{side}"] = {
                    "way": went.way,
                    "fore_deg": round(went.fore_deg, 2),
                    "aft_deg": round(went.aft_deg, 2),
                }
        for side, motor in self.motors.items():
            way, rev_min = motor.look()
            if way and rev_min:
                found[f"motor-{side}"] = {"way": way, "rev_min": round(rev_min)}
        return found

    def _signal(self, what: str, signals: Mapping[int, Signal]) -> Signal:
        pad = self.plugs[what]
        return SILENCE if pad is None else signals[pad]


def _make(random: Random) -> Make:
    """A servo like those of a drawer of cheap ones, its horn on the best tooth."""
    return Make(
        slope_deg_us=round(random.uniform(0.092, 0.108), 5),
        offset_deg=round(random.uniform(-5.0, 5.0), 2),
        play_deg=round(random.uniform(0.3, 0.9), 2),
        dead_us=float(random.randint(2, 5)),
        slew_deg_s=float(random.randint(300, 420)),
    )
