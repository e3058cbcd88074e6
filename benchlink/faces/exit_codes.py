"""What the command line's exit codes mean; 0 to 2 as diff(1) has them.

A script that goes on after 0 may trust that the board holds it after a restart.
"""

from enum import IntEnum


class ExitCode(IntEnum):
    """Exit codes of every verb."""

    SAME = 0
    """Done; for `compare`: nothing differs."""
    DIFFERS = 1
    """`compare` found differences; `apply --plan-only` found something to do."""
    TROUBLE = 2
    """It could not be done; the text says what is safe now and what to do next."""
    UNPROVEN = 3
    """Done and read back; that it outlives a restart was not shown: `compare` after a
    power cycle shows it."""
    UNEXPECTED = 70
    """A fault of benchlink itself (EX_SOFTWARE of sysexits.h)."""
    INTERRUPTED = 130
    """Ended by Ctrl-C (128 + SIGINT, as shells report it)."""


def code_of_done(*, proven: bool) -> ExitCode:
    """The code of a change that came out as asked."""
    return ExitCode.SAME if proven else ExitCode.UNPROVEN
