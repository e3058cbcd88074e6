"""Where an answer goes: stdout or a named file, as lines or as JSON."""

import json
from io import StringIO
from pathlib import Path

import pytest

from benchlink.core.identity import Identity, Readiness
from benchlink.errors import FileError
from benchlink.faces.arguments import Given
from benchlink.faces.output import give, identity_data, readiness_data
from benchlink.faces.plain_person import PlainPerson


def asked(*, as_json: bool = False, out: str | None = None) -> Given:
    return Given(json=as_json, out=out)


def at_pipe() -> tuple[PlainPerson, StringIO, StringIO]:
    out, err = StringIO(), StringIO()
    return PlainPerson(StringIO(), out, err), out, err


def test_lines_go_to_stdout() -> None:
    person, out, err = at_pipe()
    give(asked(), {"a": 1}, ["one", "two\x1b[2J"], person)
    assert (out.getvalue(), err.getvalue()) == ("one\ntwo\\x1b[2J\n", "")


def test_json_takes_the_place_of_the_lines_and_is_plain_ascii() -> None:
    person, out, err = at_pipe()
    give(asked(as_json=True), {"name": "Schilf\u00fcr\u202e\x9b"}, ["one"], person)
    assert out.getvalue().isascii()
    assert json.loads(out.getvalue()) == {"name": "Schilf\u00fcr\u202e\x9b"}
    assert err.getvalue() == ""


def test_a_named_file_gets_it_and_stdout_stays_empty(tmp_path: Path) -> None:
    person, out, err = at_pipe()
    file = tmp_path / "told.json"
    give(asked(as_json=True, out=str(file)), ["reeds"], [], person)
    assert json.loads(file.read_text()) == ["reeds"]
    assert (out.getvalue(), err.getvalue()) == ("", f"written to {file}\n")


def test_a_file_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="Is a directory") as caught:
        give(asked(out=str(tmp_path)), {}, ["one"], at_pipe()[0])
    assert caught.value.hint == "The board was only read."


def test_identity_and_readiness_as_data() -> None:
    known = Identity(board_type="wader", firmware="1.4.2", number="44CB-9325")
    assert identity_data(known) == {
        "type": "wader",
        "firmware": "1.4.2",
        "number": "44CB-9325",
        "grade": "one of a kind",
    }
    assert readiness_data(None) is None
    assert readiness_data(Readiness(armed=False, reasons=("no radio link",))) == {
        "live": False,
        "held_back_by": ["no radio link"],
    }
