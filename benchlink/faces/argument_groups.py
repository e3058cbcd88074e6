"""Arguments that several verbs share."""

import argparse


def connection(verb: argparse.ArgumentParser) -> None:
    """Which board, and how to talk to it."""
    add = verb.add_argument
    suppress = argparse.SUPPRESS
    add(
        "--port",
        default=suppress,
        metavar="URL",
        help="port, socket://host:number, or replay://FILE: a recording as a board",
    )
    add(
        "--console",
        default=suppress,
        metavar="NAME-or-FILE",
        help="description of the board's console",
    )
    add("--baud", default=suppress, type=int, metavar="N", help="line speed")
    record(verb)


def record(verb: argparse.ArgumentParser) -> None:
    """Writing a session down."""
    verb.add_argument(
        "--record",
        default=argparse.SUPPRESS,
        metavar="FILE",
        help="write down all that goes over the wire; typed secrets are left out",
    )


def tail(verb: argparse.ArgumentParser) -> None:
    """Which aircraft."""
    verb.add_argument(
        "--aircraft",
        metavar="TAIL",
        help="the aircraft at the bench, where its board does not tell (LW-03)",
    )


def operator(verb: argparse.ArgumentParser) -> None:
    """Who works at the bench."""
    verb.add_argument(
        "--operator",
        default="",
        metavar="NAME",
        help="who works at the bench, for the record (asked for otherwise)",
    )


def output(verb: argparse.ArgumentParser, out: str) -> None:
    """Where the result goes."""
    verb.add_argument("--json", action="store_true", help="print JSON")
    verb.add_argument("--out", metavar="FILE", help=out)


def agreed(verb: argparse.ArgumentParser) -> None:
    """The yes to a plan."""
    verb.add_argument(
        "--yes",
        action="store_true",
        help="agree to the plan; never to anything that can move",
    )


def agreement(verb: argparse.ArgumentParser) -> None:
    """The yes to a plan, and what goes with it."""
    agreed(verb)
    verb.add_argument(
        "--plan-only", action="store_true", help="show the plan and change nothing"
    )
    verb.add_argument(
        "--out",
        metavar="FOLDER",
        help="where the backup goes (the aircraft's own folder, else `backups` here)",
    )
    verb.add_argument("--note", default="", help="a note for the backup")


def course(verb: argparse.ArgumentParser) -> None:
    """How a change is carried out."""
    verb.add_argument(
        "--try",
        dest="try_minutes",
        type=_minutes,
        default=0.0,
        metavar="MINUTES",
        help="have the new values on trial first: kept only when you type `keep`",
    )
    patience(verb)


def patience(verb: argparse.ArgumentParser) -> None:
    """How long a board is waited for."""
    verb.add_argument(
        "--wait",
        dest="wait_s",
        type=_seconds,
        default=30.0,
        metavar="SECONDS",
        help="how long to wait for a board whose cable came out (30)",
    )


def _minutes(text: str) -> float:
    return between(text, 0.1, 120.0, "minutes")


def _seconds(text: str) -> float:
    return between(text, 0.0, 600.0, "seconds")


def between(text: str, least: float, most: float, unit: str) -> float:
    """A number of some unit within limits, both allowed."""
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not least <= number <= most:
        msg = f"{text!r} is not a number of {unit} from {least:g} to {most:g}"
        raise argparse.ArgumentTypeError(msg)
    return number
