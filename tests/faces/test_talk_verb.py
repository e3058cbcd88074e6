"""`benchlink talk` at a real terminal and in a pipe, with the simulated aircraft."""

import os
import pty
import re
import select
import signal
import subprocess
from pathlib import Path

import pytest

from tests.faces.running import WITHIN_S, Aircraft, Outcome, Workshop, aircraft, command
from tests.faces.scripted_terminal import Step, at_terminal, nothing

AGAIN = "Type the line again"
HANDS = "Type 'hands clear'"
LEAVES = "..leave"
ESCAPES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\r")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    shop = Workshop(tmp_path)
    # Nobody answers where the cursor is: this terminal only reads.
    shop.environment |= {"PROMPT_TOOLKIT_NO_CPR": "1", "TERM": "xterm"}
    return shop


def talk(
    workshop: Workshop, *steps: tuple[str, str], words: tuple[str, ...] = ()
) -> str:
    """Type one thing after the other, each once its prompt stands there."""
    played: list[Step] = [(prompt, nothing, typed) for prompt, typed in steps]
    code, said = at_terminal(workshop, ("talk", *words), played)
    assert code == 0, said
    return ESCAPES.sub("", said)


def lines_of(craft: Aircraft) -> list[str]:
    """What the board was told, but for the questions of the tool itself."""
    received = craft.order("received")["received"]
    assert isinstance(received, list)
    return [str(line) for line in received]


def piped(workshop: Workshop, *lines: str, words: tuple[str, ...] = ()) -> Outcome:
    done = subprocess.run(
        command("talk", *words),
        cwd=workshop.folder,
        env=workshop.environment,
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        text=True,
        timeout=WITHIN_S,
        check=False,
    )
    assert "Traceback" not in done.stdout + done.stderr
    return Outcome(code=done.returncode, out=done.stdout, err=done.stderr)


def test_a_talk_from_the_greeting_to_what_was_changed(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "90") as craft:
        said = talk(
            workshop,
            ("wader>", "plate"),
            ("done", "let tilt.left.centre_us be 1510"),
            (HANDS, "hands clear"),
            ("done", "whirl left at 5 for 100"),
            ("benchlink spin", "let tilt.left.rate_hz be 60"),
            ("done", LEAVES),
        )
        received = lines_of(craft)
        assert craft.live()["tilt.left.centre_us"] == "1510"
    assert re.search(r"\d\d:\d\d:\d\d > plate\ntype      wader\n", said)
    assert "NOT SENT: `whirl left at 5 for 100` may spin a motor" in said
    assert "2 settings are not as before:" in said
    assert "tilt.left.rate_hz  50 -> 60" in said
    assert "NOT KEPT" in said
    assert not any("whirl" in line for line in received)
    history = (workshop.home / "talk" / "wader").read_text()
    assert "whirl left at 5 for 100" in history
    assert "hands clear" not in history


def test_program_messages_are_seen_through_by_short_forms_and_separators(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "90", "--console", "scoter") as craft:
        said = talk(
            workshop,
            ("scoter>", "*idn?"),
            ("scoter,", "OUTP:STAT?;SPIN LEFT,0.05,0.5"),
            ("NOT SENT", "*IDN?;:outp:driv 1,0.0015,1"),
            ("NOT SENT", ":tilt:left:rate 60"),
            (":rate 60", ":TILT:LEFT:RATE?"),
            ("60", LEAVES),
        )
        received = lines_of(craft)
    assert ":TILT:LEFT:RATE  50 -> 60" in said
    assert not any("SPIN" in line or "driv" in line for line in received)


def test_the_last_line_is_not_done_again_once_it_moved_something(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "90", "--console", "avocet") as craft:
        said = talk(
            workshop,
            ("avocet>", "AT+GMR"),
            ("OK", "A/"),
            ("OK", "AT+TLC=1510"),
            (HANDS, "hands clear"),
            ("OK", "A/"),
            ("does the last line again", LEAVES),
        )
        assert craft.live()["tilt.left.centre_us"] == "1510"
    assert "NOT SENT: `A/` does the last line again, and that one may move a s" in said
    assert said.count("> A/") == 1


def test_a_console_without_prompt_or_echo(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "90", "--console", "knot") as craft:
        said = talk(
            workshop,
            ("knot>", "able?"),
            ("ok", "log-rate hz 0"),
            ("NOT SENT", "tilt-L hz 60"),
            ("ok", LEAVES),
        )
        assert not any("log-rate" in line for line in lines_of(craft))
    assert "stops for good" in said
    assert "tilt-L hz  50 -> 60" in said


def test_an_undescribed_board_gets_each_line_typed_again_or_nothing(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        # It has booted once it says who it is: nothing else comes between then.
        assert workshop.run("identify").code == 0
        before = len(lines_of(craft))
        craft.order("reset-counters")
        (workshop.simulated / "x.json").unlink()
        said = talk(
            workshop,
            ("board>", "plate"),
            (AGAIN, "plate"),
            ("done", "whirl left at 5 for 100\nwhirl left at 5 for 100"),
            (AGAIN, "no"),
            ("NOT SENT", "..enter"),
            (AGAIN, "enter"),
            ("> ", LEAVES),
            words=("--port", craft.port),
        )
        assert lines_of(craft)[before:] in (["plate", ""], ["plate"])
        assert craft.received() == len("plate\r\r")
    assert "Nobody has described what the board at" in said
    assert "props off, pack out" in said
    assert "nobody knows what was changed" in said
    assert not (workshop.home / "talk").exists(), "a secret may be among it"


def test_in_a_pipe_lines_that_tell_something_are_answered(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60"):
        outcome = piped(workshop, "plate", "", "words;state")
    assert outcome.code == 0
    assert "type      wader" in outcome.out
    assert "maker's plate" in outcome.out
    assert "All settings are as they were before." in outcome.err


@pytest.mark.parametrize(
    "line", ["whirl left at 5 for 100", "keep", "restart", "blorp", "a\x15b"]
)
def test_in_a_pipe_the_first_other_line_ends_it(workshop: Workshop, line: str) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        outcome = piped(workshop, "plate", line, "lamp 5")
        received = lines_of(craft)
    assert outcome.code == 2
    assert "line 2 is not sent" in outcome.err
    assert "Nothing after it was sent either." in outcome.err
    assert line not in received
    assert "lamp 5" not in received


def test_a_line_that_the_board_refuses_is_no_success_in_a_pipe(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "60"):
        outcome = piped(workshop, "recite no.such.thing", "plate")
    assert outcome.code == 2
    assert "sorry: " in outcome.out
    assert "type      wader" in outcome.out


def test_nothing_is_sent_to_an_undescribed_board_from_a_pipe(
    workshop: Workshop,
) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        (workshop.simulated / "x.json").unlink()
        outcome = piped(workshop, "plate", words=("--port", craft.port))
        assert outcome.code == 2
        assert craft.received() == 0


def test_a_recording_holds_what_was_said_both_ways(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60"):
        piped(workshop, "words", words=("--record", "talk.jsonl"))
    text = (workshop.folder / "talk.jsonl").read_text()
    assert "words" in text
    assert "maker's plate" in text


def test_a_cable_that_comes_out_ends_the_talk_in_words(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        code, said = at_terminal(
            workshop,
            ("talk",),
            [
                ("wader>", nothing, "plate"),
                ("done", lambda: craft.order("unplug"), "plate"),
            ],
        )
    assert code == 2
    assert "Traceback" not in said
    assert "went away" in ESCAPES.sub("", said)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_polite_kill_ends_it_at_the_prompt(workshop: Workshop, number: int) -> None:
    master, slave = pty.openpty()
    with (
        aircraft(workshop, "--settings", "60"),
        subprocess.Popen(
            command("talk"),
            cwd=workshop.folder,
            env=workshop.environment,
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
        ) as process,
    ):
        os.close(slave)
        try:
            said = b""
            while b"wader>" not in said:
                assert select.select([master], [], [], WITHIN_S)[0], said
                said += os.read(master, 65536)
            process.send_signal(number)
            assert process.wait(WITHIN_S) == 130
        finally:
            process.kill()
            os.close(master)
