"""The job without the full screen: line after line, for whoever has it read out."""

import re
from pathlib import Path
from typing import Final

import pytest

from tests.faces.running import Workshop, aircraft

DRAWN_OVER: Final = re.compile(r"\r(?!\n)|\x1b|\x08")
"""What moves the cursor back, colours or erases (ECMA-48); a line may end CR LF."""
TOLD: Final = {0, 1}
"""Told; and with 1, that something is still to be done."""
CLEAR: Final = {"hands clear": "hands clear", "[yes/no]": "yes"}
CHANGE: Final = ("change", "pack.capacity_mah", "1800", "--reason", "a big pack")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    workshop = Workshop(tmp_path)
    workshop.environment["TERM"] = "dumb"
    return workshop


@pytest.mark.parametrize("words", [("job",), ("backup",), ("readings",)])
def test_what_only_reads_tells_it_line_by_line(
    workshop: Workshop, words: tuple[str, ...]
) -> None:
    with aircraft(workshop, "--settings", "60"):
        code, said = workshop.at_terminal(*words, answers={})
        assert code in TOLD, said
        assert not DRAWN_OVER.search(said), said


def test_a_change_says_each_of_its_steps_once(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60"):
        code, said = workshop.at_terminal(*CHANGE, answers=CLEAR)
        assert code == 0, said
        assert not DRAWN_OVER.search(said), said
        assert said.count("writing ...") == 1


def test_the_steps_name_what_does_the_next_one_and_a_pipe_gets_lines_too(
    workshop: Workshop,
) -> None:
    workshop.environment["TERM"] = "xterm"
    with aircraft(workshop, "--settings", "60"):
        done = workshop.run("job")
        assert "`benchlink job done papers` writes it" in " ".join(done.out.split())
        assert not DRAWN_OVER.search(done.out + done.err)


def test_the_full_screen_is_refused_and_says_where_to_go(workshop: Workshop) -> None:
    code, said = workshop.at_terminal(answers={})
    assert code == 2
    told = " ".join(said.split())
    assert "needs a terminal that it can draw on" in told
    assert "`benchlink job` prints the steps, and what does the next one" in told
    assert not DRAWN_OVER.search(said)
