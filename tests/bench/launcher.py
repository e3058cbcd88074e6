"""Runs one command and tells what it cost; started as a script, small on purpose.

The kernel hands a child the largest resident size of whoever started it, so a large
process cannot measure a small one. This one stays near a bare interpreter's size.
"""

import json
import os
import sys
import time


def main(arguments: list[str]) -> int:
    """Print elapsed and processor seconds, resident KiB and the exit code as JSON."""
    quiet = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    started = time.monotonic()
    pid = os.posix_spawn(arguments[0], arguments, os.environ, file_actions=quiet)
    _, status, used = os.wait4(pid, 0)
    cost = {
        "elapsed_s": time.monotonic() - started,
        "processor_s": used.ru_utime + used.ru_stime,
        "resident_kib": used.ru_maxrss,
        "code": os.waitstatus_to_exitcode(status),
    }
    print(json.dumps(cost))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
