"""A job of the estuary workshop for tests: records, and a board that agrees with them."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from benchlink.core.angles import Way
from benchlink.core.bench_record import BenchRecord, Held, Work
from benchlink.core.identity import Identity
from benchlink.core.job_facts import Against, BoardNow, KeptCopy, OnPaper, TiltNow
from benchlink.core.job_standing import StepState, standings
from benchlink.core.job_steps import Happening, Step
from benchlink.core.roles import OwnSide
from benchlink.core.servo_part import Turns
from benchlink.units import PulseUs
from tests.support.bench_records import NOON, WADER, measured, record_of, side_work

LEFT_US, RIGHT_US = PulseUs(1487.0), PulseUs(1516.0)
LEFT = side_work(OwnSide.LEFT, measured(Turns.FORWARD), LEFT_US)
RIGHT = side_work(OwnSide.RIGHT, measured(Turns.AFT), RIGHT_US)
SPAN_US = 360.0
"""36 deg at 10 us a degree."""
SETTINGS = "3f" * 32
"""Fingerprint that the records of `record_of` hold."""
OTHER_BOARD = Identity(board_type="wader", firmware="1.4.2", number="A5CD-2471")


def word(step: Step, result: str = "as it should be", **held: str) -> BenchRecord:
    """A step by a person's word."""
    rests = tuple(Held(name.replace("__", "."), text) for name, text in held.items())
    return replace(record_of(Work.STEP, result=result), about=step.value, held=rests)


def happened(happening: Happening) -> BenchRecord:
    return replace(
        record_of(Work.CHANGED, result=happening.happened), about=happening.value
    )


CENTRED = record_of(Work.CENTRE, LEFT, RIGHT)
THROWN = record_of(Work.THROW, LEFT, RIGHT, result="36 deg each way")
WIGGLED = record_of(Work.OUTPUTS, result="Every tilt servo hangs where it should.")
SPUN = record_of(Work.SPIN, result="Both motors turn as ordered.")

ALL_DONE: tuple[BenchRecord, ...] = (
    *(word(step) for step in Step if step.duty.by_hand and step is not Step.OUTDOORS),
    WIGGLED,
    CENTRED,
    THROWN,
    SPUN,
    word(Step.SIGN, "signed"),
    word(Step.OUTDOORS, "hovered, landed, motors warm"),
)
"""Records of a whole job, in the order in which they were made."""

BOARD = BoardNow(
    board=WADER,
    settings=SETTINGS,
    values={"mount.yaw_deg": "90.0", "tilt.left.direction": "normal"},
    tilts={
        OwnSide.LEFT: TiltNow(centre_us=LEFT_US, spans_us=dict.fromkeys(Way, SPAN_US)),
        OwnSide.RIGHT: TiltNow(
            centre_us=RIGHT_US, spans_us=dict.fromkeys(Way, SPAN_US)
        ),
    },
    against=Against(title="Lapwing 3 as fitted", asked=120, off=()),
)
"""A board that holds all that the records say."""

COPY = KeptCopy(taken_at=NOON, board=WADER, path="backups/first.backup.yaml", off=())


def paper(
    records: Sequence[BenchRecord] = ALL_DONE,
    *,
    copy: KeptCopy = COPY,
    signed: KeptCopy | None = None,
) -> OnPaper:
    """Records as they are numbered and dated when they come one after the other."""
    told = tuple(
        replace(r, number=n, made_at=_later(n)) for n, r in enumerate(records, start=1)
    )
    return OnPaper(records=told, copy=copy, signed=signed)


def judged(
    records: Sequence[BenchRecord] = ALL_DONE, board: BoardNow = BOARD
) -> dict[Step, StepState]:
    """How every step stands."""
    return {state.step: state for state in standings(paper(records), board)}


def _later(number: int) -> datetime:
    return NOON + timedelta(hours=number)
