"""`python -m tests.bench.tap_process PORT`: a tap that shares no interpreter.

Prints its port, passes bytes until its input ends, then prints what the host sent.
"""

import json
import select
import sys

from tests.bench.tap import Seen, Tap

STDIN = 0


def main(board_port: str) -> int:
    """Run until standard input closes."""
    seen: list[Seen] = []
    with Tap(board_port) as tap:
        print(tap.port, flush=True)
        while STDIN not in (ready := select.select([STDIN, *tap.ends], (), ())[0]):
            seen += filter(None, map(tap.pass_on, ready))
    print(json.dumps([(one.at_s, one.data.decode("latin-1")) for one in seen]))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
