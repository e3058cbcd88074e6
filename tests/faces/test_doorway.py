"""One door for a whole session: the board that moved is kept, the old port let go."""

from collections.abc import Iterator
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from benchlink.errors import LinkError, PortBusyError
from benchlink.faces.doorway import Doorway
from benchlink.link.address import kind_of, same_address
from benchlink.link.ports import PortIdentity
from benchlink.units import Baud
from tests.link.far_end import FarEnd, pty_end

Ends = tuple[FarEnd, FarEnd]


@pytest.fixture
def ends() -> Iterator[Ends]:
    with pty_end() as one, pty_end() as other:
        yield one, other


@pytest.fixture
def doors(tmp_path: Path) -> Iterator[tuple[Doorway, Doorway]]:
    told: list[str] = []
    with ExitStack() as stack:
        first, second = (
            stack.enter_context(
                closing(Doorway(tmp_path / "locks", f"`{who}`", told.append))
            )
            for who in ("benchlink apply", "benchlink")
        )
        yield first, second
    assert told == []


def open_and_let_go(door: Doorway, url: str) -> None:
    door.open_wire(url, Baud(115200), PortIdentity(url=url)).close()


def test_a_port_stays_kept_while_its_board_restarts(
    doors: tuple[Doorway, Doorway], ends: Ends
) -> None:
    first, second = doors
    for _ in range(2):
        open_and_let_go(first, ends[0].url)
        with pytest.raises(PortBusyError, match="in use by `benchlink apply` at "):
            second.keep_others_out(ends[0].url)


def test_where_the_board_went_others_are_kept_out_and_where_it_was_let_in(
    doors: tuple[Doorway, Doorway], ends: Ends
) -> None:
    first, second = doors
    open_and_let_go(first, ends[0].url)
    open_and_let_go(first, ends[1].url)

    second.keep_others_out(ends[0].url)
    with pytest.raises(PortBusyError):
        second.keep_others_out(ends[1].url)


def test_a_port_that_another_has_is_not_taken_and_the_own_one_stays(
    doors: tuple[Doorway, Doorway], ends: Ends
) -> None:
    first, second = doors
    first.keep_others_out(ends[0].url)
    second.keep_others_out(ends[1].url)
    with pytest.raises(LinkError):
        open_and_let_go(first, ends[1].url)
    with pytest.raises(PortBusyError):
        second.keep_others_out(ends[0].url)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("socket://localhost:4001", "socket://127.0.0.1:4001"),
        ("socket://[::1]:4001", "rfc2217://127.0.0.1:4001"),
        ("socket://LOCALHOST:4001", "socket://127.0.0.7:4001"),
        ("socket://no-such-host.invalid:1", "socket://NO-SUCH-HOST.invalid.:1"),
    ],
)
def test_an_address_has_one_name(one: str, other: str) -> None:
    assert same_address(one) == same_address(other)


def test_other_addresses_have_other_names() -> None:
    names = ("socket://127.0.0.1:4001", "socket://127.0.0.1:4002", "/dev/ttyACM0")
    assert len({same_address(name) for name in names}) == 3


def test_the_kind_of_a_port_is_told(ends: Ends) -> None:
    kinds = map(kind_of, ("socket://x:1", "rfc2217://x:1", "replay://x", "/dev/ttyS0"))
    assert list(kinds) == ["tcp", "rfc2217", "replay", "tty"]
    assert kind_of(ends[0].url) == "pty"
