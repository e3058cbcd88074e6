"""The declared map of a board's outputs: which pad does what, how fast, how far.

Only what the settings say: what truly hangs on a pad shows the wiggle test alone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from benchlink.core.jobs import MOTORS, Job
from benchlink.errors import SafetyRefusalError
from benchlink.units import PulseUs

TILTS: Final = (Job.TILT_LEFT, Job.TILT_RIGHT)
JOBS: Final = (*TILTS, *MOTORS)
"""What a twin-motor tilt-rotor needs of its outputs."""
NAMES: Final[Mapping[Job, str]] = {
    Job.TILT_LEFT: "the left tilt servo",
    Job.TILT_RIGHT: "the right tilt servo",
    Job.MOTOR_LEFT: "the left motor",
    Job.MOTOR_RIGHT: "the right motor",
    Job.BY_SETTING: "an output",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Output:
    """One pad, as its settings have it."""

    pad: str
    """As the console calls it."""
    job: Job | None = None
    """None: nothing, or something that is no part of a tilt-rotor."""
    word: str = ""
    """The board's own word for the job."""
    setting: str = ""
    """The setting that decides the job; empty where nobody can change it."""
    rate_hz: float | None = None
    """Frames a second that its settings ask for; None where nobody says."""
    shortest_us: PulseUs | None = None
    longest_us: PulseUs | None = None
    timer: str = ""
    """Pads on one timer have one rate; empty where nobody knows."""
    joined: str = ""
    """Pads with the same text carry the same pulse: one pin, or one channel of a timer."""

    @property
    def name(self) -> str:
        """What to call it: a number alone would be taken for another."""
        return f"pad {self.pad}" if self.pad.isdigit() else self.pad

    @property
    def is_servo(self) -> bool:
        """Whether a tilt servo hangs there, by the settings."""
        return self.job in TILTS

    @property
    def is_motor(self) -> bool:
        """Whether a motor does, by the settings."""
        return self.job in MOTORS

    @property
    def free(self) -> bool:
        """Whether the board gives it nothing to do."""
        return self.job is None and not self.word

    @property
    def what(self) -> str:
        """Its job in words."""
        if self.job is not None:
            return NAMES[self.job]
        return f"something else ({self.word})" if self.word else "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class OutputMap:
    """All pads that the board has, in the order of the description."""

    outputs: tuple[Output, ...] = field(default=())

    def on(self, pad: str) -> Output | None:
        """One pad by its name."""
        return next((o for o in self.outputs if o.pad == pad), None)

    def doing(self, job: Job) -> tuple[Output, ...]:
        """The pads that have a job."""
        return tuple(o for o in self.outputs if o.job is job)

    def require_servo(self, pad: str) -> Output:
        """The output, if it drives a tilt servo and nothing else, by its setting.

        Raises:
            SafetyRefusalError: it drives something else, or nobody knows what.
        """
        output = self.on(pad)
        if output is not None and output.is_servo and not self._beside(output):
            return output
        if output is None:
            why = f"the board's settings do not say what {pad} drives"
        elif output.is_servo:
            why = (
                f"{output.name} and {self._beside(output)[0].name} carry the same pulse"
            )
        else:
            why = f"{pad} drives {output.what}, by the board's settings"
        msg = f"no servo is moved on {pad}: {why}"
        raise SafetyRefusalError(
            msg,
            hint="Nothing was sent. `benchlink outputs` shows the map; motors are for"
            " the spin check alone.",
        )

    def _beside(self, output: Output) -> tuple[Output, ...]:
        """Other pads with a job that always carry the same pulse."""
        if not output.joined:
            return ()
        return tuple(
            other
            for other in self.outputs
            if other.joined == output.joined
            and other.pad != output.pad
            and not other.free
        )
