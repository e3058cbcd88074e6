"""`backup --raw`: quick for a line that only tells something, held for any other."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faces.running import Aircraft, Workshop, aircraft

AGAIN = "Type the line again"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[tuple[Workshop, Aircraft]]:
    workshop = Workshop(tmp_path)
    with aircraft(workshop, "--settings", "60") as craft:
        yield workshop, craft


Bench = tuple[Workshop, Aircraft]


def undescribed(bench: Bench) -> tuple[Workshop, Aircraft]:
    """The same board, but nothing says what it speaks."""
    workshop, craft = bench
    (workshop.simulated / "x.json").unlink()
    return workshop, craft


def test_a_line_that_the_description_knows_is_sent_at_once(bench: Bench) -> None:
    workshop, _ = bench
    outcome = workshop.run("backup", "--raw", "recite;words", "--out", "raw.yaml")
    assert outcome.code == 0
    assert outcome.err.startswith("Waiting for what ")
    assert outcome.err.count("\n") == 1


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("restart", "`restart` restarts the board"),
        ("plate; start over", "`plate; start over` loses settings"),
        ("whirl left at 5 for 100", "may spin a motor"),
        ("let tilt.left.centre_us be 1600", "may move a servo"),
    ],
)
def test_a_line_that_acts_is_refused_and_no_flag_helps(
    bench: Bench, line: str, told: str
) -> None:
    workshop, craft = bench
    outcome = workshop.run("backup", "--raw", line, "--out", "raw.yaml")
    assert outcome.code == 2
    assert told in outcome.err
    assert "Nothing was sent." in outcome.err
    assert workshop.run("backup", "--raw", line, "--yes").code == 2
    assert craft.received() == 0
    assert not (workshop.folder / "raw.yaml").exists()


def test_a_line_nobody_knows_is_typed_again(bench: Bench) -> None:
    workshop, craft = bench
    words = ("backup", "--raw", "lamp 5", "--out", "raw.yaml")
    assert workshop.run(*words).code == 2
    code, said = workshop.at_terminal(*words, answers={AGAIN: "yes"})
    assert code == 2
    assert "The console 'wader' does not know `lamp 5`." in said
    assert craft.received() == 0
    code, said = workshop.at_terminal(*words, answers={AGAIN: "lamp 5"})
    assert code == 0
    assert craft.received() == len("lamp 5\r")


def test_on_an_undescribed_board_every_line_is_typed_again(bench: Bench) -> None:
    workshop, craft = undescribed(bench)
    words = ("backup", "--port", craft.port, "--raw", "recite", "--out", "raw.yaml")
    outcome = workshop.run(*words)
    assert outcome.code == 2
    assert "`recite` was not typed again" in outcome.err
    assert "Nothing was sent. Run this at a terminal" in outcome.err
    assert craft.received() == 0
    code, said = workshop.at_terminal(*words, answers={AGAIN: "recite"})
    assert code == 0
    assert "props off, pack out" in said
    assert "not understood yet" in said


def test_a_key_is_sent_alone_once_it_was_typed_again(bench: Bench) -> None:
    workshop, craft = undescribed(bench)
    words = ("backup", "--port", craft.port, "--raw-key", "0x15", "--out", "raw.yaml")
    assert workshop.run(*words).code == 2
    assert craft.received() == 0
    code, said = workshop.at_terminal(*words, answers={AGAIN: "0x15"})
    assert code == 0
    assert craft.received() == 1
    assert "5 s for the first byte" in said
    # How much was waiting in the port, and came before the quiet, depends on the load.
    assert "not understood yet" in said


@pytest.mark.parametrize("key", ["", "ab", "0x1", "\xe9"])
def test_what_is_not_one_key_is_refused(bench: Bench, key: str) -> None:
    workshop, craft = bench
    outcome = workshop.run("backup", "--raw-key", key)
    assert outcome.code == 2
    assert "is not one key" in outcome.err
    assert craft.received() == 0
