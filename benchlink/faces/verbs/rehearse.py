"""`benchlink rehearse`: the whole job on a simulated aircraft."""

import json
import signal
import sys
from typing import Final

from benchlink.errors import UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.hands import DEEDS, deed_of, do
from benchlink.faces.rehearsal import main_job
from benchlink.faces.simulated import SimulatedAircraft
from benchlink.faces.wiring import simulated_folder

LIST: Final = "hands"
"""Typed at a served aircraft: what a person at the bench can do."""

LOGINS: Final = {"dunlin": "It asks for a user and a word: `bench` and `reed`.\n"}
"""What the simulated boards that have a login ask for."""


def run(given: Given) -> int:
    """Serve one, show one on the full screen, or run the job in a pipe."""
    arguments = _arguments(given)
    if given.serve:
        if given.record:
            msg = "`--serve` opens no board, so there is nothing to record"
            raise UsageError(msg, hint="Give `--record` to the verb that opens it.")
        return _serve(arguments, LOGINS.get(given.console or "", ""))
    if sys.stdin.isatty() and sys.stdout.isatty():
        from benchlink.faces.verbs.full_screen import rehearse  # noqa: PLC0415 - heavy

        return rehearse(given, arguments)
    with SimulatedAircraft(arguments, simulated_folder()) as aircraft:
        return main_job(aircraft.port, given.record)


def _arguments(given: Given) -> list[str]:
    arguments = ["--reenumerate"] if given.reenumerate else []
    for name, value in (
        ("--console", given.console),
        ("--settings", given.settings),
        ("--seed", given.seed),
        ("--baud", given.baud),
        ("--store", given.store),
    ):
        if value is not None:
            arguments += [name, str(value)]
    return arguments


def _serve(arguments: list[str], login: str) -> int:
    # A terminal that closes ends the aircraft as Ctrl-C does.
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    with SimulatedAircraft(arguments, simulated_folder()) as aircraft:
        print(aircraft.port, flush=True)
        aircraft.on_new_port = lambda port: print(f"port {port}", flush=True)
        print(
            "A simulated aircraft is on that port. In another terminal:\n"
            f"  benchlink identify\n{login}"
            "What your hands would do you type here: `cable out`, `left jig`, `pack in`"
            " ...\n`hands` lists it all; Ctrl-C ends it.",
            file=sys.stderr,
        )
        try:
            for line in sys.stdin:
                if line.strip():
                    print(_answer(line.strip(), aircraft), flush=True)
            aircraft.process.wait()
        except KeyboardInterrupt:
            pass
    return ExitCode.SAME


def _answer(line: str, aircraft: SimulatedAircraft) -> str:
    """What comes of a typed line: a deed, or an order of the aircraft's own."""
    if line == LIST:
        return "\n".join(f"{deed.words:<20} {deed.meaning}" for deed in DEEDS.values())
    deed = deed_of(line)
    if deed is None:
        return json.dumps(aircraft.order(line))
    return do(deed, aircraft).sentence
