"""`hazards:` of a made-up console: its keys, its mistakes, and what must not get out."""

from typing import Final

import pytest

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.hazard_check import hazard_problems
from benchlink.console.hazards import Classifier
from benchlink.core.hazard import NO_HAZARD, Hazard, Hazards, Typed, hazard_words
from benchlink.core.settings import Setting, Snapshot
from benchlink.core.values import Text
from benchlink.errors import FileError
from tests.console.talking import console

RESTARTS: Final = frozenset({Hazard.RESTARTS})
UNKNOWN: Final = frozenset({Hazard.UNKNOWN})
LINK: Final = frozenset({Hazard.LINK})
HELD: Final = "held: [{what: restarts, lines: [restart]}]"
VERBS: Final = (
    '{write: {line: "put {name} {value}"}, read: {line: "get {name}"},'
    ' restart: {line: restart}, blink: {line: "re"}}'
)
VALUES: Final = "{quote: '\"', escape: '\"', reserved: ';#$'}"


def gull(hazards: str, *, values: str = VALUES, verbs: str = VERBS) -> Description:
    parts = {"verbs": verbs, "values": values}
    if hazards:
        parts["hazards"] = f"{{{hazards}}}"
    return console(**parts)


def does(hazards: str, line: str, last: str | None = None) -> Hazards:
    data = f"{line}\n".encode("latin-1")
    return Classifier(gull(hazards)).classify(data, Typed(last=last))


@pytest.mark.parametrize(
    ("hazards", "line", "expected"),
    [
        ("", "all", UNKNOWN),
        ("", "restart", UNKNOWN),
        (HELD, "all", NO_HAZARD),
        (HELD, "get a", NO_HAZARD),
        (HELD, "restart", RESTARTS),
        (HELD, "restart now", RESTARTS),
        (HELD, "restarter", UNKNOWN),
        (HELD, "Restart", UNKNOWN),
        (f"case: ignored, {HELD}", "ReStArT", RESTARTS),
        (HELD, "rest", UNKNOWN),
        (f"shortest: 3, {HELD}", "rest", RESTARTS),
        (f"shortest: 3, {HELD}", "res now", RESTARTS),
        (f"shortest: 1, {HELD}", "re", NO_HAZARD),
        (f"shortest: 1, {HELD}", "r", RESTARTS),
        (f"case: ignored, shortest: 2, {HELD}", "RES", RESTARTS),
        (HELD, "all;restart", UNKNOWN),
        (f"separator: ';', {HELD}", "all; restart ;all", RESTARTS),
        (f"separator: ';', {HELD}", 'get "a;restart"', RESTARTS),
        (HELD, "get a;restart", UNKNOWN),
        (HELD, "all # restart", UNKNOWN),
        (f"comment: '#', {HELD}", "all # restart", NO_HAZARD),
        (f"comment: '#', {HELD}", "restart#", RESTARTS),
        (f"expands: '$', {HELD}", "get $1", UNKNOWN),
        (f"harmless: [help], {HELD}", "help", NO_HAZARD),
        (f"harmless: [help], {HELD}", "help me", UNKNOWN),
        ("held: []", "restart", RESTARTS),
    ],
)
def test_each_key_counts(hazards: str, line: str, expected: Hazards) -> None:
    assert does(hazards, line) == expected


@pytest.mark.parametrize(
    ("hazards", "last", "expected"),
    [
        (HELD, "restart", NO_HAZARD),
        (f'repeats: [""], {HELD}', "restart", RESTARTS),
        (f'repeats: [""], {HELD}', "all", NO_HAZARD),
        (f'repeats: [""], {HELD}', None, UNKNOWN),
    ],
)
def test_an_empty_line_may_repeat(
    hazards: str, last: str | None, expected: Hazards
) -> None:
    assert does(hazards, "", last) == expected


def test_a_repeat_after_a_line_of_the_same_bytes_counts() -> None:
    assert does(f'repeats: ["!!"], {HELD}', "restart\n!!") == RESTARTS
    assert does(f'repeats: ["!!"], {HELD}', "all\n!!") == NO_HAZARD


@pytest.mark.parametrize(
    ("hazards", "why"),
    [
        ("held: [{what: bites, lines: [all]}]", "one of moves-servo, moves-motor"),
        ("held: [{lines: [reset]}]", "needs `what:`"),
        ("held: [{what: restarts}]", "needs `lines:` or `settings:`"),
        (
            "held: [{what: moves-servo, settings: [a]}]",
            "settings that move something stand under `moving:`",
        ),
        (
            "held: [{what: cuts-link, lines: [a], alone-last: yes}]",
            "`alone-last:` goes with `settings:` and `what: cuts-link`",
        ),
        (
            'held: [{what: restarts, lines: ["{anything}"]}]',
            "would be every line",
        ),
        (
            'held: [{what: restarts, lines: ["a {name}"]}]',
            "takes {anything} and no other field",
        ),
        ("commands: ieee-488.2, case: exact", "`case:` is laid down by ieee-488.2"),
    ],
)
def test_mistakes_are_named_with_their_place(hazards: str, why: str) -> None:
    with pytest.raises(FileError) as caught:
        gull(hazards)
    (problem, *_) = caught.value.details
    assert problem.startswith("gull.yaml:")
    assert why in problem


@pytest.mark.parametrize(
    ("hazards", "why"),
    [
        (HELD, ""),
        ("", ""),
        ("held: []", "'restart' restarts the board, but no row"),
        (
            f"separator: ';', {HELD[:-1]}, {{what: erases, lines: ['a;b']}}]",
            "several commands",
        ),
        (
            f"comment: '#', {HELD[:-1]}, {{what: erases, lines: ['# b']}}]",
            "nothing of it is",
        ),
        (
            f"{HELD[:-1]}, {{what: erases, lines: ['{'w' * 90}']}}]",
            "at most 80 characters",
        ),
        (f"{HELD[:-1]}, {{what: restarts, lines: [restart]}}]", "stands there twice"),
        (f"harmless: [restart], {HELD}", "harmless elsewhere"),
        (f"separator: '&', {HELD}", "belongs in `reserved:`"),
        (f"expands: '$!', {HELD}", "belongs in `reserved:`"),
        (
            "commands: itu-t-v.250, held: [{what: restarts, lines: [Z]}]",
            "begins with AT",
        ),
    ],
)
def test_what_loads_and_cannot_be_right_is_told(hazards: str, why: str) -> None:
    problems = hazard_problems(gull(hazards))
    told = [str(problem) for problem in problems]
    assert any(why in text for text in told) if why else told == []


def setting(name: str = "reed") -> Setting:
    return Setting(name=name, value=Text("x"), raw="x")


def test_a_value_that_would_begin_another_command_is_refused() -> None:
    """The values of this console forgot its separator: the line itself tells."""
    careless = gull(f"separator: ';', {HELD}", values="{quote: '', kind: text}")
    grammar = Grammar(careless)
    (safe,) = grammar.write(setting(), Text("marsh hen")).commands
    assert safe.line == "put reed marsh hen"
    with pytest.raises(ValueError, match="makes a line that restarts the board"):
        grammar.write(setting(), Text("a;restart"))
    why = grammar.unwritable(setting(), Text("a;nobody knows"))
    assert why == f"makes a line that {hazard_words(UNKNOWN)}"


def test_a_line_of_other_digits_is_looked_at_again_where_a_row_tells_digits_apart() -> (
    None
):
    rows = "held: [{what: restarts, lines: [restart, 'put reed 7']}]"
    grammar = Grammar(gull(rows, values="{kind: text}"))
    assert grammar.unwritable(setting(), Text("5")) == ""
    assert "restarts the board" in grammar.unwritable(setting(), Text("7"))


@pytest.mark.parametrize(
    ("alone", "told"),
    [
        ("", "change it by hand"),
        (", alone-last: yes", "alone and last, which benchlink"),
    ],
)
def test_a_setting_that_cuts_the_link_is_never_written(alone: str, told: str) -> None:
    row = f"{{what: cuts-link, settings: [link.*], why: the speed changes{alone}}}"
    grammar = Grammar(gull(f"{HELD[:-1]}, {row}]", values="{kind: text}"))
    why = grammar.unwritable(setting("link.speed"), Text("9600"))
    assert why.startswith("may cut the link (the speed changes).")
    assert told in why
    snapshot = Snapshot(settings={"link.speed": setting("link.speed")})
    with pytest.raises(ValueError, match="may cut the link"):
        grammar.writes({"link.speed": Text("9600")}, snapshot)
    assert grammar.unwritable(setting(), Text("9600")) == ""
