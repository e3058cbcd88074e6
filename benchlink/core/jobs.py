"""What an output of a twin-motor tilt-rotor drives."""

from enum import Enum

from benchlink.core.plan import Moves


class Job(Enum):
    """The jobs of outputs; left and right are the aircraft's own, nose away from you."""

    TILT_LEFT = "tilt-left"
    TILT_RIGHT = "tilt-right"
    MOTOR_LEFT = "motor-left"
    MOTOR_RIGHT = "motor-right"
    BY_SETTING = "by-setting"
    """A setting of the board decides: it may be anything."""

    @property
    def moves(self) -> Moves:
        """What may move when such an output is driven; a motor where nobody knows."""
        tilts = {Job.TILT_LEFT, Job.TILT_RIGHT}
        return Moves.SERVO if self in tilts else Moves.MOTOR


MOTORS = (Job.MOTOR_LEFT, Job.MOTOR_RIGHT)
