from dataclasses import replace
from decimal import Decimal

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.identity import Identity, Readiness
from benchlink.core.plan import Moves
from benchlink.core.settings import Setting
from benchlink.core.utterance import Reply, Utterance
from benchlink.core.values import Number, Switch, Text, Value, Word
from benchlink.errors import BoardError, RefusedError, UnansweredError, UsageError
from tests.console.talking import command, replied, wader

UP = Word("up")


@pytest.fixture
def grammar() -> Grammar:
    return Grammar(wader())


def said(*lines: str, verdict: Verdict = Verdict.OK) -> Reply:
    return replied(Answer(command=command("any"), verdict=verdict, lines=lines))


def held(name: str, value: Value = UP, **more: str) -> Setting:
    """A setting as a listing of plain names gives it."""
    address = {"name": name, "own": name, **more}
    return Setting(name=name, value=value, raw=str(value), address=address)


def line_of(utterance: Utterance) -> str:
    (only,) = utterance.commands
    return only.line


@pytest.mark.parametrize(
    ("verdict", "error"),
    [
        (Verdict.REFUSED, RefusedError),
        (Verdict.AGAIN, RefusedError),
        (Verdict.DAMAGED, UnansweredError),
        (Verdict.UNANSWERED, UnansweredError),
    ],
)
def test_only_a_trusted_answer_is_read(
    grammar: Grammar, verdict: Verdict, error: type[BoardError]
) -> None:
    bad = said(verdict=verdict)
    for read in (grammar.identity, grammar.readiness):
        with pytest.raises(error):
            read(bad)
    with pytest.raises(error):
        grammar.value(held("a"), bad)


# Identity, readiness, one value


def test_the_plate_is_read(grammar: Grammar) -> None:
    answer = said("type      wader", "", "firmware  1.4.2", "number    44CB")
    assert grammar.identity(answer) == Identity(
        board_type="wader", firmware="1.4.2", number="44CB"
    )


def test_a_plate_may_leave_things_out_but_not_add_any(grammar: Grammar) -> None:
    assert grammar.identity(said()) == Identity()
    with pytest.raises(BoardError, match="does not know") as caught:
        grammar.identity(said("colour blue"))
    assert "gives" in caught.value.hint


@pytest.mark.parametrize(("word", "armed"), [("live", True), ("resting", False)])
def test_the_state_tells_whether_outputs_may_move(
    grammar: Grammar, word: str, *, armed: bool
) -> None:
    answer = said(f"outputs   {word}", "holding back: no radio link")
    assert grammar.readiness(answer) == Readiness(
        armed=armed, reasons=("no radio link",)
    )


@pytest.mark.parametrize("lines", [(), ("outputs   reseing",), ("uptime_s  3",)])
def test_a_state_that_says_neither_is_to_be_treated_as_live(
    grammar: Grammar, lines: tuple[str, ...]
) -> None:
    with pytest.raises(BoardError, match="does not say") as caught:
        grammar.readiness(said(*lines))
    assert "live" in caught.value.hint


def test_without_words_for_live_and_resting_nobody_knows() -> None:
    with pytest.raises(BoardError, match="does not say"):
        Grammar(replace(wader(), outputs=None)).readiness(said("outputs   live"))


def test_one_value_is_read_for_the_name_that_was_asked(grammar: Grammar) -> None:
    assert grammar.value(held("a"), said("a: up")) == Word("up")


@pytest.mark.parametrize("lines", [("b: 1",), ("a: 1", "a: 2"), (), ("a: 1", "b: 1")])
def test_anything_but_one_value_of_that_name_is_an_error(
    grammar: Grammar, lines: tuple[str, ...]
) -> None:
    with pytest.raises(BoardError, match="asked for a"):
        grammar.value(held("a"), said(*lines))


# What is sent


def test_a_verb_becomes_a_command_with_its_manners(grammar: Grammar) -> None:
    (keep,) = grammar.utter("keep").commands
    assert (keep.line, keep.alone, keep.changes) == ("keep", True, True)
    assert keep.answer_within == 3.0
    assert not keep.restarts
    assert grammar.single("restart").restarts
    assert not grammar.single("identify").changes


def test_a_verb_that_the_console_lacks_says_where_to_describe_it() -> None:
    bare = Grammar(replace(wader(), verbs={}))
    assert not bare.can("keep")
    with pytest.raises(UsageError, match="no way to keep") as caught:
        bare.utter("keep")
    assert "verbs: keep:" in caught.value.hint


def test_a_write_is_rendered_in_the_spelling_of_the_console(grammar: Grammar) -> None:
    setting = held("a.b")
    assert line_of(grammar.write(setting, Switch(on=True))) == "let a.b be yes"
    text = line_of(grammar.write(setting, Text('x "y"')))
    assert text == r'let a.b be "x \"y\""'
    assert grammar.write(setting, Number(Decimal("1.50"))).commands[0].changes


NAMES = ("a;keep", "a\rkeep", "a\nkeep", "a\x15", "\u0430", "a\u200b")


@pytest.mark.parametrize("name", NAMES)
def test_a_name_can_never_become_another_line(grammar: Grammar, name: str) -> None:
    with pytest.raises(ValueError, match="cannot be written"):
        grammar.write(held(name), Word("up"))
    with pytest.raises(ValueError, match="cannot be written"):
        grammar.utter("read", {"name": name})


@pytest.mark.parametrize("text", ["a;keep", "a\rkeep", "\u0430", "a\x15b"])
def test_a_value_can_never_become_another_line(grammar: Grammar, text: str) -> None:
    with pytest.raises(ValueError, match=r"^holds"):
        grammar.write(held("a"), Text(text))
    assert grammar.unwritable(held("a"), Text(text)).startswith("holds")


def test_a_line_longer_than_the_board_takes_is_refused_before_sending(
    grammar: Grammar,
) -> None:
    longest = wader().manner.longest_line
    room = longest - len('let a be ""')
    assert len(line_of(grammar.write(held("a"), Text("x" * room)))) == longest
    with pytest.raises(ValueError, match=f"longer than the {longest}"):
        grammar.write(held("a"), Text("x" * (room + 1)))
    with pytest.raises(ValueError, match=f"longer than the {longest}"):
        grammar.utter("read", {"name": "x" * longest})


@pytest.mark.parametrize(
    ("name", "moves"),
    [
        ("tilt.left.centre_us", Moves.SERVO),
        ("motor.left.idle_pct", Moves.MOTOR),
        ("output.p1.job", Moves.MOTOR),
        ("craft.call", Moves.NOTHING),
        ("Tilt.left.centre_us", Moves.NOTHING),
    ],
)
def test_a_setting_tells_what_moves_when_it_is_written(
    grammar: Grammar, name: str, moves: Moves
) -> None:
    assert grammar.moves(name) is moves
