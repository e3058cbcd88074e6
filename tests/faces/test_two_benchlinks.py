"""A second benchlink on one board says who has it, by whatever path it comes."""

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from benchlink.errors import HeldError
from benchlink.store.locks import hold
from tests.faces.running import WITHIN_S, Aircraft, Workshop, aircraft

SLOW = ("--baud", "1200", "--settings", "200")
"""A backup of this takes longer than any test."""
FIRST = ("backup", "--note", "takes its time")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


@contextmanager
def held(workshop: Workshop, craft: Aircraft) -> Iterator[subprocess.Popen[str]]:
    """A first benchlink that is at the board already."""
    with workshop.start(*FIRST, "--port", craft.port) as first:
        try:
            craft.await_word("plate")
            yield first
        finally:
            first.kill()
            first.communicate(timeout=WITHIN_S)


def refused(workshop: Workshop, port: str, first: subprocess.Popen[str]) -> str:
    outcome = workshop.run("identify", "--port", port, "--console", "wader")
    assert outcome.code == 2
    told, hint = outcome.err.splitlines()
    assert told.startswith(
        f"benchlink: the board at {port} is in use by `benchlink backup` at "
    )
    assert f", process {first.pid}, since " in told
    assert hint.startswith("Nothing was sent.")
    return told


def test_the_second_names_the_first_its_verb_and_its_port(workshop: Workshop) -> None:
    with aircraft(workshop, *SLOW) as craft, held(workshop, craft) as first:
        craft.order("reset-counters")
        assert f" at {craft.port}, process" in refused(workshop, craft.port, first)


def test_another_path_to_the_same_port_is_no_way_round(workshop: Workshop) -> None:
    link = workshop.folder / "by-id"
    with aircraft(workshop, *SLOW) as craft, held(workshop, craft) as first:
        link.symlink_to(craft.port)
        assert f" at {craft.port}, " in refused(workshop, str(link), first)


def test_a_network_port_is_one_board_by_all_its_names(workshop: Workshop) -> None:
    with aircraft(workshop, "--wire", "tcp", *SLOW) as craft:
        number = craft.port.rpartition(":")[2]
        with held(workshop, craft) as first:
            for url in (
                craft.port,
                f"socket://localhost:{number}",
                f"rfc2217://127.0.0.1:{number}",
            ):
                assert f" at {craft.port}, " in refused(workshop, url, first)
            assert first.poll() is None


def test_a_benchlink_that_was_killed_holds_nothing(workshop: Workshop) -> None:
    with aircraft(workshop, "--wire", "tcp", "--settings", "80") as craft:
        craft.order("put pack.cells 3")
        with held(workshop, craft):
            pass
        outcome = workshop.run("identify")

    assert outcome.code == 0, outcome.err
    assert not list((workshop.home / "locks").iterdir())


def test_two_boards_are_worked_on_side_by_side(workshop: Workshop) -> None:
    other = aircraft(workshop, "--settings", "80")
    with aircraft(workshop, *SLOW) as left, held(workshop, left), other as right:
        assert workshop.run("identify", "--port", right.port).code == 0


def test_where_the_lock_cannot_be_kept_it_is_said_and_the_work_goes_on(
    workshop: Workshop,
) -> None:
    (workshop.home / "locks").write_text("no folder")
    with aircraft(workshop, "--settings", "80"):
        outcome = workshop.run("identify")

    assert outcome.code == 0
    assert "A second benchlink is not kept out of " in outcome.err


def test_the_folder_of_an_aircraft_is_changed_by_one_at_a_time(
    workshop: Workshop,
) -> None:
    folder = workshop.folder / "aircraft" / "LW-04"
    folder.mkdir(parents=True)
    with aircraft(workshop, "--settings", "80"), hold(folder, "`benchlink apply`"):
        outcome = workshop.run("aircraft", "LW-04")
        backup = workshop.run("backup")
        assert not (folder / "aircraft.yaml").exists()
        with pytest.raises(HeldError), hold(folder, "another"):
            pass

    assert (outcome.code, backup.code) == (2, 0)
    assert "LW-04 is in use by `benchlink apply`, process" in outcome.err
