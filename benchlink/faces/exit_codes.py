"""What the command line's exit codes mean; 0 to 2 as diff(1) has them."""

from enum import IntEnum


class ExitCode(IntEnum):
    """Exit codes of every verb."""

    SAME = 0
    """Done; for `compare`: nothing differs."""
    DIFFERS = 1
    """`compare` found differences; `apply --plan-only` found something to do."""
    TROUBLE = 2
    """It could not be done; the text says what is safe now and what to do next."""
    UNEXPECTED = 70
    """A fault of benchlink itself (EX_SOFTWARE of sysexits.h)."""
    INTERRUPTED = 130
    """Ended by Ctrl-C (128 + SIGINT, as shells report it)."""
