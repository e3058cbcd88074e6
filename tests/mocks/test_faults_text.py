"""Faults as text and by seed; and every console with whatever goes wrong."""

from collections import Counter
from dataclasses import replace

import pytest

from mocks.device import Device
from mocks.fault import FaultError
from mocks.fault_draw import draw
from mocks.fault_lines import is_write
from mocks.fault_text import KINDS, read_faults, spell_fault
from mocks.generated_plan import Writing
from mocks.generated_plan import draw as draw_plan
from mocks.options import ConsoleKind, Options, parse_options
from mocks.uart import Line
from tests.mocks.fault_bench import NOW

SEEDS = range(3000)
SPOKEN = {
    ConsoleKind.WADER: ("plate", "recite", "let pack.cells be 3", "keep", "restart"),
    ConsoleKind.DUNLIN: ("bench", "reed", "edit", "lay pack/cells 3", "seal", "reboot"),
    ConsoleKind.KNOT: ("name?", "tell everything", "pack cells 3", "hold"),
    ConsoleKind.TURNSTONE: ("who", "show", "  ", "put pack cells 3", "store", "y"),
    ConsoleKind.SCOTER: ("*IDN?", "PACK:CELLS 3", "*SAV 1", "SYST:REB"),
    ConsoleKind.AVOCET: ("ATI", "AT+TLC=1600", "AT+KEEP", "ATZ"),
}


@pytest.mark.parametrize("seed", range(200))
def test_what_a_seed_draws_can_be_written_and_read(seed: int) -> None:
    drawn = draw(seed)
    assert read_faults("; ".join(map(spell_fault, drawn))) == drawn
    assert read_faults(f"drawn seed={seed}") == drawn == draw(seed)


def test_all_faults_are_drawn_and_now_and_then_none() -> None:
    mixtures = [draw(seed) for seed in SEEDS]
    assert {fault.name for mixture in mixtures for fault in mixture} == KINDS.keys()
    sizes = Counter(map(len, mixtures))
    assert sizes.keys() == {0, 1, 2, 3}
    assert 0.1 < sizes[0] / len(SEEDS) < 0.25
    assert sizes[1] > sizes[2] > sizes[3]


def test_a_seed_draws_within_the_length_of_a_session() -> None:
    ats = [
        getattr(fault, "at", 0)
        for seed in SEEDS
        for fault in draw(seed, received=50, sent=60)
    ]
    assert 50 < max(ats) <= 60
    with pytest.raises(FaultError, match="whole numbers"):
        read_faults("drawn seed=0 received=0 sent=1")


def test_words_with_blanks_and_semicolons_stand_in_quotes() -> None:
    (fault,) = read_faults("keep fails oddly at=1 words='so; not = now'")
    assert getattr(fault, "words", "") == "so; not = now"
    assert read_faults(spell_fault(fault)) == (fault,)
    assert read_faults(" ; ") == ()


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("lost bite at=1", "no fault is called 'lost bite'; known are lost byte, "),
        ("lost byte", "needs either at=N"),
        ("lost byte at=1 rate=0.1", "needs either at=N"),
        ("lost byte rate=1.5", "up to 1"),
        ("lost byte at=-1", "needs either at=N"),
        ("lost byte at=x", "at: 'x' is not a whole number"),
        ("lost byte rate=x", "rate: 'x' is not a number"),
        ("lost byte rate=nan", "needs either"),
        ("lost byte at=1 way=up", "'up' is not one of received, sent"),
        ("lost byte at=1 by_ms=2", "no such choice: by_ms; known are at, rate, way"),
        ("flipped byte at=1 bit=8", "bit must be 0 to 7"),
        ("input overrun at=1 for_ms=0", "for_ms must be above 0"),
        ("late answer at=1 by_ms=0", "by_ms must be above 0"),
        ("late read-back at=1 by_ms=0", "by_ms must be above 0"),
        ("slow keep at=1 by_ms=0", "by_ms must be above 0"),
        ("chatter in an answer at=1 inside=maybe", "'maybe' is not yes or no"),
        ("chatter in an answer at=1 text=''", "one line of plain"),
        ("keep fails oddly at=1 words=''", "one line of plain"),
        ("refused write at=1 words='\n'", "one line of plain"),
        ("rounded write at=1 steps=1", "steps must be above 1"),
        ("keep of a part at=1 part=1", "part must be 0 up to below 1"),
        ("unplugged", "needs either at=N or after_ms=T"),
        ("unplugged at=1 after_ms=1", "needs either at=N or after_ms=T"),
        ("unplugged at=1 back_ms=-1", "back_ms must not be below 0"),
        ("brown-out at=1 at_keep=1", "needs one of"),
        ("brown-out at=1 part=2", "part must be 0 to 1"),
        ("brown-out", "needs either"),
        ("drawn", "say it as: drawn seed=N"),
        ("drawn seed=x", "whole numbers"),
        ("lost byte 'at=1", "a quote is not closed"),
    ],
)
def test_a_fault_that_cannot_be_is_refused_with_its_reason(
    text: str, reason: str
) -> None:
    with pytest.raises(FaultError) as refused:
        read_faults(text)
    assert reason in str(refused.value)


def test_the_option_gives_faults_and_a_bad_one_ends_in_usage(
    capsys: pytest.CaptureFixture[str],
) -> None:
    options = parse_options(["--faults", "no return at=2; slow keep rate=0.5"])
    assert [spell_fault(f) for f in options.faults] == [
        "no return at=2",
        "slow keep rate=0.5",
    ]
    with pytest.raises(SystemExit):
        parse_options(["--faults", "lost bite"])
    assert "no fault is called 'lost bite'" in capsys.readouterr().err


def test_a_byte_that_has_passed_is_refused() -> None:
    device = Device(Options())
    device.collect(NOW)
    for text in ("lost byte way=sent at=83", "unplugged way=sent at=1"):
        (fault,) = read_faults(text)
        with pytest.raises(FaultError, match="was sent already"):
            device.faults.add(fault, NOW)
    assert device.faults.active == ()


@pytest.mark.parametrize(
    ("console", "writes", "others"),
    [
        (ConsoleKind.WADER, "let a be 1|plate; let a be", "recite a|keep|lets a"),
        (ConsoleKind.DUNLIN, "lay a/b 1|wear x|shed x|>>", "peek a|seal|list all"),
        (ConsoleKind.KNOT, "tilt-L mid 1", "tell everything|hold|name?|lamp 40"),
        (ConsoleKind.TURNSTONE, "put a b 1|carry x p1|free p1", "show|what is a b"),
        (ConsoleKind.SCOTER, "TILT:LEFT 1|:a:b? ;:a:c 2", "*SAV 1|TILT? MIN|DISP:LAMP 4"),
        (ConsoleKind.AVOCET, "AT+TLC=1|at+tlc=1", "AT+TLC?|AT+TLC=?|AT+LAMP=4|ATE0"),
    ],
)  # fmt: skip
def test_a_line_is_a_write_by_its_words(
    console: ConsoleKind, writes: str, others: str
) -> None:
    assert all(is_write(console, 1, line) for line in writes.split("|"))
    assert not any(is_write(console, 1, line) for line in others.split("|"))


@pytest.mark.parametrize("seed", range(60))
def test_a_made_up_console_writes_in_its_own_words(seed: int) -> None:
    plan = draw_plan(seed)
    kind = ConsoleKind.GENERATED
    words = plan.statement
    written = {
        Writing.ONE_LINE: plan.write,
        Writing.LETTERS: f"{words.letters} {{thing}} x",
        Writing.STATEMENT: words.opening,
        Writing.WHOLE_STATEMENT: words.opening,
    }[plan.writing]
    fields = {"{verb}": "x", "{name}": "some", "{value}": "12", "{thing}": "some"}
    for field, text in fields.items():
        written = written.replace(field, text)
    assert is_write(kind, seed, written)
    for verb, line in plan.verbs.items():
        if verb not in {"read", "write"}:
            assert not is_write(kind, seed, line), verb
    assert not is_write(kind, seed, f"{plan.verbs['lamp']} 400")


def lines_of(options: Options) -> list[bytes]:
    """What a host says to this console, a write and a keep among it."""
    if options.console is ConsoleKind.GENERATED:
        plan = draw_plan(options.seed)
        write = plan.write.replace("{name}", plan.names[0]).replace("{value}", "5")
        verbs = (plan.verbs[v] for v in ("identify", "list", "keep", "restart"))
        return [f"{line}\r\n".encode() for line in (write, *verbs)]
    end = "\n" if options.console is ConsoleKind.SCOTER else "\r"
    return [
        (line if line in {"  ", "y"} else line + end).encode()
        for line in SPOKEN[options.console]
    ]


def life(options: Options, step_us: int) -> tuple[bytes, dict[str, tuple[int, int]]]:
    """A session with a host that comes round so seldom."""
    line, heard, now = Line(Device(options), options), b"", NOW
    for number, said in enumerate(lines_of(options) * 3):
        now = NOW * (1 + 2 * number)
        line.to_board(said, now)
        for at in range(now, now + 2 * NOW, step_us):
            heard += line.from_board(at)
    heard += line.from_board(now + 2 * NOW)
    return heard, line.device.faults.tally()


@pytest.mark.parametrize("console", ConsoleKind)
@pytest.mark.parametrize("seed", range(12))
def test_every_console_fails_in_its_own_way_and_always_the_same(
    console: ConsoleKind, seed: int
) -> None:
    plain = Options(console=console, settings=60, seed=seed, baud=(0, 38_400)[seed % 2])
    faults = tuple(
        fault
        for number in range(3)
        for fault in draw(100 * seed + number, received=100, sent=6000)
    )
    options = replace(plain, faults=faults)
    often, seldom = (life(options, step_us) for step_us in (9_973, 700_001))
    assert often == seldom
    fired = sum(count for count, _ in often[1].values())
    assert (life(plain, 700_001)[0] == often[0]) or fired
