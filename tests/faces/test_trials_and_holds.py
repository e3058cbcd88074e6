"""Values on trial and values for the bench, at a real terminal."""

import json
import os
import pty
from contextlib import suppress
from pathlib import Path

import pytest

from benchlink.core.advance import Advance
from benchlink.faces.plain_person import PlainPerson
from benchlink.units import Seconds
from tests.faces.running import Aircraft, Workshop, aircraft

CHANGE = ("change", "pack.capacity_mah", "1800", "--reason", "a big pack", "--yes")


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def kept(craft: Aircraft) -> object:
    return craft.order("kept pack.capacity_mah")


def test_what_is_tried_is_kept_on_the_typed_word(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        code, said = workshop.at_terminal(
            *CHANGE, "--try", "1", answers={"or anything else": "keep"}
        )
        assert code == 0, said
        assert "kept, and equal after the restart" in said
        assert kept(craft) == {"pack.capacity_mah": "1800"}


def test_another_word_puts_it_back(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        before = craft.live()
        code, said = workshop.at_terminal(
            *CHANGE, "--try", "1", answers={"or anything else": "no"}
        )
        assert code == 2
        assert "every old value is back" in said
        assert craft.live() == before


def test_in_a_pipe_nobody_can_say_keep(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        before = craft.live()
        outcome = workshop.run(*CHANGE, "--try", "0.1")
        assert outcome.code == 2
        assert "nobody said that the new values shall be kept" in outcome.err
        assert craft.live() == before


def test_a_held_value_goes_back_at_enter(workshop: Workshop) -> None:
    with aircraft(workshop, "--settings", "60") as craft:
        before = craft.live()
        code, said = workshop.at_terminal(
            "hold", "pack.capacity_mah=900", answers={"Enter puts": ""}
        )
        assert code == 0, said
        assert "pack.capacity_mah is 900 for now, and not kept" in said
        assert craft.live() == before


def test_in_a_pipe_nothing_is_held(workshop: Workshop) -> None:
    outcome = workshop.run("hold", "pack.capacity_mah=900")
    assert outcome.code == 2
    assert "nobody can here" in outcome.err


def test_a_damaged_journal_is_in_the_way_until_it_is_put_away(
    workshop: Workshop,
) -> None:
    folder = workshop.home / "journals"
    folder.mkdir()
    (folder / "x.journal.jsonl").write_text("{torn", encoding="utf-8")
    with aircraft(workshop, "--settings", "60"):
        outcome = workshop.run(*CHANGE)
        assert outcome.code == 2
        assert "a journal is damaged" in outcome.err
        assert workshop.run("unfinished", "--forget", "x.journal.jsonl").code == 2
        code, said = workshop.at_terminal(
            "unfinished", "--forget", "x.journal.jsonl", answers={"Forget this?": "yes"}
        )
        assert code == 0, said
        assert workshop.run(*CHANGE).code == 0
    assert json.loads(workshop.run("unfinished", "--json").out) == {"unfinished": []}


def test_a_terminal_that_was_closed_stops_no_sentence() -> None:
    master, slave = pty.openpty()
    stderr = os.fdopen(slave, "w")
    person = PlainPerson(stderr=stderr)
    os.close(master)
    person.tell("putting the old values back")
    person.progress(Advance(what="reading"))
    with suppress(OSError):  # what was never taken is tried once more
        stderr.close()


def test_a_wait_ends_with_its_time_and_calls_meanwhile() -> None:
    master, slave = pty.openpty()
    looks: list[float] = []
    with os.fdopen(slave, "r") as stdin, Path(os.devnull).open("w") as nowhere:
        person = PlainPerson(stdin=stdin, stderr=nowhere)
        said = person.waits_for(
            "keep", Seconds(0.05), lambda left: f"{left:.1f}", lambda: looks.append(1)
        )
    os.close(master)
    assert not said
    assert looks
