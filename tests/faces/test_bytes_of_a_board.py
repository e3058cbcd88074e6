"""Bytes that are no ASCII, through a real backup and a real restore."""

from pathlib import Path

import pytest

from tests.faces.byte_board import byte_board, describe_in
from tests.faces.running import Outcome, Workshop

REED = "reed r\u00e9d"


@pytest.fixture
def workshop(tmp_path: Path) -> Workshop:
    return Workshop(tmp_path)


def at_board(workshop: Workshop, port: str, console: str, *words: str) -> Outcome:
    verb, *rest = words
    return workshop.run(verb, *rest, "--port", port, "--console", console)


def approve(workshop: Workshop, port: str, console: str) -> None:
    words = ("identify", "--port", port, "--console", console)
    code, said = workshop.at_terminal(*words, answers={"?": "yes"})
    assert code == 0, said


@pytest.mark.parametrize(
    ("charset", "raw"),
    [("latin-1", b"r\xe9d"), ("utf-8", "r\u00e9d".encode())],
)
def test_a_value_comes_back_byte_for_byte_in_the_charset_of_the_board(
    workshop: Workshop, charset: str, raw: bytes
) -> None:
    console = describe_in(workshop.folder, charset)
    with byte_board({"reed": raw, "cells": b"4"}) as board:
        approve(workshop, board.port, console)
        kept = at_board(workshop, board.port, console, "backup", "--out", "a.yaml")
        assert (kept.code, "NOT A FULL" in kept.out) == (0, False), kept
        board.held["reed"] = b"x"
        done = at_board(workshop, board.port, console, "restore", "a.yaml", "--yes")
        assert board.held["reed"] == raw, done


@pytest.mark.parametrize("raw", [b"r\xe9d", b"r\td"])
def test_a_value_that_is_no_text_is_left_out_and_never_taken_for_its_look_alike(
    workshop: Workshop, raw: bytes
) -> None:
    console = describe_in(workshop.folder)
    look_alike = raw.replace(b"\xe9", rb"\xe9").replace(b"\t", rb"\x09")
    with byte_board({"reed": raw, "cells": b"4"}) as board:
        approve(workshop, board.port, console)
        kept = at_board(workshop, board.port, console, "backup", "--out", "a.yaml")
        assert "NOT A FULL COPY: 1 value is no text and cannot be put back" in kept.out
        assert f"  reed: {look_alike.decode()}" in kept.out
        text = (workshop.folder / "a.yaml").read_text()
        assert "full-copy: no\nleft-out:\n  - reed\n" in text
        same = at_board(workshop, board.port, console, "compare", "a.yaml")
        assert same.code == 0, same
        board.held |= {"reed": look_alike, "cells": b"3"}
        other = at_board(workshop, board.port, console, "compare", "a.yaml")
        assert (other.code, "2 differ" in other.out) == (1, True), other
        back = at_board(workshop, board.port, console, "restore", "a.yaml", "--yes")
        assert back.code == 2, back
        assert "NOT ALL OF IT CAN BE PUT BACK" in back.out
        assert "reed: holds the byte" in back.out
        assert board.held == {"reed": look_alike, "cells": b"4"}


def test_a_copy_is_read_again_by_the_description_of_today(workshop: Workshop) -> None:
    old = describe_in(workshop.folder)
    with byte_board({"sag": b"215", "cells": b"4"}) as board:
        approve(workshop, board.port, old)
        assert (
            at_board(workshop, board.port, old, "backup", "--out", "a.yaml").code == 0
        )
        scaled = 'spelling: [{names: [sag], kind: number, scale: "0.1"}]'
        new = describe_in(workshop.folder, more=scaled)
        approve(workshop, board.port, new)
        same = at_board(workshop, board.port, new, "compare", "a.yaml")
        assert same.code == 0, same
        assert "1 of its 2 values are read otherwise" in same.out
        board.held["sag"] = b"190"
        plan = at_board(workshop, board.port, new, "restore", "a.yaml", "--plan-only")
        assert "read anew by today's description" in plan.err
        assert "19.0 -> 21.5" in plan.out
        done = at_board(workshop, board.port, new, "restore", "a.yaml", "--yes")
        assert board.held["sag"] == b"215", done


def test_a_copy_that_is_at_odds_and_not_all_understood_is_refused(
    workshop: Workshop,
) -> None:
    old = describe_in(workshop.folder)
    with byte_board({"sag": b"215", "cells": b"4"}) as board:
        approve(workshop, board.port, old)
        assert (
            at_board(workshop, board.port, old, "backup", "--out", "a.yaml").code == 0
        )
        text = Path(old).read_text()
        Path(old).write_text(text.replace('"{name} = {value}"', '"s{name} = {value}"'))
        approve(workshop, board.port, old)
        refused = at_board(workshop, board.port, old, "restore", "a.yaml", "--yes")
        assert refused.code == 2
        assert "2 of the 2 values in a.yaml are read otherwise" in refused.err
        assert "cells: then 4, now no setting" in refused.err
        assert board.held == {"sag": b"215", "cells": b"4"}


def test_a_raw_copy_is_read_once_there_is_a_description(workshop: Workshop) -> None:
    with byte_board({"reed": b"4", "cells": b"4"}) as board:
        words = ("backup", "--port", board.port, "--raw", "all", "--out", "raw.yaml")
        code, said = workshop.at_terminal(
            *words, answers={"Type the line again": "all"}
        )
        assert (code, "not understood yet" in said) == (0, True), said
        console = describe_in(workshop.folder)
        approve(workshop, board.port, console)
        board.held["reed"] = b"5"
        other = at_board(workshop, board.port, console, "compare", "raw.yaml")
        assert (other.code, "1 differs" in other.out) == (1, True), other
        done = at_board(workshop, board.port, console, "restore", "raw.yaml", "--yes")
        assert "does not say which board it was taken from" in done.err
        assert board.held["reed"] == b"4", done


@pytest.mark.parametrize("verb", ["backup", "restore"])
def test_a_file_that_is_there_is_refused_before_the_port_is_opened(
    workshop: Workshop, verb: str
) -> None:
    console = describe_in(workshop.folder)
    with byte_board({"reed": b"4"}) as board:
        approve(workshop, board.port, console)
        kept = at_board(workshop, board.port, console, "backup", "--out", "a.yaml")
        assert kept.code == 0, kept
    words = ["a.yaml", "--out", "a.yaml"] if verb == "restore" else ["--out", "a.yaml"]
    gone = at_board(workshop, board.port, console, verb, *words)
    assert (gone.code, "a.yaml is there already" in gone.err) == (2, True), gone


def test_of_many_lines_that_nobody_understood_twelve_are_shown(
    workshop: Workshop,
) -> None:
    console = describe_in(workshop.folder)
    with byte_board({f"reed{n}": b"4\r\n?" for n in range(40)}) as board:
        approve(workshop, board.port, console)
        kept = at_board(workshop, board.port, console, "backup", "--out", "a.yaml")
        assert "NOT A FULL COPY: 40 lines were not understood:" in kept.out
        assert kept.out.count("  ?\n") == 12
        assert "  ... and 28 more, all of them in the file" in kept.out
        text = (workshop.folder / "a.yaml").read_text()
        assert text.count('  - "?"\n') == 40
