"""The avocet console, spoken to in virtual time as a plain terminal would."""

import re

import pytest

from mocks.device import Device
from mocks.options import ConsoleKind, Options

SECOND = 1_000_000
LETTER = re.compile(r"([A-Z])(\S+)")


class Talk:
    """Types a command line and gives the board two seconds for its answer."""

    def __init__(self, *, settings: int = 612, chatter: bool = False) -> None:
        options = Options(
            console=ConsoleKind.AVOCET, settings=settings, chatter=chatter
        )
        self.device = Device(options)
        self.now = SECOND
        self.boot = self.device.collect(self.now)

    def raw(self, data: bytes) -> bytes:
        self.device.receive(data, self.now)
        self.now += 2 * SECOND
        return self.device.collect(self.now)

    def lines(self, body: str) -> list[str]:
        """The texts between the echo and the end, each in its own line ends."""
        echo = f"AT{body}\r".encode()
        said = self.raw(echo)
        assert said.startswith(echo)
        text = said[len(echo) :].decode()
        assert text.startswith("\r\n")
        assert text.endswith("\r\n")
        return text[2:-2].split("\r\n\r\n")

    def one(self, name: str) -> str:
        """The value text of one parameter."""
        line, result = self.lines(f"{name}?")
        assert result == "OK"
        return line.removeprefix(f"{name}: ")


@pytest.fixture
def talk() -> Talk:
    return Talk()


def test_the_board_is_ready_after_half_a_second(talk: Talk) -> None:
    assert talk.boot == b"\r\nREADY\r\n"
    device = Device(Options(console=ConsoleKind.AVOCET))
    assert device.collect(499_999) == b""
    assert device.collect(500_000) == b"\r\nREADY\r\n"


def test_the_plate_is_asked_in_five_ways(talk: Talk) -> None:
    assert talk.lines("I") == ["avocet", "OK"]
    assert talk.lines("I3") == ["1.4.2", "OK"]
    assert talk.lines("+GMI;+GMM;+GMR;+GSN") == [
        "estuary workshop",
        "avocet twin-tilt",
        "1.4.2",
        "44CB-9325",
        "OK",
    ]


def test_an_empty_command_line_is_fine_and_a_line_without_at_is_nothing(
    talk: Talk,
) -> None:
    assert talk.lines("") == ["OK"]
    assert talk.raw(b"+TLC?\r") == b"+TLC?\r"
    assert talk.raw(b"noise at+tlc?\r") == (
        b"noise at+tlc?\r\r\n+TLC: 1500\r\n\r\nOK\r\n"
    )


@pytest.mark.parametrize(
    ("given", "name", "answer"),
    [
        ("+TLC=1512", "+TLC", "1512"),
        ("+tlc = 1512", "+TLC", "1512"),
        ("+TLD=1", "+TLD", "1"),
        ("+LVS=0", "+LVS", "0"),
        ("+FGC=90.1", "+FGC", "90.0"),
        ("+BEND=-90,-40, 0,40,90", "+BEND", "-90,-40,0,40,90"),
        ("+PCAP=0x0fA", "+PCAP", "0x00FA"),
        ("+MLI=61T", "+MLI", "61t"),
        ("+TRIM1=-150t", "+TRIM1", "-150t"),
        ("+LVR=-125h", "+LVR", "-125h"),
        ('+CCAL="a;\\22b\\5c C"', "+CCAL", '"a;\\22b\\5C C"'),
        ("+OJ5=5", "+OJ5", "5"),
        ("+NON=1;+NCF=99", "+NCF", "99.0"),
    ],
)
def test_a_parameter_is_written_and_read(
    talk: Talk, given: str, name: str, answer: str
) -> None:
    assert talk.lines(given) == ["OK"]
    assert talk.one(name) == answer


@pytest.mark.parametrize(
    ("given", "why"),
    [
        ("+FOO?", "there is no +FOO?"),
        ("+TLC", "+TLC needs a question mark or a value"),
        ("+TLC=9000", "9000 is above 2500"),
        ("+TLC=1.5", "'1.5' is not a whole number"),
        ("+TLD=2", "'2' is not one of 0 to 1"),
        ("+LVS=ON", "'ON' is not one of 0 to 1"),
        ("+PCAP=1500", "'1500' is not a hex number such as 0x03B6"),
        ("+MLI=5.5", "'5.5' is not a number with the suffix t"),
        ("+MLI=55H", "'55H' does not end with t"),
        ("+TRIM1=155t", "'15.5' is not a whole number"),
        ("+LVR=1h", "0.01 is finer than steps of 0.05"),
        ("+CCAL=LW", "'LW' is not text in double quotes"),
        ("+NCF=99", "+NON must be 1 first"),
        ("+GRLL=Q1", "+GRLL has no letter Q"),
        ("+GRLL=G1.25G1.3", "'G1.25G1.3' is not letters with a value each"),
        ("+GRLL=1.25", "'1.25' is not letters with a value each"),
        ("+LAMP=0", "the lamp takes 1 to 5000 ms"),
        ("E2", "E takes 0 or 1"),
        ("S3=200", "S3 takes 0 to 127"),
        ("I9", "there is no I9"),
        ("X", "there is no X"),
        ("?", "cannot read '?'"),
        ('+CCAL="a', "cannot read '+CCAL=\\22a'"),
    ],
)
def test_an_error_gives_no_reason_but_the_reason_can_be_asked(
    talk: Talk, given: str, why: str
) -> None:
    before = dict(talk.device.aircraft.live)
    assert talk.lines(given) == ["ERROR"]
    assert talk.device.aircraft.live == before
    assert talk.one("+WHY") == f'"{why}"'


def test_an_error_drops_the_rest_of_the_line(talk: Talk) -> None:
    assert talk.lines("+TLC=1510;+FOO?;+TLC=1520;+TLC?") == ["ERROR"]
    assert talk.one("+TLC") == "1510"


def test_a_limited_value_is_ok_and_the_reason_is_kept(talk: Talk) -> None:
    assert talk.lines("+RFT=0xFFFF") == ["OK"]
    assert talk.one("+RFT") == "0x0898"
    assert talk.one("+WHY") == '"limited to 2200"'


def test_letters_come_in_another_order_each_time(talk: Talk) -> None:
    told = {talk.one("+GRLL") for _ in range(4)}
    assert len(told) == 4
    assert all(
        dict(LETTER.findall(text))
        == {"G": "1.20", "H": "0.60", "D": "0.024", "M": "220"}
        for text in told
    )


def test_letters_are_written_in_part_and_all_or_none(talk: Talk) -> None:
    assert talk.lines("+GRLL=H0.7 G1.3") == ["OK"]
    assert talk.lines("+GRLL=G1.4 H99") == ["ERROR"]
    letters = dict(LETTER.findall(talk.one("+GRLL")))
    assert letters == {"G": "1.30", "H": "0.70", "D": "0.024", "M": "220"}


def test_a_sparse_parameter_leaves_out_what_is_at_its_default(talk: Talk) -> None:
    assert talk.one("+SRLL") == "-"
    talk.lines("+SRLL=M90")
    assert talk.one("+SRLL") == "M90"


@pytest.mark.parametrize(
    ("name", "ranges"),
    [
        ("+TLC", "(500-2500)"),
        ("+MLI", "(0t-200t)"),
        ("+RFT", "(0x0320-0x0898)"),
        ("+OJ1", "(0-8)"),
        ("+LVS", "(0-1)"),
        ("+CCAL", '("")'),
        ("+GRLL", "G(0-10) H(0-10) D(0-1) M(20-1200)"),
        ("+MXE1", "(500-2500),(500-2500)"),
    ],
)
def test_the_range_can_be_asked(talk: Talk, name: str, ranges: str) -> None:
    assert talk.lines(f"{name}=?") == [f"{name}: {ranges}", "OK"]


def test_a_slash_after_a_repeats_the_last_line_at_once(talk: Talk) -> None:
    talk.lines("+TLC=1510;+TLC?")
    talk.lines("")
    assert talk.raw(b"A/") == b"A/\r\nOK\r\n"
    talk.lines("+TLC?")
    assert talk.raw(b"a/") == b"a/\r\n+TLC: 1510\r\n\r\nOK\r\n"


def test_echo_words_and_results_can_be_turned_off(talk: Talk) -> None:
    assert talk.raw(b"ATE0\r") == b"ATE0\r\r\nOK\r\n"
    assert talk.raw(b"AT+TLC?\r") == b"\r\n+TLC: 1500\r\n\r\nOK\r\n"
    assert talk.raw(b"ATV0\r") == b"0\r"
    assert talk.raw(b"AT+TLC?;+FOO\r") == b"+TLC: 1500\r\n4\r"
    assert talk.raw(b"ATQ1\r") == b""
    assert talk.raw(b"AT+TLC?;+FOO\r") == b"+TLC: 1500\r\n"
    assert talk.raw(b"AT&F\r") == b"\r\nOK\r\n"


def test_the_line_end_registers_are_honoured(talk: Talk) -> None:
    assert talk.lines("S3?S4?S5?") == ["013", "010", "008", "OK"]
    assert talk.raw(b"ATS3=35S4=36\r") == b"ATS3=35S4=36\r#$OK#$"
    assert talk.raw(b"AT+TLC?#") == b"AT+TLC?##$+TLC: 1500#$#$OK#$"


def test_erasing_takes_back_a_character(talk: Talk) -> None:
    said = talk.raw(b"\x08AT+TLB\x08C?\r")
    assert said == b"AT+TLB\x08 \x08C?\r\r\n+TLC: 1500\r\n\r\nOK\r\n"


def test_a_line_of_more_than_160_characters_is_an_error(talk: Talk) -> None:
    assert talk.lines("+TLC?".ljust(158)) == ["+TLC: 1500", "OK"]
    typed = b"AT+TLC?".ljust(161) + b"\r"
    assert talk.raw(typed) == typed + b"\r\nERROR\r\n"
    assert talk.one("+WHY") == '"the line is longer than 160 characters"'


def test_keeping_takes_900_ms_and_what_comes_meanwhile_waits(talk: Talk) -> None:
    talk.lines("E0")
    talk.device.receive(b"AT+TLC=1512;+KEEP\rAT+TLC?\r" + b"\r" * 300, talk.now)
    assert talk.device.collect(talk.now + 900_000) == b""
    assert talk.device.collect(talk.now + SECOND) == (
        b"\r\nOK\r\n\r\n+TLC: 1512\r\n\r\nOK\r\n"
    )
    assert talk.device.dropped == 52


def test_a_restart_keeps_only_what_was_kept_and_turns_the_echo_on(talk: Talk) -> None:
    talk.lines("+TLC=1512;+KEEP;+TLA=100")
    talk.lines("E0")
    assert talk.raw(b"ATZ+TLC=1600\r") == b"\r\nOK\r\n\r\nREADY\r\n"
    assert (talk.one("+TLC"), talk.one("+TLA")) == ("1512", "350")
    assert talk.device.kept_shown()["+TLC"] == "1512"


def test_dropping_brings_kept_values_back_and_factory_spares_calibration(
    talk: Talk,
) -> None:
    talk.lines("+TLC=1512;+ACO=X3.5;+KEEP;+TLC=1600;+DROP")
    assert talk.one("+TLC") == "1512"
    talk.lines("&F")
    assert talk.one("+TLC") == "1500"
    assert "X3.5" in talk.one("+ACO")


def test_live_outputs_are_reported_and_halted(talk: Talk) -> None:
    assert talk.lines("+LIVE?;+HELD?") == [
        "+LIVE: 0",
        "+HELD: 3",
        "+HELD: 7",
        "+HELD: 12",
        "OK",
    ]
    talk.device.aircraft.outputs_live = True
    assert talk.lines("+LIVE?;+HELD?") == ["+LIVE: 1", "OK"]
    assert talk.lines("+HALT;+LIVE?") == ["+LIVE: 0", "OK"]


def test_the_lamp_blinks(talk: Talk) -> None:
    assert talk.lines("+LAMP=1000") == ["OK"]
    assert talk.device.aircraft.lamp.blinks(talk.now) == 5


def test_it_is_quiet_without_chatter(talk: Talk) -> None:
    assert talk.device.next_us(talk.now) is None


def test_chatter_comes_every_700_ms_but_not_inside_a_line() -> None:
    device = Device(Options(console=ConsoleKind.AVOCET, chatter=True))
    assert device.collect(1_199_999) == b"\r\nREADY\r\n"
    assert device.collect(1_200_000) == b"\r\n+LINK: 0\r\n"
    device.receive(b"A", 1_300_000)
    assert device.collect(5 * SECOND) == b"A"
    device.receive(b"T\r", 5 * SECOND)
    assert device.collect(5 * SECOND + 100) == b"T\r\r\nOK\r\n\r\n+LINK: 0\r\n"


def test_a_client_that_asks_every_name_knows_what_is_shown(talk: Talk) -> None:
    talk.lines('+CCAL="x\\22";+SYAW=M90 C80')
    shown = talk.device.shown()
    read: dict[str, str] = {}
    for name in {name.partition(".")[0] for name in shown}:
        text = talk.one(name)
        if f"{name}.A" in shown or any(key.startswith(f"{name}.") for key in shown):
            read |= {f"{name}.{letter}": v for letter, v in LETTER.findall(text)}
        else:
            read[name] = text
    absent = dict.fromkeys(shown.keys() - read.keys(), "100")
    assert read | absent == shown
    assert {name[:6] for name in absent} == {"+SRLL.", "+SPIT.", "+SYAW."}


def test_every_board_shows_its_own_parameters() -> None:
    small = Talk(settings=60).device.shown()
    usual = Talk().device.shown()
    large = Talk(settings=1000).device.shown()
    assert 40 <= len(small) < len(usual) < len(large)
    assert small.keys() < usual.keys() < large.keys()


@pytest.mark.parametrize("size", [1, 5])
def test_it_does_not_matter_how_the_bytes_are_cut(size: int) -> None:
    typed = b"AT+TLC=7;+TLC?\rA/noise\rATE0\rAT+WHY?\r\x08AT+GRLL?\r"
    whole = Talk().raw(typed)
    device = Device(Options(console=ConsoleKind.AVOCET, handling_us=0))
    device.collect(SECOND)
    for at in range(0, len(typed), size):
        device.receive(typed[at : at + size], SECOND)
    assert device.collect(SECOND) == whole
