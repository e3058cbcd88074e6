"""`python -m tests.bench.raw_keys PORT`: the shortest way from a key to a line.

Reads keys off a raw terminal and writes one console line for each, nothing else.
"""

import os
import select
import sys
import tty

LINE = b"lamp 300\r"
KEYS = 0


def main(port: str) -> int:
    """Run until the terminal is gone."""
    tty.setraw(KEYS)
    line = os.open(port, os.O_RDWR | os.O_NOCTTY)
    tty.setraw(line)
    os.write(KEYS, b"ready")
    while True:
        ready, _, _ = select.select([KEYS, line], (), ())
        if KEYS in ready and not os.read(KEYS, 1):
            return 0
        if KEYS in ready:
            os.write(line, LINE)
        if line in ready:
            os.read(line, 4096)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
