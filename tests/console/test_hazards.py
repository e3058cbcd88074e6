"""What the lines of the six described consoles may do, in every spelling."""

from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.hazards import Classifier
from benchlink.console.likenesses import SHORT_FORM
from benchlink.core.hazard import FRESH, NO_HAZARD, Aim, Hazard, Hazards, Typed
from mocks.options import ConsoleKind
from tests.console.talking import MANY
from tests.consoles.consoles import described

KINDS: Final = (
    ConsoleKind.WADER,
    ConsoleKind.TURNSTONE,
    ConsoleKind.DUNLIN,
    ConsoleKind.KNOT,
    ConsoleKind.SCOTER,
    ConsoleKind.AVOCET,
)
CLASSIFIERS: Final = {kind: Classifier(described(kind)) for kind in KINDS}
RESTARTS: Final = frozenset({Hazard.RESTARTS})
ERASES: Final = frozenset({Hazard.ERASES})
UNKNOWN: Final = frozenset({Hazard.UNKNOWN})
EITHER: Final = frozenset({Hazard.SERVO, Hazard.MOTOR})
MOTOR: Final = frozenset({Hazard.MOTOR})
SERVO: Final = frozenset({Hazard.SERVO})

HARMLESS: Final = {
    ConsoleKind.WADER: "plate",
    ConsoleKind.TURNSTONE: "who",
    ConsoleKind.DUNLIN: "about",
    ConsoleKind.KNOT: "name?",
    ConsoleKind.SCOTER: "*IDN?",
    ConsoleKind.AVOCET: "AT+GMM",
}
RESTART: Final = {
    ConsoleKind.WADER: "restart",
    ConsoleKind.TURNSTONE: "restart",
    ConsoleKind.DUNLIN: "reboot",
    ConsoleKind.KNOT: "turn-off-on",
    ConsoleKind.SCOTER: "SYSTem:REBoot",
    ConsoleKind.AVOCET: "ATZ",
}
ACTING: Final = frozenset({"restart", "factory", "drop", "drive", "release", "spin"})


def hazards(kind: ConsoleKind, line: str, typed: Typed = FRESH) -> Hazards:
    end = described(kind).manner.line_end.value
    return CLASSIFIERS[kind].classify(line.encode("latin-1") + end, typed)


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_no_verb_that_only_asks_has_a_hazard(kind: ConsoleKind) -> None:
    name_here = "+MN" if kind is ConsoleKind.AVOCET else "m.n"
    fields = {"name": name_here, "bank": "1"}
    aim = Aim(names=(name_here,), fields=fields)
    for name, verb in described(kind).all_verbs():
        if name in ACTING or name.startswith(("write", "clear")):
            continue
        last = None
        for step in verb.steps:
            line = step.line.render(fields)
            end = b"" if step.key else described(kind).manner.line_end.value
            typed = Typed(last=last, aim=aim)
            found = CLASSIFIERS[kind].classify(line.encode() + end, typed)
            assert found == NO_HAZARD, (name, line)
            last = line


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_every_list_and_mode_and_bank_is_known(kind: ConsoleKind) -> None:
    description = described(kind)
    steps = [step for source in description.sources for step in source.ask.steps]
    lines = [s.line.source for s in steps if not s.line.fields]
    lines += [
        s.line.source for m in description.modes.values() for s in (m.enter, m.leave)
    ]
    lines += description.manner.setup
    for source in description.sources:
        lines += [
            step.line.render({"name": name})
            for step in source.ask.steps
            for name in source.each
        ]
    for line in lines:
        assert hazards(kind, line) == NO_HAZARD, line


@pytest.mark.parametrize(
    ("kind", "line", "does"),
    [
        (ConsoleKind.WADER, "start over", ERASES),
        (ConsoleKind.WADER, "forget", ERASES),
        (ConsoleKind.WADER, "whirl left at 5 for 100", MOTOR),
        (ConsoleKind.WADER, "slack p3", SERVO),
        (ConsoleKind.WADER, "let tilt.left.centre_us be 1600", SERVO),
        (ConsoleKind.TURNSTONE, "send 1600 us to p1", EITHER),
        (ConsoleKind.TURNSTONE, "put tilt left centre 1600", SERVO),
        (ConsoleKind.TURNSTONE, "put tilt left mid 1600", SERVO),
        (ConsoleKind.TURNSTONE, "carry motor-left p3", MOTOR),
        (ConsoleKind.TURNSTONE, "free p3", MOTOR),
        (ConsoleKind.TURNSTONE, "pager on", frozenset({Hazard.LINK})),
        (ConsoleKind.DUNLIN, "lay tilt/left/centre 1600", SERVO),
        (ConsoleKind.KNOT, "tilt-L mid 1600", SERVO),
        (ConsoleKind.KNOT, "turn-off-on at once", RESTARTS),
        (ConsoleKind.SCOTER, "*RST", ERASES),
        (ConsoleKind.SCOTER, ":TILT:LEFT:CENT 1600", SERVO),
        (ConsoleKind.SCOTER, "OUTP:SPIN LEFT,0.1,1", MOTOR),
        (ConsoleKind.AVOCET, "AT&F1", ERASES),
        (ConsoleKind.AVOCET, "AT+PUSH=1,3000,5", EITHER),
        (ConsoleKind.AVOCET, "AT+TLC=1600", SERVO),
        (ConsoleKind.AVOCET, "ATE0", frozenset({Hazard.LINK})),
        (ConsoleKind.AVOCET, "ATS3=10", frozenset({Hazard.LINK})),
    ],
)
def test_what_acts_is_told_by_name(kind: ConsoleKind, line: str, does: Hazards) -> None:
    assert hazards(kind, line) == does


@pytest.mark.parametrize(
    ("kind", "line"),
    [
        (ConsoleKind.WADER, "let reed be 5"),
        (ConsoleKind.WADER, "RESTART"),
        (ConsoleKind.KNOT, "motor-L poles 14 idle 5"),
        (ConsoleKind.KNOT, "n" * 201),
        (ConsoleKind.SCOTER, "*TST?"),
        (ConsoleKind.SCOTER, '*CLS;:CRAFT:CALL "reed'),
        (ConsoleKind.AVOCET, "+GMM"),
        (ConsoleKind.AVOCET, "ATL5"),
    ],
)
def test_whatever_nobody_described_is_unknown(kind: ConsoleKind, line: str) -> None:
    assert Hazard.UNKNOWN in hazards(kind, line)


@st.composite
def spelled(draw: st.DrawFn, kind: ConsoleKind) -> str:
    """The restart as this console takes it, alone or in the middle of other commands."""
    word = RESTART[kind]
    harmless = HARMLESS[kind]
    blanks = " " * draw(st.integers(0, 3))
    match kind:
        case ConsoleKind.WADER:
            parts = draw(st.lists(st.just(harmless), max_size=3))
            at = draw(st.integers(0, len(parts)))
            parts.insert(at, f"{blanks}{word}{blanks}")
            return ";".join(parts)
        case ConsoleKind.SCOTER:
            return draw(_messages(blanks))
        case ConsoleKind.AVOCET:
            before = draw(
                st.sampled_from(["", "E1", "V1Q0", "+GMM;", "+TLC?;E1", "E1;"])
            )
            body = f"{before}{blanks}{draw(st.sampled_from(['Z', 'z', 'Z0', 'Z1']))}"
            after = draw(st.sampled_from(["", "E1", ";+GMM"]))
            return draw(st.sampled_from(["AT", "at"])) + body + after
        case _:
            return f"{blanks}{word}{blanks}"


@st.composite
def _messages(draw: st.DrawFn, blanks: str) -> str:
    head, tail = (
        draw(st.sampled_from([long, long[:SHORT_FORM]]))
        for long in ("SYSTEM", "REBOOT")
    )
    if tail == "REBO":
        tail = "REB"
    cased = draw(st.sampled_from([str.upper, str.lower, str.title]))
    full = cased(f"{draw(st.sampled_from(['', ':']))}{head}:{tail}")
    before = draw(st.sampled_from(["", "*CLS;", "*IDN?;*CLS ;"]))
    if draw(st.booleans()):
        # The header goes on from where the last one ended.
        before, full = f"{before}:SYST:ERR?;", cased(tail)
    after = draw(st.sampled_from(["", ";*OPC?", "; :SYST:ERR?"]))
    return f"{before}{blanks}{full}{after}"


@MANY
@given(st.data(), st.sampled_from(KINDS))
def test_a_restart_is_caught_in_every_spelling(
    data: st.DataObject, kind: ConsoleKind
) -> None:
    line = data.draw(spelled(kind))
    assert Hazard.RESTARTS in hazards(kind, line)


@MANY
@given(st.data(), st.sampled_from(KINDS))
def test_a_key_among_the_letters_never_hides_a_restart(
    data: st.DataObject, kind: ConsoleKind
) -> None:
    line = RESTART[kind]
    at = data.draw(st.integers(1, len(line) - 1))
    abandon = described(kind).manner.abandon.decode("latin-1")
    keys = [chr(code) for code in (*range(0x20), 0x7F, 0xA0, 0xFF)]
    key = data.draw(st.sampled_from([k for k in keys if k not in f"\r\n\b{abandon}"]))
    erased = data.draw(st.sampled_from(["", "x\b"]))
    found = hazards(kind, line[:at] + erased + key + line[at:])
    assert found & (RESTARTS | UNKNOWN)


@MANY
@given(st.sampled_from(KINDS), st.text(max_size=30), st.sampled_from([b"", b"\r\n"]))
def test_bytes_beyond_ascii_are_never_harmless(
    kind: ConsoleKind, text: str, end: bytes
) -> None:
    found = CLASSIFIERS[kind].classify(text.encode() + end)
    assert text.isascii() or Hazard.UNKNOWN in found


@MANY
@given(st.sampled_from(KINDS), st.data())
def test_the_worst_of_several_lines_counts(
    kind: ConsoleKind, data: st.DataObject
) -> None:
    end = described(kind).manner.line_end.value.decode()
    lines = data.draw(st.lists(st.just(HARMLESS[kind]), min_size=1, max_size=4))
    assert hazards(kind, end.join(lines)) == NO_HAZARD
    lines.insert(data.draw(st.integers(0, len(lines))), RESTART[kind])
    assert hazards(kind, end.join(lines)) == RESTARTS


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_a_line_in_two_parts_is_one_line(kind: ConsoleKind) -> None:
    word = RESTART[kind]
    assert hazards(kind, word[2:], Typed(begun=word[:2])) == RESTARTS


@pytest.mark.parametrize(
    ("last", "does"),
    [
        ("restart", RESTARTS),
        (" restart ", RESTARTS),
        ("store", NO_HAZARD),
        (None, RESTARTS | UNKNOWN),
        ("show", RESTARTS | UNKNOWN),
    ],
)
def test_a_key_does_what_was_asked(last: str | None, does: Hazards) -> None:
    turnstone = CLASSIFIERS[ConsoleKind.TURNSTONE]
    assert turnstone.classify(b"y", Typed(last=last)) == does
    assert turnstone.classify(b"n", Typed(last=last)) == NO_HAZARD
    assert turnstone.classify(b"y", Typed(begun="x", last=last)) == UNKNOWN


@pytest.mark.parametrize(
    ("line", "last", "does"),
    [
        ("A/", "ATZ", RESTARTS),
        ("a/", "AT+GMM", NO_HAZARD),
        ("A/", None, UNKNOWN),
        ("A/AT&F", "ATZ", RESTARTS | ERASES),
        ("", "ATZ", NO_HAZARD),
    ],
)
def test_a_repeat_does_what_the_last_line_did(
    line: str, last: str | None, does: Hazards
) -> None:
    assert hazards(ConsoleKind.AVOCET, line, Typed(last=last)) == does


def test_a_write_is_known_only_for_the_setting_that_is_meant() -> None:
    meant = Aim(names=("reed.bed",), fields={"name": "reed.bed"})
    wader = ConsoleKind.WADER
    assert hazards(wader, "let reed.bed be 5", Typed(aim=meant)) == NO_HAZARD
    assert hazards(wader, "let reed.bad be 5", Typed(aim=meant)) == UNKNOWN
    assert hazards(wader, "let reed.bed be 5 6", Typed(aim=meant)) == UNKNOWN
    both = "let reed.bed be 5;restart"
    assert hazards(wader, both, Typed(aim=meant)) == RESTARTS


@pytest.mark.parametrize(
    ("kind", "line"),
    [
        (ConsoleKind.SCOTER, "SYST:VERS?;:outp:stat?"),
        (ConsoleKind.SCOTER, "\tSYSTem:ERRor:COUNt?\r"),
        (ConsoleKind.AVOCET, "at + gmm ; e1"),
        (ConsoleKind.WADER, " plate ;; words"),
        (ConsoleKind.WADER, "restart\x15plate"),
    ],
)
def test_other_spellings_of_what_is_harmless_stay_so(
    kind: ConsoleKind, line: str
) -> None:
    assert hazards(kind, line) == NO_HAZARD


@pytest.mark.parametrize("line", ["platf\be", "plate\x7f", "plate\x10", "pla\rte"])
def test_a_key_that_nobody_declared_makes_a_line_unknown(line: str) -> None:
    data = f"{line}\n".encode()
    assert Hazard.UNKNOWN in CLASSIFIERS[ConsoleKind.TURNSTONE].classify(data)
    assert Hazard.UNKNOWN in hazards(ConsoleKind.WADER, line.replace("\r", "\n"))
