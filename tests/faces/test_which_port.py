"""Which board is meant when nobody named a port."""

import pytest

from benchlink.errors import NoPortError, UsageError
from benchlink.faces import wiring
from benchlink.faces.arguments import Given, parser
from benchlink.faces.verbs import ports as ports_verb
from benchlink.faces.wiring import Choice, choose_port
from benchlink.link.ports import PortIdentity

BUILT_IN = PortIdentity(url="/dev/ttyS0")
BOARD = PortIdentity(url="/dev/ttyACM0", usb="1209:0001", serial="7F3A")
OTHER = PortIdentity(url="/dev/ttyACM1", usb="1209:0001", serial="7F3B")


def there_are(monkeypatch: pytest.MonkeyPatch, *found: PortIdentity) -> None:
    monkeypatch.setattr(wiring, "ports", lambda: found)
    monkeypatch.setattr(ports_verb, "ports", lambda: found)


def test_a_line_of_the_computer_itself_is_no_board(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    there_are(monkeypatch, BUILT_IN)
    with pytest.raises(NoPortError, match="no board was found") as caught:
        choose_port(Choice())
    assert caught.value.details == (
        "/dev/ttyS0 is a serial line of the computer itself, and hardly a board",
    )
    assert caught.value.hint.startswith("Nothing was sent. A charge-only cable?")
    assert "`--port /dev/ttyS0`" in caught.value.hint


def test_what_is_plugged_in_is_meant_beside_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    there_are(monkeypatch, BUILT_IN, BOARD)
    assert choose_port(Choice()) == BOARD


def test_of_two_boards_one_has_to_be_named(monkeypatch: pytest.MonkeyPatch) -> None:
    there_are(monkeypatch, BUILT_IN, BOARD, OTHER)
    with pytest.raises(UsageError, match="more than one board") as caught:
        choose_port(Choice())
    assert len(caught.value.details) == 2


def test_the_list_of_ports_tells_them_apart(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    there_are(monkeypatch, BUILT_IN, BOARD)
    ports_verb.run(parser().parse_args(["ports"], namespace=Given()))
    own, board = capsys.readouterr().out.splitlines()
    assert "the computer's own" in own
    assert "the computer's own" not in board
