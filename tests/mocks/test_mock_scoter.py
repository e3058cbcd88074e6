"""The scoter console, spoken to in virtual time as a plain instrument client would."""

import re

import pytest

from mocks.device import Device
from mocks.options import ConsoleKind, Options
from mocks.scoter_spelling import forms, header, mnemonic

SECOND = 1_000_000
UNIT = re.compile(r':([A-Z0-9_:]+) ((?:"(?:[^"]|"")*"|[^;"])*)(?:;|$)')


class Talk:
    """Sends a message and gives the board ten seconds for its answer."""

    def __init__(self, settings: int = 612) -> None:
        options = Options(console=ConsoleKind.SCOTER, settings=settings)
        self.device = Device(options)
        self.now = 2 * SECOND
        self.boot = self.device.collect(self.now)

    def raw(self, data: bytes) -> bytes:
        self.device.receive(data, self.now)
        self.now += 10 * SECOND
        return self.device.collect(self.now)

    def ask(self, message: str) -> str:
        return self.raw(message.encode() + b"\n").decode().removesuffix("\n")

    def errors(self) -> list[int]:
        found = []
        while (line := self.ask("SYSTem:ERRor?")) != '0,"No error"':
            found.append(int(line.partition(",")[0]))
        return found

    def learned(self) -> dict[str, str]:
        """The learned string, read by hand."""
        return {f":{path}": data for path, data in UNIT.findall(self.ask("*LRN?"))}


@pytest.fixture
def talk() -> Talk:
    return Talk()


def test_the_board_boots_in_silence_and_says_who_it_is(talk: Talk) -> None:
    assert talk.boot == b""
    maker, model, number, firmware = talk.ask("*IDN?").split(",")
    assert (maker, model, firmware) == ("estuary workshop", "scoter", "1.4.2")
    assert number == "44CB-9325"


@pytest.mark.parametrize(
    "spelled",
    [
        "TILT:LEFT:CENTRE?",
        ":TILT:LEFT:CENT?",
        "tilt:left:centre?",
        "Tilt:Left:Cent?\r",
    ],
)
def test_a_header_is_taken_long_or_short_in_any_case(talk: Talk, spelled: str) -> None:
    assert talk.ask(spelled) == "1500"


def test_a_form_between_short_and_long_is_undefined(talk: Talk) -> None:
    assert talk.ask("TILT:LEFT:CENTR?") == ""
    assert talk.errors() == [-113]


def test_a_message_has_one_line_of_answers_and_keeps_its_path(talk: Talk) -> None:
    assert talk.ask("TILT:LEFT:CENT?;AFT?;:OUTP:P1:JOB?;*OPC?;RATE?") == (
        "1500;350;MOTOR_LEFT;1;50"
    )


def test_a_new_message_starts_at_the_root(talk: Talk) -> None:
    talk.ask("TILT:LEFT:CENT?")
    assert talk.ask("AFT?") == ""
    assert talk.errors() == [-113]


@pytest.mark.parametrize(
    ("message", "query", "answer"),
    [
        ("TILT:LEFT:CENT 1512", "TILT:LEFT:CENT?", "1512"),
        ("TILT:LEFT:CENT 1.5124E3", "TILT:LEFT:CENT?", "1512"),
        ("TILT:LEFT:CENT MAX", "TILT:LEFT:CENT?", "2500"),
        ("TILT:LEFT:CENT DEFault", "TILT:LEFT:CENT?", "1500"),
        ("LEV:ROLL -1.5", "LEV:ROLL?", "-1.50000E+00"),
        ("LEV:ROLL 1.01", "LEV:ROLL?", "+1.00000E+00"),
        ("MOUN:UPS:DOWN ON", "MOUN:UPS:DOWN?", "1"),
        ("MOUN:UPS:DOWN 0", "MOUN:UPS:DOWN?", "0"),
        ("TILT:LEFT:DIR REVersed", "TILT:LEFT:DIR?", "REV"),
        ("TILT:LEFT:DIR norm", "TILT:LEFT:DIR?", "NORM"),
        ('CRAF:CALL "a;""b"";c,d"', "CRAF:CALL?", '"a;""b"";c,d"'),
        ("TILT:BEND -90, -40,0,40 ,90", "TILT:BEND?", "-90,-40,0,40,90"),
        ("FILT:NOTC:ON 1;CENT 99", "FILT:NOTC:CENT?", "+9.90000E+01"),
    ],
)
def test_a_value_is_taken_without_a_word_and_answered_in_its_form(
    talk: Talk, message: str, query: str, answer: str
) -> None:
    assert talk.ask(message) == ""
    assert talk.ask(query) == answer
    assert talk.errors() == []


@pytest.mark.parametrize(
    ("message", "number"),
    [
        ("NOTHING:HERE 1", -113),
        ("TILT:LEFT 1", -113),
        ("*FOO?", -113),
        ("OUTP:HALT?", -113),
        ("TILT:LEFT:CENT=1", -102),
        ("TILT:BEND 1,,2,3,4", -102),
        ("TILT:LEFT:CENT x", -104),
        ('TILT:LEFT:CENT "1500"', -104),
        ("TILT:LEFT:CENT 1500,1", -108),
        ("OUTP:HALT 1", -108),
        ("TILT:LEFT:DIR? MAX", -108),
        ("TILT:LEFT:CENT", -109),
        ("TILT:BEND 1,2", -109),
        ('CRAF:CALL "open', -151),
        ("CRAF:CALL open", -104),
        ("BOAR:NUMB 7", -203),
        ("FILT:NOTC:CENT 99", -221),
        ("TILT:LEFT:CENT 2501", -222),
        ("RAD:FAIL:THR 9000", -222),
        ("LEV:ROLL 20.01", -222),
        ("DISP:LAMP 5001", -222),
        ("*SAV 2", -222),
        (f'CRAF:CALL "{"x" * 41}"', -223),
        ("TILT:LEFT:DIR UP", -224),
        ("MOUN:UPS:DOWN 2", -224),
        ("MOUN:UPS:DOWN? DEF", -108),
        ("TILT:LEFT:CENT? MUCH", -224),
    ],
)
def test_a_bad_unit_says_nothing_changes_nothing_and_is_in_the_queue(
    talk: Talk, message: str, number: int
) -> None:
    before = dict(talk.device.aircraft.live)
    assert talk.ask(message) == ""
    assert talk.errors() == [number]
    assert talk.device.aircraft.live == before


def test_the_range_can_be_asked(talk: Talk) -> None:
    assert talk.ask("TILT:LEFT:CENT? MIN;CENT? MAX;CENT? DEF") == "500;2500;1500"


def test_a_bad_unit_does_not_stop_the_rest_of_the_message(talk: Talk) -> None:
    assert talk.ask("FOO 1;TILT:LEFT:CENT 9999;AFT 340;AFT?") == "340"
    assert talk.errors() == [-113, -222]


def test_the_queue_holds_eight_and_tells_that_it_was_full(talk: Talk) -> None:
    talk.ask(";".join(["X"] * 11))
    assert talk.ask("SYST:ERR:COUN?") == "8"
    assert talk.errors() == [-113] * 7 + [-350]


def test_the_event_register_is_read_once(talk: Talk) -> None:
    assert talk.ask("*ESR?;*ESR?") == "128;0"
    talk.ask("X;*OPC")
    talk.ask("TILT:LEFT:CENT 1")
    assert talk.ask("*ESR?;*ESR?") == f"{32 + 16 + 1};0"


def test_clearing_empties_the_queue(talk: Talk) -> None:
    talk.ask("X;*CLS")
    assert talk.errors() == []


def test_a_message_that_is_too_long_is_thrown_away_whole(talk: Talk) -> None:
    talk.ask("TILT:LEFT:CENT 1600;".ljust(251))
    assert talk.errors() == [-363]
    talk.ask("TILT:LEFT:CENT 1600;".ljust(250))
    assert talk.ask("TILT:LEFT:CENT?") == "1600"


def test_a_byte_that_is_no_ascii_is_an_error(talk: Talk) -> None:
    assert talk.raw(b'CRAF:CALL "\xc3\xa9"\n') == b""
    assert talk.errors() == [-101]


def test_a_client_that_reads_the_learned_string_knows_what_is_shown(talk: Talk) -> None:
    talk.ask('CRAF:CALL "a;""b"";c, d";:STE:ROLL:GAIN 2')
    learned = talk.learned()
    shown = talk.device.shown()
    assert learned == {n: v for n, v in shown.items() if not n.startswith(":BOARD:")}
    assert len(learned) == 605
    assert shown[":BOARD:FIRMWARE"] == '"1.4.2"'
    assert learned[":CRAFT:CALL"] == '"a;""b"";c, d"'


def test_the_learned_string_restores_what_it_was_taken_from(talk: Talk) -> None:
    talk.ask("TILT:LEFT:CENT 1512;:PACK:CELL 6;WARN 20;:FILT:NOTC:ON 1;CENT 99")
    live, learned = dict(talk.device.aircraft.live), talk.ask("*LRN?")
    talk.ask("*RST;:FILT:NOTC:ON 1")
    for path, data in UNIT.findall(learned):
        talk.ask(f":{path} {data}")
    assert talk.errors() == []
    uptime = {"board.uptime_s": live["board.uptime_s"]}
    assert talk.device.aircraft.live | uptime == live


def test_a_larger_board_shows_more(talk: Talk) -> None:
    assert len(Talk(1500).learned()) == 1493
    assert talk.learned().keys() < Talk(1500).learned().keys()


def test_all_short_forms_lead_to_their_own_setting() -> None:
    talk = Talk(2000)
    for name, setting in talk.device.aircraft.settings.items():
        mixed = header(name).split(":")
        long, short = (":".join(forms(word)[i] for word in mixed) for i in (0, 1))
        assert talk.device.console._find(f":{long}").names == setting.name  # type: ignore[attr-defined]
        assert talk.device.console._find(f":{short}").names == setting.name  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("word", "mixed"),
    [
        ("centre", "CENTre"),
        ("radio", "RADio"),
        ("aft", "AFT"),
        ("channel12", "CHANnel12"),
        ("p1", "P1"),
    ],
)
def test_the_short_form_has_four_letters_or_three_before_a_vowel(
    word: str, mixed: str
) -> None:
    assert mnemonic(word) == mixed


def test_the_help_is_a_block_of_the_length_it_says(talk: Talk) -> None:
    answer = talk.ask("SYST:HELP:HEAD?")
    digits = int(answer[1])
    block = answer[2 + digits :]
    assert answer[0] == "#"
    assert len(block) == int(answer[2 : 2 + digits])
    lines = block.split("\n")
    assert ":TILT:LEFT:CENTre" in lines
    assert {"*IDN?/qonly/", "*OPC", ":BOARd:NUMBer?/qonly/"} <= set(lines)


def test_a_restart_is_silent_and_keeps_what_was_saved(talk: Talk) -> None:
    talk.ask("TILT:LEFT:CENT 1512;*SAV 1;AFT 100;:SYST:REB")
    assert talk.raw(b"") == b""
    assert talk.device.boots == 2
    assert talk.ask("TILT:LEFT:CENT?;AFT?") == "1512;350"
    assert talk.device.kept_shown()[":TILT:LEFT:CENTRE"] == "1512"


def test_the_board_is_deaf_for_400_ms_and_slow_for_a_while() -> None:
    device = Device(Options(console=ConsoleKind.SCOTER))
    device.receive(b"*OPC?\n", 399_999)
    assert device.lost_in_boot == 6
    device.receive(b"*OPC?\n", 400_000)
    assert device.collect(700_000) == b""
    assert device.collect(700_100) == b"1\n"
    device.receive(b"*OPC?\n", SECOND)
    assert device.collect(SECOND + 100) == b"1\n"


def test_recalling_brings_saved_values_back(talk: Talk) -> None:
    talk.ask("TILT:LEFT:CENT 1512;*SAV 1;CENT 1600;*RCL 1")
    assert talk.ask("TILT:LEFT:CENT?") == "1512"


def test_resetting_spares_the_calibration(talk: Talk) -> None:
    talk.ask("TILT:LEFT:CENT 1512;:ACC:OFFS:X 3.5;*RST")
    assert talk.ask("TILT:LEFT:CENT?;:ACC:OFFS:X?") == "1500;+3.50000E+00"


def test_live_outputs_are_reported_and_halted(talk: Talk) -> None:
    assert talk.ask("OUTP:STAT?;REAS?") == '0;"no radio link","level not set","no pack"'
    talk.device.aircraft.outputs_live = True
    assert talk.ask("OUTP:STAT?;REAS?;:TILT:LEFT:CENT 1501;CENT?") == '1;"";1501'
    assert talk.ask("OUTP:HALT;STAT?") == "0"


def test_the_lamp_blinks(talk: Talk) -> None:
    talk.ask("DISP:LAMP 1000")
    assert talk.device.aircraft.lamp.blinks(talk.now) == 5


def test_messages_typed_ahead_wait_in_the_finite_buffer(talk: Talk) -> None:
    first = b"*SAV 1\n"
    more = b"TILT:LEFT:CENT?\n" * 20
    assert talk.raw(first + more) == b"1500\n" * 16
    assert talk.device.dropped == len(more) - 256


@pytest.mark.parametrize("size", [1, 7])
def test_it_does_not_matter_how_the_bytes_are_cut(size: int) -> None:
    typed = b'*IDN?\r\nTILT:LEFT:CENT 7;AFT?\n\nCRAF:CALL "a;b";NAME?\nSYST:ERR?\n'
    whole = Talk().raw(typed)
    device = Device(Options(console=ConsoleKind.SCOTER, handling_us=0))
    for at in range(0, len(typed), size):
        device.receive(typed[at : at + size], 2 * SECOND)
    assert device.collect(2 * SECOND) == whole
