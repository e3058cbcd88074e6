"""The full screen as a program of its own, for tests that give it a terminal.

Opens a simulated board at once and tells on standard output when it was let go.
"""

import os
import sys
import threading

from benchlink.errors import BenchError
from benchlink.faces.screen.program import run_screen
from tests.faces.screen.screen_bench import BenchBoard, FakeEntrance, lw03


def tell(line: str) -> None:
    """Past textual, which keeps what is printed while it runs."""
    os.write(1, f"{line}\n".encode())


def main(arguments: list[str]) -> int:
    board = BenchBoard()
    entrance = FakeEntrance(board)
    entrance.rehearse_at_once = True
    entrance.wants = lw03()

    def close() -> None:
        tell("closed")

    def blink(slot: str) -> None:
        if "broken" in arguments:
            raise ZeroDivisionError
        if "stuck" in arguments:
            tell("stuck")
            threading.Event().wait()
        tell(slot)

    entrance.when_closed = close
    board.when_live = blink
    try:
        code = run_screen(entrance)
    except BenchError as exc:
        tell(f"{exc} / {exc.hint}")
        return 70
    except KeyboardInterrupt:
        tell("interrupted")
        return 71
    print("left", file=sys.stderr)
    return code


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
