"""Records of bench work for tests: fits out of readings, and whole events."""

from datetime import UTC, datetime

from benchlink.core.angles import Degrees, Estimate, Side, Way
from benchlink.core.bench_record import BenchRecord, SideWork, Taken, Work
from benchlink.core.bench_steps import Purpose
from benchlink.core.identity import Identity
from benchlink.core.play import play_of
from benchlink.core.roles import OwnSide
from benchlink.core.servo_fit import Reading, ServoFit, new_fit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_ends import End
from benchlink.units import PulseUs

NOON = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
WADER = Identity(board_type="wader", firmware="1.4.2", number="7F3A-0192")


def measured(
    turns: Turns, *, us_per_deg: float = 10.0, centre_us: float = 1500
) -> ServoFit:
    """A fit after four readings that agree, upright at `centre_us`."""
    sign = -1 if turns is Turns.AFT else 1
    fit = new_fit(ServoPart(turns=turns))
    for pulse in (1300.0, 1450.0, 1550.0, 1700.0):
        angle = sign * (pulse - centre_us) / us_per_deg
        reading = Reading(
            pulse_us=PulseUs(pulse), rising=sign > 0, angle_deg=Degrees(angle)
        )
        fit = fit.with_reading(reading)
    return fit


def side_work(side: OwnSide, fit: ServoFit, centre_us: float = 1500) -> SideWork:
    """All that centring and throw tell of a side."""
    taken = tuple(
        Taken(reading=r, came=Side.FROM_AFT, purpose=Purpose.AIM) for r in fit.readings
    )
    ends = tuple(
        End(
            way=way,
            pulse_us=PulseUs(centre_us + way.sign * 36 * fit.us_per_deg),
            angle=Estimate(mean_deg=Degrees(way.sign * 36.0), sd_deg=0.2),
            readings=3,
        )
        for way in Way
    )
    return SideWork(
        side=side,
        centre_us=PulseUs(centre_us),
        was_centre_us=PulseUs(1500.0),
        angle=fit.at(centre_us, Side.FROM_AFT),
        play=play_of(fit.play, fit.us_per_deg),
        ends=ends,
        taken=taken,
        fit=fit,
    )


def record_of(
    work: Work,
    *sides: SideWork,
    board: Identity = WADER,
    made_at: datetime = NOON,
    result: str = "both sides are centred",
) -> BenchRecord:
    """An event of the estuary workshop."""
    return BenchRecord(
        work=work,
        made_at=made_at,
        operator="the assistant",
        aircraft="LW-03",
        board=board,
        settings="3f" * 32,
        tool_version="0.1.0",
        result=result,
        sides=sides,
    )
