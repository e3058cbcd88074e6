"""The `benchlink` command: reads the words, runs the verb, speaks every error."""

import os
import signal
import sys
import threading
from collections.abc import Sequence
from importlib import import_module
from typing import Final

from benchlink.errors import BenchError
from benchlink.faces.arguments import given_by
from benchlink.faces.exit_codes import ExitCode

VERB_MODULES: Final = "benchlink.faces.verbs"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command line and give its exit code."""
    given = given_by(sys.argv[1:] if arguments is None else arguments)
    _end_like_an_interrupt()
    try:
        # Each verb imports only what it needs: `--help` stays instant.
        module = import_module(f"{VERB_MODULES}.{given.verb or 'full_screen'}")
        code: int = module.run(given)
        sys.stdout.flush()
    except BenchError as error:
        from benchlink.faces.wording import error_lines  # noqa: PLC0415 - see above

        print("\n".join(error_lines(error)), file=sys.stderr)
        return ExitCode.TROUBLE
    except KeyboardInterrupt:
        print("\nbenchlink: interrupted", file=sys.stderr)
        return ExitCode.INTERRUPTED
    except BrokenPipeError:
        # Whoever read our output left; the rest goes nowhere, or Python would complain
        # about it at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ExitCode.TROUBLE
    except Exception as fault:  # noqa: BLE001 - no traceback ever reaches a person
        print(_unexpected(fault), file=sys.stderr)
        return ExitCode.UNEXPECTED
    return code


def _end_like_an_interrupt() -> None:
    """A closed terminal or a polite kill ends as Ctrl-C does: old values back first."""
    for name in ("SIGTERM", "SIGHUP"):
        number = getattr(signal, name, None)
        if number is not None and threading.current_thread() is threading.main_thread():
            signal.signal(number, _interrupt)


def _interrupt(number: int, _frame: object) -> None:
    # A closed terminal is told twice, by the system and by the shell, and means once.
    signal.signal(number, signal.SIG_IGN)
    raise KeyboardInterrupt


def _unexpected(fault: Exception) -> str:
    trace = fault.__traceback__
    while trace and trace.tb_next:
        trace = trace.tb_next
    where = f"{trace.tb_frame.f_code.co_filename}:{trace.tb_lineno}" if trace else "?"
    # What a board said may stand in the fault's own words.
    words = ascii(str(fault))[1:-1]
    return (
        f"benchlink: a fault of benchlink itself: {type(fault).__name__}: {words}\n"
        f"  at {where}\n"
        "If a board was connected, believe nothing about it until it was read again:"
        " `benchlink compare`."
    )
