"""What the simulated boards feel, and the words that move their outputs."""

from collections.abc import Iterator

import pytest

from mocks.demands import Demand
from mocks.device import Device
from mocks.drives import LONGEST_US, Drives
from mocks.options import ConsoleKind, Options
from mocks.pads import PADS, Board, signals
from mocks.physical import Physical
from mocks.quantities import RefusalError

SECOND = 1_000_000
JOBS = {"output.p1.job": "motor-left", "output.p3.job": "tilt-left"}


IN_THE_MIDDLE = Demand(
    tilt={"left": 0.0, "right": 0.0}, power={"left": 0.0, "right": 0.0}
)


def pulses(drives: Drives, now_us: int, *, live: bool = False) -> tuple[float, ...]:
    wanted = IN_THE_MIDDLE if live else None
    board = Board(settings=JOBS, drives=drives, tilts=wanted, motors=wanted)
    return tuple(signal.pulse_us for signal in signals(board, PADS, now_us).values())


# Orders and their ends


def test_outputs_at_rest_have_no_pulse_and_live_ones_have_their_middle_or_zero() -> (
    None
):
    drives = Drives()
    assert set(pulses(drives, 0)) == {0}
    first, second, third, *_ = pulses(drives, 0, live=True)
    assert (first, second, third) == (1000, 0, 1500)


def test_a_driven_output_holds_its_pulse_until_its_time_is_over() -> None:
    drives = Drives()
    drives.drive(3, 1512, 400_000, 1 * SECOND)
    assert pulses(drives, 1 * SECOND)[2] == 1512
    assert pulses(drives, 1 * SECOND + 399_999)[2] == 1512
    assert pulses(drives, 1 * SECOND + 400_000)[2] == 0
    assert pulses(drives, 1 * SECOND + 400_000, live=True)[2] == 1500


def test_a_second_order_takes_the_place_of_the_first() -> None:
    drives = Drives()
    drives.drive(3, 1400, SECOND, 0)
    drives.drive(3, 1600, 100_000, 0)
    assert pulses(drives, 50_000)[2] == 1600
    assert pulses(drives, 100_000)[2] == 0


def test_a_motor_turns_for_its_time_and_its_output_tells_it() -> None:
    drives = Drives()
    drives.spin("left", 0.25, 500_000, 0)
    assert drives.power("left", 1) == 0.25
    assert drives.power("right", 1) == 0
    assert pulses(drives, 1)[0] == 1250
    assert drives.power("left", 500_000) == 0
    assert pulses(drives, 500_000)[0] == 0


def test_a_stop_and_a_release_end_what_was_ordered() -> None:
    drives = Drives()
    drives.drive(2, 1500, SECOND, 0)
    drives.drive(3, 1500, SECOND, 0)
    drives.spin("left", 0.5, SECOND, 0)
    drives.release(3)
    assert pulses(drives, 1)[1:3] == (1500, 0)
    drives.stop()
    assert set(pulses(drives, 1)) == {0}
    assert drives.power("left", 1) == 0


@pytest.mark.parametrize(
    ("output", "pulse_us", "for_us"),
    [
        (0, 1500, 1),
        (13, 1500, 1),
        (1, 499, 1),
        (1, 2501, 1),
        (1, 1500, 0),
        (1, 1500, LONGEST_US + 1),
    ],
)
def test_an_order_out_of_range_is_refused(
    output: int, pulse_us: float, for_us: int
) -> None:
    drives = Drives()
    with pytest.raises(RefusalError):
        drives.drive(output, pulse_us, for_us, 0)
    assert set(pulses(drives, 0)) == {0}


@pytest.mark.parametrize(("side", "power"), [("middle", 0.1), ("left", 1.1)])
def test_a_spin_out_of_range_is_refused(side: str, power: float) -> None:
    with pytest.raises(RefusalError):
        Drives().spin(side, power, SECOND, 0)


@pytest.mark.parametrize("given", ["x", "", "nan", "inf"])
def test_a_value_is_set_by_name_and_number_only(given: str) -> None:
    physical = Physical()
    with pytest.raises(RefusalError, match="not a number"):
        physical.set("roll", given)
    with pytest.raises(RefusalError, match="nothing is called 'lean'"):
        physical.set("lean", "1")


# On the consoles

ENDS = {
    ConsoleKind.WADER: b"\r",
    ConsoleKind.TURNSTONE: b"\n",
    ConsoleKind.DUNLIN: b"\r",
    ConsoleKind.SCOTER: b"\n",
    ConsoleKind.AVOCET: b"\r",
}


class Talk:
    def __init__(self, kind: ConsoleKind) -> None:
        self.device = Device(Options(console=kind, settings=60, pack_in=True))
        self.end = ENDS[kind]
        self.now = 5 * SECOND
        self.device.collect(self.now)
        if kind is ConsoleKind.DUNLIN:
            self.ask("bench")
            self.ask("reed")

    def ask(self, line: str) -> str:
        """The answer, given half a second later."""
        self.device.receive(line.encode() + self.end, self.now)
        self.now += SECOND // 2
        return self.device.collect(self.now).decode()

    def third(self) -> float:
        return self.device.aircraft.pulses_us(self.now)[2]


@pytest.mark.parametrize(
    ("kind", "line", "told"),
    [
        (ConsoleKind.WADER, "feel", "pitch_deg     -0.60\r\n"),
        (ConsoleKind.WADER, "hear", "ch3   1000\r\n"),
        (ConsoleKind.TURNSTONE, "sense", "nose down by 0.6 deg\r\n"),
        (ConsoleKind.TURNSTONE, "sense", "p1 sends nothing\r\n"),
        (ConsoleKind.DUNLIN, "senses", "attitude=12,6,410\r\n"),
        (ConsoleKind.DUNLIN, "senses", "supply=15900,5020,310\r\n"),
        (ConsoleKind.SCOTER, "MEAS:POW?", "+1.590000E+01,+5.020000E+00,"),
        (ConsoleKind.SCOTER, "measure:temperature?", "+3.046500E+02\n"),
        (ConsoleKind.AVOCET, "AT+LEAN?", "+LEAN: 120,-60,-4100\r\n"),
        (ConsoleKind.AVOCET, "AT+STIK?", "+STIK: 3,2000\r\n"),
    ],
)
def test_a_console_tells_what_it_feels_in_its_own_way(
    kind: ConsoleKind, line: str, told: str
) -> None:
    assert told in Talk(kind).ask(line)


MOVES = [
    (ConsoleKind.WADER, "swing p3 to 1512 for 700", "slack p3"),
    (ConsoleKind.TURNSTONE, "send 1512 us to p3 for 700 ms", "send nothing to p3"),
    (ConsoleKind.SCOTER, "OUTP:DRIV 3,1.512E-3,0.7", "OUTPut:RELease 3"),
    (ConsoleKind.AVOCET, "AT+PUSH=3,3024,7", "AT+EASE=3"),
]


@pytest.mark.parametrize(("kind", "drive", "release"), MOVES)
def test_a_console_drives_an_output_and_lets_go(
    kind: ConsoleKind, drive: str, release: str
) -> None:
    talk = Talk(kind)
    talk.ask(drive)
    assert talk.third() == pytest.approx(1512)
    talk.now += SECOND // 4
    assert talk.third() == 0
    talk.ask(drive)
    talk.ask(release)
    assert talk.third() == 0


@pytest.mark.parametrize(("kind", "drive", "_release"), MOVES)
def test_a_restart_ends_what_was_ordered(
    kind: ConsoleKind, drive: str, _release: str
) -> None:
    talk = Talk(kind)
    talk.ask(drive)
    talk.device.power_up(talk.now)
    assert talk.third() == 0


def refusals() -> Iterator[tuple[ConsoleKind, str, str]]:
    yield ConsoleKind.WADER, "swing p3 to 3000 for 400", "sorry: a pulse is 500 to"
    yield ConsoleKind.WADER, "swing p3 1500", "sorry: say it as: swing PAD to US for MS"
    yield ConsoleKind.WADER, "whirl left at 101 for 9", "sorry: that is more than full"
    yield ConsoleKind.TURNSTONE, "send 9 us to p3", "no: a pulse is 500 to 2500 us"
    yield ConsoleKind.TURNSTONE, "turn up at 9 permille for 1 s", "no: say turn SIDE"
    yield ConsoleKind.AVOCET, "AT+PUSH=3,100,4", "ERROR"
    yield ConsoleKind.AVOCET, "AT+PUSH=3", "ERROR"
    yield ConsoleKind.AVOCET, "AT+WHRL=3,100,4", "ERROR"
    yield ConsoleKind.SCOTER, "OUTP:DRIV 3,1;:SYST:ERR?", '-109,"Missing parameter"'
    yield ConsoleKind.SCOTER, "OUTP:DRIV 3,9,1;:SYST:ERR?", '-222,"Data out of range"'
    yield ConsoleKind.SCOTER, "OUTP:DRIV 3,x,1;:SYST:ERR?", '-104,"Data type error"'
    yield ConsoleKind.SCOTER, "OUTP:DRIV NAN,1,1;:SYST:ERR?", '-104,"Data type error"'
    yield ConsoleKind.SCOTER, "OUTP:SPIN UP,1,1;:SYST:ERR?", '-224,"Illegal param'
    yield ConsoleKind.SCOTER, "OUTP:SPIN;:SYST:ERR?", '-109,"Missing parameter"'
    yield ConsoleKind.SCOTER, "MEAS:ATT? 1;:SYST:ERR?", '-108,"Parameter not'


@pytest.mark.parametrize(("kind", "line", "told"), list(refusals()))
def test_a_console_refuses_what_makes_no_sense(
    kind: ConsoleKind, line: str, told: str
) -> None:
    talk = Talk(kind)
    assert told in talk.ask(line)
    assert talk.third() == 0


def test_the_dunlin_has_no_volts_for_a_pack_that_is_out() -> None:
    talk = Talk(ConsoleKind.DUNLIN)
    talk.device.aircraft.physical.set("pack-volts", "0.2")
    assert "supply=--,5020,310" in talk.ask("senses")
