"""`python -m tests.bench.nudger PORT`: the nudging of `benchlink centre` and nothing else.

The real loop, mover, gate and link on a real terminal; only the questions before it are
answered by themselves, for the aircraft is a simulated one.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import final

from benchlink.core.aiming import Mark
from benchlink.core.angles import Degrees, Side
from benchlink.core.approach import Window
from benchlink.core.doors import Keys
from benchlink.core.jobs import Job
from benchlink.core.moving import Arm
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.tilt_scene import Sought
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import Choice, clock, open_bench
from benchlink.units import PulseUs
from benchlink.workflows.bench_watch import Who
from benchlink.workflows.mover import Mover
from benchlink.workflows.nudging import nudge
from benchlink.workflows.tilt_view import TiltView
from benchlink.workflows.tilts import DrivenTilt
from tests.bench.at_bench import CONSOLE
from tests.support.people import ScriptedPerson, StillPerson

OUTPUT = "p3"
START = PulseUs(1500.0)
MARK = Mark(angle_deg=Degrees(0.0), side=Side.FROM_AFT)
LEAST, MOST = PulseUs(1000.0), PulseUs(2000.0)


@final
class Nudger(StillPerson):
    """Types what is asked for; the keys are those of the terminal."""

    def __init__(self) -> None:
        quiet = ScriptedPerson()
        self.tell = quiet.tell
        self.progress = quiet.progress
        self.show_plan = quiet.show_plan
        self.agrees = quiet.agrees
        self.waits_for = quiet.waits_for
        self.whispers = quiet.whispers

    def types(self, prompt: str) -> str:
        """Whatever stands between the marks."""
        return prompt.replace("`", "'").partition("'")[2].partition("'")[0]

    @contextmanager
    def keys(self, prompt: str) -> Iterator[Keys]:
        """Those of the terminal; it says the prompt once they count."""
        with PlainPerson().keys(prompt) as keys:
            yield keys


def main(port: str) -> int:
    """Nudge until somebody has seen enough; then stop."""
    person = Nudger()
    bench = open_bench(Choice(port=port, console=CONSOLE), person)
    try:
        who = Who(aircraft="LW-03", operator="builder")
        mover = Mover(bench.session, person, clock, who)
        mover.known({OUTPUT: Job.TILT_LEFT})
        mover.require_safe_to_tilt(("the left tilt arm",))
        mover.window(LEAST, MOST)
        mover.drive(OUTPUT, START)
        fit = new_fit(ServoPart(turns=Turns.FORWARD))
        arm = Arm(fit=fit, window=Window(low_us=LEAST, high_us=MOST), at_us=START)
        view = TiltView(person, OwnSide.LEFT, Sought(mark=MARK))
        nudge(DrivenTilt(mover, OUTPUT), person, view, arm, START)
        mover.close()
    finally:
        bench.close()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
