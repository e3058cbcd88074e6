"""Many commands asked at once, one of whose answers has no end."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from benchlink.errors import BoardError
from benchlink.link.ledger import AHEAD
from benchlink.link.pump import Pump
from benchlink.link.wire import open_wire
from benchlink.units import Baud, Seconds
from tests.link.fake_talk import FakeTalk, command
from tests.link.far_end import WITHIN_S, clock, pty_end

MANY = 3 * AHEAD


def test_whoever_asked_is_told_at_once_and_the_rest_is_not_handed_over() -> None:
    with (
        pty_end() as end,
        ThreadPoolExecutor(1) as others,
        Pump(open_wire(end.url, Baud(115200)), FakeTalk(window=AHEAD), clock) as pump,
    ):
        commands = [command(f"read {n}") for n in range(MANY)]
        asked = others.submit(pump.ask, commands)
        end.hear(f"read {AHEAD - 1}\n".encode())
        end.say(b"a: 1\nand so on\n")
        with pytest.raises(BoardError, match="answer to `read 0` has no end"):
            asked.result(Seconds(WITHIN_S))
        end.say(b"ok\n" * (AHEAD - 1))
        again = others.submit(pump.ask, [command("plate")])
        assert end.hear(b"plate\n") == b"plate\n", "nothing else was waiting"
        end.say(b"ok\n")
        assert again.result(Seconds(WITHIN_S))
