from dataclasses import replace
from decimal import Decimal

import pytest

from benchlink.console.grammar import Grammar
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.identity import Identity, Readiness
from benchlink.core.plan import Moves
from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Switch, Text, Word
from benchlink.errors import BoardError, RefusedError, UnansweredError, UsageError
from tests.console.talking import command, wader


@pytest.fixture
def grammar() -> Grammar:
    return Grammar(wader())


def said(*lines: str, verdict: Verdict = Verdict.OK) -> Answer:
    return Answer(command=command("any"), verdict=verdict, lines=lines, raw=b"raw")


def listed(grammar: Grammar, *lines: str, count: int | None = None) -> Snapshot:
    told = len(lines) if count is None else count
    return grammar.snapshot(
        said(f"settings: {told}", *lines, f"end of settings: {told}")
    )


# Listings


def test_a_listing_gives_every_setting_with_its_meaning(grammar: Grammar) -> None:
    snapshot = listed(grammar, "  a.b: 1.50", '! board.type: "wader"', "~ accel.x: yes")
    assert snapshot.complete
    assert [s.value for s in snapshot.settings.values()] == [
        Number(Decimal("1.5")),
        Text("wader"),
        Switch(on=True),
    ]
    assert snapshot.settings["a.b"].raw == "1.50"
    assert snapshot.verbatim == b"raw"


def test_a_listing_tells_what_is_read_only_board_owned_and_volatile(
    grammar: Grammar,
) -> None:
    settings = listed(
        grammar, "  a: 1", "! board.uptime_s: 3.2", "~ accel.x: 4"
    ).settings
    marks = {n: (s.writable, s.board_owned, s.volatile) for n, s in settings.items()}
    assert marks == {
        "a": (True, False, False),
        "board.uptime_s": (False, False, True),
        "accel.x": (True, True, False),
    }


def test_a_line_of_no_known_form_is_kept_as_not_understood(grammar: Grammar) -> None:
    snapshot = listed(grammar, "  a: 1", "radio: link up", "   b: 2", "", count=1)
    assert snapshot.not_understood == ("radio: link up", "   b: 2")


@pytest.mark.parametrize(
    ("first", "last"),
    [("settings: 3", "settings: 2"), ("settings: 2", "settings: 3")],
)
def test_either_count_that_disagrees_is_not_understood(
    grammar: Grammar, first: str, last: str
) -> None:
    snapshot = grammar.snapshot(said(first, "  a: 1", "  b: 2", f"end of {last}"))
    (strange,) = snapshot.not_understood
    assert "3 (but 2 were listed)" in strange


def test_a_count_of_many_digits_is_a_count_that_disagrees(grammar: Grammar) -> None:
    snapshot = grammar.snapshot(said("settings: " + "9" * 5000, "  a: 1"))
    assert not snapshot.complete
    assert grammar.snapshot(said("settings: 001", "  a: 1")).complete


def test_a_listing_that_counts_nothing_is_not_complete(grammar: Grammar) -> None:
    snapshot = grammar.snapshot(said("  a: 1"))
    assert snapshot.not_understood == ("(no line told the count of these 1 settings)",)


def test_where_no_count_is_declared_none_is_missed() -> None:
    verbs = dict(wader().verbs)
    verbs["list"] = replace(verbs["list"], gives=())
    uncounted = Grammar(replace(wader(), verbs=verbs))
    assert uncounted.snapshot(said("  a: 1")).complete


def test_a_second_line_of_one_name_is_not_understood(grammar: Grammar) -> None:
    snapshot = listed(grammar, "  a: 1", "  a: 2", count=1)
    assert snapshot.not_understood == ("  a: 2 (a second a)",)
    assert snapshot.settings["a"].value == Number(Decimal(1))


def test_an_empty_board_is_a_complete_listing_of_nothing(grammar: Grammar) -> None:
    assert listed(grammar).complete
    assert not listed(grammar, count=3).complete


@pytest.mark.parametrize(
    ("verdict", "error"),
    [
        (Verdict.REFUSED, RefusedError),
        (Verdict.DAMAGED, UnansweredError),
        (Verdict.UNANSWERED, UnansweredError),
    ],
)
def test_only_a_trusted_answer_is_read(
    grammar: Grammar, verdict: Verdict, error: type[BoardError]
) -> None:
    bad = said(verdict=verdict)
    for read in (grammar.snapshot, grammar.identity, grammar.readiness):
        with pytest.raises(error):
            read(bad)
    with pytest.raises(error):
        grammar.value("a", bad)


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
    assert grammar.value("a", said("a: up")) == Word("up")


@pytest.mark.parametrize("lines", [("b: 1",), ("a: 1", "a: 2"), (), ("a: 1", "b: 1")])
def test_anything_but_one_value_of_that_name_is_an_error(
    grammar: Grammar, lines: tuple[str, ...]
) -> None:
    with pytest.raises(BoardError, match="asked for a"):
        grammar.value("a", said(*lines))


# What is sent


def test_a_verb_becomes_a_command_with_its_manners(grammar: Grammar) -> None:
    keep = grammar.command("keep")
    assert (keep.line, keep.alone, keep.changes) == ("keep", True, True)
    assert keep.answer_within == 3.0
    assert not keep.restarts
    assert grammar.command("restart").restarts
    assert not grammar.command("list").changes


def test_a_verb_that_the_console_lacks_says_where_to_describe_it() -> None:
    bare = Grammar(replace(wader(), verbs={}))
    assert not bare.can("keep")
    with pytest.raises(UsageError, match="no way to keep") as caught:
        bare.command("keep")
    assert "verbs: keep:" in caught.value.hint


def test_a_write_is_rendered_in_the_spelling_of_the_console(grammar: Grammar) -> None:
    assert grammar.write("a.b", Switch(on=True)).line == "let a.b be yes"
    assert grammar.write("a.b", Text('x "y"')).line == r'let a.b be "x \"y\""'
    assert grammar.write("a.b", Number(Decimal("1.50"))).changes


NAMES = ("a;keep", "a\rkeep", "a\nkeep", "a\x15", "\u0430", "a b", "", "a\u200b")


@pytest.mark.parametrize("name", NAMES)
def test_a_name_can_never_become_another_line(grammar: Grammar, name: str) -> None:
    with pytest.raises(ValueError, match=r"cannot be written|read as something"):
        grammar.write(name, Word("up"))
    with pytest.raises(ValueError, match=r"cannot be written|read as something"):
        grammar.command("read", {"name": name})


@pytest.mark.parametrize("text", ["a;keep", "a\rkeep", "\u0430", "a\x15b"])
def test_a_value_can_never_become_another_line(grammar: Grammar, text: str) -> None:
    with pytest.raises(ValueError, match=r"^holds"):
        grammar.write("a", Text(text))


def test_a_line_longer_than_the_board_takes_is_refused_before_sending(
    grammar: Grammar,
) -> None:
    longest = wader().manner.longest_line
    room = longest - len('let a be ""')
    assert len(grammar.write("a", Text("x" * room)).line) == longest
    with pytest.raises(ValueError, match=f"longer than the {longest}"):
        grammar.write("a", Text("x" * (room + 1)))
    with pytest.raises(ValueError, match=f"longer than the {longest}"):
        grammar.command("read", {"name": "x" * longest})


@pytest.mark.parametrize(
    ("name", "moves"),
    [
        ("tilt.left.centre_us", Moves.SERVO),
        ("motor.left.idle_pct", Moves.MOTOR),
        ("output.p1.job", Moves.MOTOR),
        ("craft.name", Moves.NOTHING),
        ("Tilt.left.centre_us", Moves.NOTHING),
    ],
)
def test_a_setting_tells_what_moves_when_it_is_written(
    grammar: Grammar, name: str, moves: Moves
) -> None:
    assert grammar.moves(name) is moves
