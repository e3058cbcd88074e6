"""What a person reads when the bench is not as it should be: no traceback, ever."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.faces.hostile_board import board_saying, nobody_there
from tests.faces.running import (
    WITHIN_S,
    Aircraft,
    Workshop,
    aircraft,
    clean,
    first_line,
)

HOLDER = """
import fcntl, os, sys
fd = os.open(sys.argv[1], os.O_RDWR | os.O_NOCTTY)
fcntl.flock(fd, fcntl.LOCK_EX)
print("held", flush=True)
sys.stdin.read()
"""

Bench = tuple[Workshop, Aircraft]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    workshop = Workshop(tmp_path_factory.mktemp("bench"))
    with aircraft(workshop) as craft:
        yield workshop, craft


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def announce(workshop: Workshop, name: str, **facts: str) -> None:
    told = {"port": f"/dev/{name}", "pid": os.getpid(), "console": "wader", **facts}
    (workshop.simulated / f"{name}.json").write_text(json.dumps(told))


def test_moving_settings_are_refused_in_a_pipe_whatever_the_flags(bench: Bench) -> None:
    workshop, craft = bench
    before = craft.live()
    outcome = workshop.run("apply", "lw-03", "--yes", "--out", "kept")
    assert outcome.code == 2
    assert "nobody confirmed that hands are clear" in outcome.err
    assert "  tilt.left.centre_us: may move a servo" in outcome.err.splitlines()
    assert "Only what somebody types confirms this, no flag." in outcome.err
    assert craft.live() == before
    assert not (workshop.folder / "kept").exists()


def test_moving_settings_go_through_at_a_terminal_by_typing(bench: Bench) -> None:
    workshop, craft = bench
    code, said = workshop.at_terminal(
        "change",
        *("tilt.left.centre_us", "1492", "--reason", "one tooth over", "--yes"),
        answers={"Type 'hands clear'": "hands clear"},
    )
    assert code == 0
    assert "MAY MOVE A SERVO. one tooth over" in said
    kept = craft.order("kept tilt.left.centre_us")
    assert kept == {"tilt.left.centre_us": "1492"}


def test_another_word_at_the_terminal_moves_nothing(bench: Bench) -> None:
    workshop, craft = bench
    before = craft.live()
    code, said = workshop.at_terminal(
        "change",
        *("tilt.right.centre_us", "1493", "--reason", "trial", "--yes"),
        answers={"Type 'hands clear'": "yes", "or Enter to stop": ""},
    )
    assert code == 2
    assert "Nothing was written." in said
    assert craft.live() == before


def test_live_outputs_are_told_and_refused(bench: Bench) -> None:
    workshop, craft = bench
    craft.order("outputs live")
    try:
        told = workshop.run("identify").out
        refused = workshop.run("change", "pack.cells", "4", "--reason", "x", "--yes")
        outcome = workshop.run("apply", "lapwing", "--yes")
    finally:
        craft.order("outputs resting")
    assert "outputs   LIVE: props off, pack out" in told
    assert refused.out.startswith("Nothing to do")
    assert outcome.code == 2
    assert "are LIVE" in outcome.err


def test_a_refused_value_is_told_in_the_boards_words(bench: Bench) -> None:
    workshop, craft = bench
    before = craft.live()
    outcome = workshop.run("change", "pack.cells", "9", "--reason", "x", "--yes")
    assert outcome.code == 2
    assert "it refused: 9 is above 6" in outcome.err
    assert "every old value is back, read again and equal." in outcome.err
    assert craft.live() == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("change", "reed.height_mm", "1"), "the board has no such setting"),
        (("change", "board.number", "x"), "read-only"),
        (("change", "craft.call", "low; keep"), "';'"),
        (("change", "craft.call", "a\u202eb"), "U+202E"),
        (("change", "pack.cells", ""), "must be a number"),
        (("change", "tilt.bend_pct", "[1, 2"), "command line"),
    ],
)
def test_a_change_that_cannot_be_made_is_refused(
    bench: Bench, words: tuple[str, ...], told: str
) -> None:
    workshop, craft = bench
    before = craft.live()
    outcome = workshop.run(*words, "--reason", "trial", "--yes")
    assert outcome.code == 2
    assert told in outcome.err
    assert clean(outcome.err)
    assert craft.live() == before


def test_text_can_be_changed_to_nothing(bench: Bench) -> None:
    workshop, craft = bench
    name = "radio.channel9.name"
    assert workshop.run("change", name, "", "--reason", "unused", "--yes").code == 0
    assert craft.order(f"kept {name}") == {name: '""'}


def test_a_damaged_backup_is_refused_before_a_byte_is_sent(bench: Bench) -> None:
    workshop, craft = bench
    assert workshop.run("backup", "--out", "whole.yaml").code == 0
    text = (workshop.folder / "whole.yaml").read_text()
    (workshop.folder / "edited.yaml").write_text(text.replace("1550", "1551"))
    (workshop.folder / "cut.backup.yaml").write_text(text[:-200])
    craft.order("reset-counters")
    for file, why in (
        ("edited.yaml", "hash differs"),
        ("cut.backup.yaml", "cut short"),
    ):
        for verb in ("restore", "compare", "apply"):
            outcome = workshop.run(verb, file)
            assert outcome.code == 2, (verb, file)
            assert why in outcome.err
            assert "Nothing was sent to a board." in outcome.err
    assert craft.received() == 0


def test_a_profile_with_mistakes_is_refused_before_a_byte_is_sent(bench: Bench) -> None:
    workshop, craft = bench
    (workshop.folder / "bad.yaml").write_text("benchlink-profile: 1\nlayer: marsh\n")
    craft.order("reset-counters")
    outcome = workshop.run("apply", "bad.yaml", "--yes")
    assert outcome.code == 2
    assert "bad.yaml:2:" in outcome.err
    assert craft.received() == 0


def test_bytes_of_an_unknown_console_are_kept_as_they_came(bench: Bench) -> None:
    workshop, _ = bench
    assert workshop.run("identify").code == 0
    outcome = workshop.run("backup", "--raw", "recite", "--out", "raw.yaml", "--json")
    told = json.loads(outcome.out)
    assert (outcome.code, told["path"], told["full"]) == (0, "raw.yaml", False)
    text = (workshop.folder / "raw.yaml").read_text()
    assert "settings: 612\\r\\n" in text
    assert "end of settings: 612\\r\\n" in text
    read = workshop.run("restore", "raw.yaml")
    assert (read.code, read.out.startswith("Nothing to do")) == (0, True)
    assert "its bytes are read as 612 settings by today's description" in read.err


def test_a_silent_port_is_told(workshop: Workshop) -> None:
    with nobody_there() as port:
        outcome = workshop.run("identify", "--port", port, "--console", "wader")
    assert outcome.code == 2
    assert f"the board at {port} says nothing" in outcome.err
    assert "No power, wrong speed, or another console?" in outcome.err
    assert outcome.out == ""


def test_a_port_that_is_not_there_is_told_with_what_is(workshop: Workshop) -> None:
    announce(workshop, "tty-marsh", product="simulated aircraft", serial="44CB-9325")
    outcome = workshop.run("identify", "--port", "/dev/tty-reed")
    assert outcome.code == 2
    assert "there is no port /dev/tty-reed" in outcome.err
    assert "/dev/tty-marsh simulated aircraft 44CB-9325" in outcome.err


def test_two_boards_are_listed_and_one_must_be_named(workshop: Workshop) -> None:
    announce(workshop, "tty-left", serial="LW-01")
    announce(workshop, "tty-right", serial="LW-02")
    outcome = workshop.run("identify")
    assert outcome.code == 2
    assert "more than one board could be meant" in outcome.err
    assert "/dev/tty-left" in outcome.err
    assert "/dev/tty-right" in outcome.err
    assert "--port" in outcome.err


def test_a_port_in_use_names_the_program_that_holds_it(bench: Bench) -> None:
    workshop, craft = bench
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, craft.port],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as holder:
        assert first_line(holder) == "held"
        outcome = workshop.run("identify")
        assert holder.stdin is not None
        holder.stdin.close()
        holder.wait(WITHIN_S)
    assert outcome.code == 2
    assert f"{craft.port} is in use by" in outcome.err
    assert f"(process {holder.pid})" in outcome.err


def test_a_console_nobody_knows_is_refused_with_the_known_ones(bench: Bench) -> None:
    workshop, craft = bench
    craft.order("reset-counters")
    outcome = workshop.run("identify", "--console", "heron")
    assert outcome.code == 2
    assert "there is no console description 'heron'" in outcome.err
    assert "wader" in outcome.err
    assert craft.received() == 0


def test_a_board_nobody_has_named_a_console_for_is_not_spoken_to(
    workshop: Workshop,
) -> None:
    with nobody_there() as port:
        outcome = workshop.run("identify", "--port", port)
    assert outcome.code == 2
    assert "nobody has said what the board" in outcome.err
    assert "Nothing was sent." in outcome.err


def test_a_speed_that_no_port_has_is_refused(bench: Bench) -> None:
    workshop, _ = bench
    outcome = workshop.run("identify", "--baud", "7")
    assert (outcome.code, outcome.out) == (2, "")
    assert "7 baud is outside" in outcome.err


def test_a_restart_that_moves_the_port_is_followed(workshop: Workshop) -> None:
    change = ("change", "pack.cells", "4", "--reason", "as fitted", "--yes")
    with aircraft(workshop, "--reenumerate", "--settings", "80") as craft:
        craft.order("put pack.cells 3")
        craft.order("put pack.warn_v 14.0")
        craft.order("put pack.land_v 13.2")
        outcome = workshop.run(*change)
        assert craft.order("kept pack.cells") == {"pack.cells": "4"}
        again = workshop.run("identify").out
    assert outcome.code == 0
    assert "equal after the restart" in outcome.out
    assert f"port      {craft.port}" not in again


def test_a_cable_pulled_while_writing_is_told(workshop: Workshop) -> None:
    with aircraft(workshop, "--handling-us", "30000") as craft:
        running = workshop.start("apply", "lapwing", "--yes", "--wait", "0")
        craft.await_word("let ")
        craft.order("unplug")
        out, err = running.communicate(timeout=WITHIN_S)
        kept = craft.order("kept")
    assert running.returncode == 2
    assert f"{craft.port} went away while it was open" in err
    assert "Nothing was kept: a power cycle brings the kept values back." in err
    assert "Done" not in out
    assert "Traceback" not in err
    assert kept == {}


def test_bytes_cut_off_by_a_pulled_cable_are_not_kept_as_a_backup(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--baud", "9600") as craft:
        assert workshop.run("identify").code == 0
        running = workshop.start("backup", "--raw", "recite", "--out", "raw.yaml")
        craft.await_word("recite")
        craft.order("unplug")
        out, err = running.communicate(timeout=WITHIN_S)
    assert (running.returncode, out) == (2, "")
    assert "went away while it was open" in err
    assert "Nothing was kept." in err
    assert not (workshop.folder / "raw.yaml").exists()


def test_an_interrupt_while_writing_puts_everything_back(workshop: Workshop) -> None:
    with aircraft(workshop, "--handling-us", "30000") as craft:
        before = craft.live()
        running = workshop.start("apply", "lapwing", "--yes")
        craft.await_word("let ")
        running.send_signal(signal.SIGINT)
        _, err = running.communicate(timeout=WITHIN_S)
        after, kept = craft.live(), craft.order("kept")
    assert running.returncode == 130
    assert err.splitlines()[1:] == [
        "interrupted; interrupting again leaves it to the journal",
        "putting the old values back",
        "Nothing was kept; every old value is back, read again and equal.",
        "",
        "benchlink: interrupted",
    ]
    assert (after, kept) == (before, {})


PLATE = (
    b"type      wader\r\nlayout    \x1b]0;owned\x07twin\r\n"
    b"firmware  1.4\x1b[2J\xe2\x80\xae\r\nnumber    \x9b31mA\x00\r\ndone\r\n"
)
STATE = b"outputs   resting\r\nuptime_s  1.0\r\nholding back: \x1b[5mreeds\r\ndone\r\n"
RECITE = (
    b'settings: 2\r\n  craft.call: "\x1b[31mred\xe2\x80\xae"\r\n'
    b"  pack.cells: 4\x1b[8m\r\n\x1b[1mwhat is this\x9d\r\nend of settings: 2\r\ndone\r\n"
)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("identify",), 0),
        (("identify", "--json"), 0),
        (("backup", "--out", "odd.yaml"), 0),
        (("compare", "lapwing", "--every"), 1),
        (("change", "pack.cells", "5", "--reason", "x", "--yes"), 2),
    ],
)
def test_what_a_board_says_never_acts_on_a_terminal(
    workshop: Workshop, words: tuple[str, ...], code: int
) -> None:
    said = {
        "plate": PLATE,
        "state": STATE,
        "recite": RECITE,
        "let": b"sorry: \x1b[2Jno\xc2\x85\r\n",
    }
    with board_saying(said) as port:
        outcome = workshop.run(*words, "--port", port, "--console", "wader")
    assert outcome.code == code
    assert clean(outcome.out + outcome.err)
    assert len(outcome.out + outcome.err) > 40


def test_what_a_plugged_in_thing_calls_itself_never_acts_on_a_terminal(
    workshop: Workshop,
) -> None:
    announce(workshop, "tty-a", product="\x1b[2Jreed\u202e", serial="\x9b1")
    announce(workshop, "tty-b", product="runner")
    listed, asked = workshop.run("ports"), workshop.run("identify")
    assert r"\x1b[2Jreed\u202e" in listed.out
    assert r"\x1b[2Jreed\u202e" in asked.err
    assert clean(listed.out + asked.err)
    told = json.loads(workshop.run("ports", "--json").out)
    assert "\x1b[2Jreed\u202e" in [port["product"] for port in told]
