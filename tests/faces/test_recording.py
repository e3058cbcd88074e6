"""A session written down, and played again without a board."""

import json
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from benchlink.store.backups import load
from tests.faces.running import CHECKOUT, WITHIN_S, Aircraft, Workshop, aircraft

RECORDING = "marsh.jsonl"
REPLAY = ("--port", f"replay://{RECORDING}")
LOGIN = {"User of the board": "bench", "Word of that user": "reed"}
OPEN_CONSOLES = ("wader", "turnstone", "knot", "scoter", "avocet")

Bench = tuple[Workshop, Aircraft]


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bench]:
    workshop = Workshop(tmp_path_factory.mktemp("bench"))
    with aircraft(workshop, "--settings", "80") as craft:
        yield workshop, craft


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def lines(workshop: Workshop, name: str = RECORDING) -> list[dict[str, object]]:
    text = (workshop.folder / name).read_text(encoding="ascii")
    return [json.loads(line) for line in text.splitlines()]


def settings(workshop: Workshop, name: str) -> dict[str, str]:
    snapshot = load(workshop.folder / name).snapshot
    return {name: setting.raw for name, setting in snapshot.settings.items()}


@pytest.mark.parametrize("console", OPEN_CONSOLES)
def test_a_recorded_backup_can_be_taken_again_without_the_board(
    workshop: Workshop, console: str
) -> None:
    with aircraft(workshop, "--console", console, "--settings", "80"):
        first = workshop.run("backup", "--record", RECORDING, "--out", "first.yaml")
    again = workshop.run("backup", *REPLAY, "--out", "again.yaml")
    who = workshop.run("identify", *REPLAY)

    assert (first.code, again.code, who.code) == (0, 0, 0), again.err + who.err
    assert settings(workshop, "again.yaml") == settings(workshop, "first.yaml")
    assert f"board     {console}" in who.out
    kept = load(workshop.folder / "again.yaml")
    assert kept.taken_at.isoformat() == lines(workshop)[0]["started"]
    assert kept.note == f"(from replay://{RECORDING})"


def test_a_login_is_recorded_without_its_secret_and_replayed_without_asking(
    workshop: Workshop,
) -> None:
    recorded = ("backup", "--record", RECORDING, "--out", "first.yaml")
    with aircraft(workshop, "--console", "dunlin", "--settings", "80"):
        code, _ = workshop.at_terminal(*recorded, answers=LOGIN)
    again = workshop.run("backup", *REPLAY, "--out", "again.yaml")

    text = (workshop.folder / RECORDING).read_text()
    assert code == 0
    assert "reed" not in text
    assert lines(workshop)[0]["told"] == {"user": "bench"}
    assert {"sent": "<word withheld>\r"}.items() <= next(
        line.items() for line in lines(workshop) if "withheld>" in str(line)
    )
    assert again.code == 0, again.err
    assert settings(workshop, "again.yaml") == settings(workshop, "first.yaml")


def test_a_whole_change_is_replayed_through_its_restart_and_new_port(
    workshop: Workshop,
) -> None:
    change = ("change", "pack.cells", "4", "--reason", "as fitted", "--yes")
    moving = ("--wire", "tcp", "--reenumerate", "--settings", "80")
    with aircraft(workshop, *moving) as craft:
        for order in ("cells 3", "warn_v 14.0", "land_v 13.2"):
            craft.order(f"put pack.{order}")
        first = workshop.run(*change, "--record", RECORDING)
    again = workshop.run(*change, *REPLAY, "--console", "wader", "--out", "again")

    assert (first.code, again.code) == (0, 0), first.err + again.err
    assert "equal after the restart" in again.out
    marks = [line["mark"] for line in lines(workshop) if "mark" in line]
    # The old port may still take a client for a moment, and is lost once more then.
    assert (marks[0], marks[-1]) == ("opened", "reopened")
    assert set(marks) == {"opened", "restarted", "lost", "reopened"}


def test_compare_works_on_a_recorded_backup_and_another_line_is_refused(
    bench: Bench,
) -> None:
    workshop, _ = bench
    name = "compared.jsonl"
    assert workshop.run("backup", "--record", name).code == 0
    compared = workshop.run("compare", "lapwing", "--port", f"replay://{name}")
    beyond = workshop.run(
        *("change", "steady.pitch.gain", "1.7", "--reason", "x", "--yes"),
        *("--port", f"replay://{name}"),
    )

    assert compared.code == 1
    assert "against Lapwing baseline" in compared.out
    count = lines(workshop, name)[-1]["entries"]
    assert beyond.code == 2
    assert f"it ends with entry {count}, and nothing more was sent" in beyond.err
    assert "  sent:     " in beyond.err
    assert "Nothing reached a board." in beyond.err


def test_a_raw_backup_is_recorded_and_replayed_too(bench: Bench) -> None:
    workshop, _ = bench
    raw = ("backup", "--raw", "plate")
    first = workshop.run(*raw, "--record", "raw.jsonl", "--out", "raw-1.yaml")
    again = workshop.run(*raw, "--port", "replay://raw.jsonl", "--out", "raw-2.yaml")
    other = workshop.run("backup", "--raw", "state", "--port", "replay://raw.jsonl")

    assert (first.code, again.code, other.code) == (0, 0, 2)
    one, two = (load(workshop.folder / f"raw-{n}.yaml").snapshot for n in (1, 2))
    assert one.verbatim == two.verbatim
    assert 'recorded: "plate\\r"' in other.err


def test_a_file_that_is_there_is_refused_before_a_byte_is_sent(bench: Bench) -> None:
    workshop, craft = bench
    (workshop.folder / "mine.jsonl").write_text("mine")
    craft.order("reset-counters")
    outcome = workshop.run("identify", "--record", "mine.jsonl")

    assert outcome.code == 2
    assert "mine.jsonl is there already" in outcome.err
    assert craft.received() == 0
    assert (workshop.folder / "mine.jsonl").read_text() == "mine"


def test_a_port_that_does_not_open_leaves_no_recording(workshop: Workshop) -> None:
    missing = ("--port", "socket://127.0.0.1:1", "--console", "wader")
    assert workshop.run("identify", *missing, "--record", RECORDING).code == 2
    assert not (workshop.folder / RECORDING).exists()


def test_a_killed_session_leaves_a_recording_up_to_there(workshop: Workshop) -> None:
    with aircraft(workshop, "--baud", "9600", "--settings", "200") as craft:
        running = workshop.start("backup", "--record", RECORDING)
        craft.await_word("recite")
        file = workshop.folder / RECORDING
        until, pause = time.monotonic() + WITHIN_S, threading.Event()
        while "recite" not in file.read_text() and time.monotonic() < until:
            pause.wait(0.02)
        running.send_signal(signal.SIGKILL)
        running.communicate(timeout=WITHIN_S)
    checked = workshop.run("lint", RECORDING)
    who = workshop.run("identify", *REPLAY)
    again = workshop.run("backup", *REPLAY)

    assert (checked.code, who.code, again.code) == (0, 0, 2), again.err
    assert "CUT OFF" in checked.out
    assert "it is cut off after entry" in again.err


def test_an_edited_recording_is_refused_with_its_line(bench: Bench) -> None:
    workshop, _ = bench
    assert workshop.run("identify", "--record", "edited.jsonl").code == 0
    file = workshop.folder / "edited.jsonl"
    file.write_text(file.read_text().replace("1.4.2", "1.4.3"))
    outcome = workshop.run("identify", "--port", "replay://edited.jsonl")

    assert outcome.code == 2
    assert f"edited.jsonl:{len(lines(workshop, 'edited.jsonl'))}:1" in outcome.err
    assert "another hash" in outcome.err


def test_a_description_is_held_against_a_recording(bench: Bench) -> None:
    workshop, _ = bench
    wader = str(CHECKOUT / "profiles" / "consoles" / "wader.yaml")
    assert workshop.run("backup", "--record", "told.jsonl").code == 0
    outcome = workshop.run("lint", wader, "--against", "told.jsonl", "--json")

    told = json.loads(outcome.out)
    assert told["understood"] == told["lines"] > 160
    assert told["wrong_as_a_whole"] == []
    assert len(told["settings"]) == 80


def test_a_recording_by_a_description_nobody_knows_here_asks_for_it(
    bench: Bench, tmp_path: Path
) -> None:
    workshop, _ = bench
    own = (CHECKOUT / "profiles" / "consoles" / "wader.yaml").read_text()
    (workshop.folder / "heron.yaml").write_text(
        own.replace("name: wader", "name: heron")
    )
    words = ("identify", "--console", "heron.yaml", "--record", "heron.jsonl")
    assert workshop.at_terminal(*words, answers={"Let it talk": "yes"})[0] == 0
    play = ("identify", "--port", "replay://heron.jsonl")
    known = workshop.run(*play)
    elsewhere = Workshop(tmp_path)
    for name in ("heron.jsonl", "heron.yaml"):
        (tmp_path / name).write_bytes((workshop.folder / name).read_bytes())
    unknown = elsewhere.run(*play)
    named = elsewhere.run(*play, "--console", "heron.yaml")

    assert (known.code, unknown.code, named.code) == (0, 2, 0), known.err
    assert "made with 'heron', and no such description is known here" in unknown.err
    assert not (elsewhere.home / "consoles.yaml").exists()


def test_a_rehearsal_is_recorded_and_serving_one_is_not(workshop: Workshop) -> None:
    whole = workshop.run("rehearse", "--record", RECORDING)
    served = workshop.run("rehearse", "--serve", "--record", "other.jsonl")

    assert (whole.code, served.code) == (0, 2)
    assert lines(workshop)[-1]["end"] == "complete"
    assert "opens no board" in served.err
