"""A cable pulled in the middle of a listing and put back while the board still talks."""

from pathlib import Path

from tests.faces.running import Workshop, aircraft

STILL_TALKING = "The board is still talking: waiting until it has finished."


def test_a_board_that_goes_on_with_its_listing_is_waited_for(tmp_path: Path) -> None:
    workshop = Workshop(tmp_path)
    slow = ("--settings", "200", "--baud", "9600")
    with aircraft(workshop, *slow, "--pack", "in") as craft:
        with workshop.start("backup", "--out", "cut.yaml") as running:
            craft.await_word("recite")
            craft.order("unplug")
            _, err = running.communicate()
        assert running.returncode == 2
        assert "went away" in err
        craft.order("replug")
        outcome = workshop.run("identify")
    assert outcome.code == 0
    assert outcome.err == f"{STILL_TALKING}\n"
    assert outcome.out.startswith("board     wader\n")
