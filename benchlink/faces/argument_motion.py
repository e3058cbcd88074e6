"""The arguments of the verbs that move something."""

import argparse
from collections.abc import Callable
from typing import Final

from benchlink.faces.argument_groups import (
    agreed,
    agreement,
    between,
    connection,
    course,
    operator,
    output,
    patience,
    tail,
)


def _tilt_work(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    verb.add_argument(
        "side",
        metavar="SIDE",
        help="left, right or both: the aircraft's own, the nose away from you",
    )
    operator(verb)
    agreed(verb)
    patience(verb)


def _centre(verb: argparse.ArgumentParser) -> None:
    _tilt_work(verb)
    verb.add_argument(
        "--servo",
        default="",
        metavar="PART",
        help="which servo it is, by its part file (asked for otherwise)",
    )
    verb.add_argument(
        "--room",
        dest="room_deg",
        type=float,
        default=0.0,
        metavar="DEG",
        help="refuse a centre that leaves no room for so many degrees each way",
    )


def _throw(verb: argparse.ArgumentParser) -> None:
    _tilt_work(verb)
    for name, what in (
        ("forward", "how far forward (what the board has)"),
        ("aft", "how far aft (what the board has)"),
        ("stop-forward", "where the arm meets something solid, by hand, rail off"),
        ("stop-aft", "the same aft"),
    ):
        verb.add_argument(
            f"--{name}",
            dest=f"{name.replace('-', '_')}_deg",
            type=float,
            default=0.0,
            metavar="DEG",
            help=what,
        )
    verb.add_argument(
        "--by-stick",
        action="store_true",
        help="hold the arm at each end with the stick, while the end is written",
    )


def _trim(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    add = verb.add_argument
    add(
        "words",
        nargs="*",
        metavar="WORD",
        help="drifts forward 0.5, drifts aft, noses left 0,5, noses right; degrees of"
        " tilt; two of them with `and` between",
    )
    add(
        "--channel-trim",
        action="store_true",
        help="take up the trims of the transmitter instead, read from its channels",
    )
    add(
        "--middle-us",
        type=float,
        default=1500.0,
        metavar="US",
        help="where a channel without trim stands (1500)",
    )
    operator(verb)
    add("--reason", default="", metavar="TEXT", help="what else is worth recording")
    agreement(verb)
    course(verb)


def _outputs(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    output(verb, "write it there")
    add = verb.add_argument
    add(
        "--wiggle",
        action="store_true",
        help="move each tilt servo a little and ask what moved; asks for typed words",
    )
    add(
        "--servo",
        default="",
        metavar="PART",
        help="which servo both tilts have, by its part file (unknown: 50 Hz)",
    )
    operator(verb)


def _spin(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    output(verb, "write it there")
    add = verb.add_argument
    add(
        "side",
        nargs="?",
        default="both",
        choices=("left", "right", "both"),
        help="the aircraft's own left or right, the nose away from you (both)",
    )
    add(
        "--ceiling",
        dest="ceiling_percent",
        type=spin_percent,
        metavar="PERCENT",
        help="power that no run goes beyond (10; up to 20, above 10 is asked about)",
    )
    add(
        "--hand",
        choices=("inboard-down", "outboard-down"),
        help="how the pair shall turn by the build sheet, seen from behind with the arms"
        " forward (asked for otherwise)",
    )
    add(
        "--by-radio",
        action="store_true",
        help="you spin them from the transmitter; the tool only asks and writes down",
    )
    operator(verb)


def spin_percent(text: str) -> float:
    """A power ceiling as it is typed.

    Raises:
        ArgumentTypeError: it is no number of percent that motors may be spun with.
    """
    return between(text, 1.0, 20.0, "percent")


FILL_MOTION: Final[dict[str, Callable[[argparse.ArgumentParser], None]]] = {
    "centre": _centre,
    "throw": _throw,
    "trim": _trim,
    "outputs": _outputs,
    "spin": _spin,
}
