"""What can be typed, and what each verb takes from it."""

import pytest

from benchlink.faces.arguments import VERBS, Given, parser
from benchlink.faces.at_board import choice_of
from benchlink.faces.exit_codes import ExitCode


def given(*words: str) -> Given:
    return parser().parse_args(words, namespace=Given())


def test_no_words_at_all_mean_the_full_screen() -> None:
    nothing = given()
    assert nothing.verb is None
    assert (nothing.port, nothing.console, nothing.baud) == (None, None, None)


@pytest.mark.parametrize(
    "words",
    [
        ("--port", "/dev/tty-marsh", "--console", "wader", "identify"),
        ("identify", "--port", "/dev/tty-marsh", "--console", "wader"),
        ("--port", "/dev/tty-marsh", "identify", "--console", "wader"),
    ],
)
def test_the_board_may_be_named_before_or_after_the_verb(
    words: tuple[str, ...],
) -> None:
    choice = choice_of(given(*words))
    assert (choice.port, choice.console) == ("/dev/tty-marsh", "wader")


def test_what_stands_after_the_verb_wins() -> None:
    assert given("--baud", "9600", "identify", "--baud", "115200").baud == 115_200


def test_a_change_takes_a_value_that_looks_like_a_number_below_zero() -> None:
    words = given("change", "mount.pitch_deg", "-1.5", "--reason", "wedge")
    assert (words.name, words.value, words.reason) == (
        "mount.pitch_deg",
        "-1.5",
        "wedge",
    )


@pytest.mark.parametrize(
    "words",
    [
        ("change", "pack.cells", "4"),
        ("change", "pack.cells", "--reason", "x"),
        ("compare", "lapwing", "--factory"),
        ("compare", "--owner", "nobody"),
        ("compare", "--state", "refused"),
        ("restore",),
        ("draft", "marsh"),
        ("backup", "--factory", "--raw", "recite"),
        ("lint",),
        ("fly",),
        ("centre", "left", "--plan-only"),
        ("centre", "left", "--try", "5"),
        ("throw", "left", "--plan-only"),
        ("throw", "left", "--try", "5"),
        ("throw", "left", "--servo", "unknown"),
        ("identify", "--baud", "fast"),
        ("compare", "lapwing", "--yes"),
    ],
)
def test_what_cannot_be_meant_ends_with_the_code_for_trouble(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        given(*words)
    assert ended.value.code == ExitCode.TROUBLE
    assert "usage: benchlink" in capsys.readouterr().err


def test_nothing_is_agreed_to_by_default() -> None:
    for verb in ("apply", "restore"):
        words = given(verb, "lapwing")
        assert not words.yes
        assert not words.plan_only


def test_every_verb_has_a_module_that_runs_it() -> None:
    from importlib import import_module  # noqa: PLC0415 - only here

    for name, _ in VERBS:
        module = import_module(f"benchlink.faces.verbs.{name}")
        assert callable(module.run)
