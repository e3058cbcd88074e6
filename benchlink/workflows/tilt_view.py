"""Keeps whoever looks at the arm in the picture: a scene whenever something changed."""

from dataclasses import replace
from typing import Final, final

from benchlink.core.bench_steps import Measure, Purpose
from benchlink.core.doors import Person
from benchlink.core.moving import Arm
from benchlink.core.roles import OwnSide
from benchlink.core.scene import SceneKey
from benchlink.core.servo_fit import Reading
from benchlink.core.tilt_scene import Moment, Sought, tilt_scene

MOVING: Final = "Moving: hands clear"
WATCH: Final = "Watch the top of the arm"
READ: Final = "Read the jig"
WAS_READ: Final = "Read"
FELT: Final = "Does it buzz or get warm?"
READ_KEYS: Final = (
    SceneKey("7.5 aft", "write what it shows"),
    SceneKey("n", "nudge it first"),
)
LOOK_KEYS: Final = (
    SceneKey("f", "forward"),
    SceneKey("a", "aft"),
    SceneKey("n", "not to be seen"),
)


@final
class TiltView:
    """What is shown of one arm; used on one thread."""

    def __init__(self, person: Person, side: OwnSide, sought: Sought) -> None:
        self._person: Final = person
        self._side: Final = side
        self.sought = sought
        """What the procedure is after; a throw seeks one end after the other."""
        self._read: Reading | None = None
        self._play_taken = False

    def show(self, arm: Arm, moment: Moment) -> None:
        """How it stands now; what was read is added."""
        moment = replace(moment, read=self._read, play_taken=self._play_taken)
        self._person.show_scene(tilt_scene(self._side, arm, self.sought, moment))

    def over(self) -> None:
        """Nothing of ours drives the arm any more."""
        self._person.show_scene(None)

    def asks_for(self, arm: Arm, measure: Measure) -> None:
        """The jig is to be read now."""
        self._at_reading(arm, measure, READ, READ_KEYS)

    def was_read(self, arm: Arm, measure: Measure, reading: Reading) -> None:
        """The jig was read."""
        self._read = reading
        self._play_taken = self._play_taken or measure.purpose is Purpose.PLAY
        self._at_reading(arm, measure, WAS_READ, ())

    def horn_moved(self) -> None:
        """What was read before tells nothing of the arm as it sits now."""
        self._read = None

    def _at_reading(
        self, arm: Arm, measure: Measure, asks: str, keys: tuple[SceneKey, ...]
    ) -> None:
        moment = Moment(
            asks=asks,
            pulse_us=measure.pulse_us,
            came=measure.side,
            any_angle=measure.purpose is Purpose.PLAY,
            keys=keys,
        )
        self.show(arm, moment)
