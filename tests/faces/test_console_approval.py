"""A console description says what is sent, so a person approves it once, by its hash."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faces.running import CHECKOUT, Aircraft, Workshop, aircraft

SHIPPED = CHECKOUT / "profiles" / "consoles" / "wader.yaml"
OWN = "own-wader.yaml"


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[tuple[Workshop, Aircraft]]:
    workshop = Workshop(tmp_path)
    (tmp_path / OWN).write_bytes(SHIPPED.read_bytes())
    with aircraft(workshop, "--settings", "60") as craft:
        yield workshop, craft


Bench = tuple[Workshop, Aircraft]


def test_a_new_description_is_refused_in_a_pipe_before_a_byte_is_sent(
    bench: Bench,
) -> None:
    workshop, craft = bench
    outcome = workshop.run("identify", "--console", OWN)
    assert outcome.code == 2
    assert f"{OWN} is not approved" in outcome.err
    assert "    write      let {name} be {value}" in outcome.err.splitlines()
    assert "Nothing was sent." in outcome.err
    assert craft.received() == 0
    assert not (workshop.home / "consoles.yaml").exists()


def test_a_no_at_the_terminal_sends_nothing(bench: Bench) -> None:
    workshop, craft = bench
    code, said = workshop.at_terminal(
        "identify", "--console", OWN, answers={"Let it talk": "no"}
    )
    assert code == 2
    assert "is not approved" in said
    assert craft.received() == 0


def test_an_approved_description_is_remembered_until_it_changes(bench: Bench) -> None:
    workshop, craft = bench
    words = ("identify", "--console", OWN)
    code, said = workshop.at_terminal(*words, answers={"Let it talk": "yes"})
    assert code == 0
    assert "board     wader" in said
    assert workshop.run(*words).code == 0

    with (workshop.folder / OWN).open("a") as file:
        file.write("# one more line\n")
    craft.order("reset-counters")
    assert workshop.run(*words).code == 2
    assert craft.received() == 0


def test_a_shipped_description_needs_no_approval(bench: Bench) -> None:
    workshop, _ = bench
    assert workshop.run("identify", "--console", "wader").code == 0


def test_a_description_with_mistakes_is_refused_with_its_lines(bench: Bench) -> None:
    workshop, craft = bench
    text = SHIPPED.read_text().replace("wake: abandon", "wake: shouting")
    (workshop.folder / OWN).write_text(text)
    outcome = workshop.run("identify", "--console", OWN)
    assert outcome.code == 2
    assert f"{OWN}:7:" in outcome.err
    assert craft.received() == 0
