"""Where an answer goes: stdout or a named file, as lines or as JSON."""

import json
from pathlib import Path

import pytest

from benchlink.core.identity import Identity, Readiness
from benchlink.errors import FileError
from benchlink.faces.arguments import Given
from benchlink.faces.output import give, identity_data, readiness_data

Capture = pytest.CaptureFixture[str]


def asked(*, as_json: bool = False, out: str | None = None) -> Given:
    return Given(json=as_json, out=out)


def test_lines_go_to_stdout(capsys: Capture) -> None:
    give(asked(), {"a": 1}, ["one", "two\x1b[2J"])
    said = capsys.readouterr()
    assert (said.out, said.err) == ("one\ntwo\\x1b[2J\n", "")


def test_json_takes_the_place_of_the_lines_and_is_plain_ascii(capsys: Capture) -> None:
    give(asked(as_json=True), {"name": "Schilf\u00fcr\u202e\x9b"}, ["one"])
    said = capsys.readouterr()
    assert said.out.isascii()
    assert json.loads(said.out) == {"name": "Schilf\u00fcr\u202e\x9b"}
    assert said.err == ""


def test_a_named_file_gets_it_and_stdout_stays_empty(
    tmp_path: Path, capsys: Capture
) -> None:
    file = tmp_path / "told.json"
    give(asked(as_json=True, out=str(file)), ["reeds"], [])
    assert json.loads(file.read_text()) == ["reeds"]
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", f"written to {file}\n")


def test_a_file_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="Is a directory") as caught:
        give(asked(out=str(tmp_path)), {}, ["one"])
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
