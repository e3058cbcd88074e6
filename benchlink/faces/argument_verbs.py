"""The arguments of each verb."""

import argparse
from collections.abc import Callable
from typing import Final

from benchlink.faces.argument_groups import (
    agreement,
    connection,
    course,
    operator,
    output,
    record,
    tail,
)
from benchlink.faces.argument_motion import FILL_MOTION

OWNERS: Final = ("baseline", "kit", "fitted", "board", "unmanaged")
"""Owners as they are typed."""

STATES: Final = (
    "differs",
    "missing",
    "impossible",
    "never-kept",
    "waived",
    "as-intended",
    "left-alone",
)
"""States that a board can be found in, as they are typed."""


def _finish(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    verb.add_argument(
        "--yes",
        action="store_true",
        help="agree to what is written; never to anything that can move",
    )
    verb.add_argument("--out", metavar="FOLDER", help="where the backup goes")


def _unfinished(verb: argparse.ArgumentParser) -> None:
    output(verb, "write it there")
    verb.add_argument(
        "--forget",
        metavar="FILE",
        help="close one whose board will not be seen again; asks at the terminal",
    )


def _hold(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    verb.add_argument(
        "pairs", nargs="+", metavar="NAME=VALUE", help="held until you press Enter"
    )


def _ports(verb: argparse.ArgumentParser) -> None:
    output(verb, "write it there")


def _identify(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    output(verb, "write it there")


def _backup(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    output(
        verb,
        "file or folder of the backup (the aircraft's own, else a folder `backups` here)",
    )
    verb.add_argument("--note", default="", help="why this copy is taken")
    kind = verb.add_mutually_exclusive_group()
    kind.add_argument(
        "--raw",
        metavar="COMMAND",
        help="keep what the board answers to COMMAND, without any description",
    )
    kind.add_argument(
        "--raw-key",
        metavar="KEY",
        help="the same for one key, sent alone: a character, or a byte such as 0x05",
    )
    verb.add_argument(
        "--raw-end",
        choices=("CR", "LF", "CRLF"),
        default="CR",
        help="what ends that line (CR)",
    )
    kind.add_argument(
        "--factory",
        action="store_true",
        help="keep it as what a fresh board of this type and firmware holds",
    )
    verb.add_argument(
        "--reset",
        action="store_true",
        help="with --factory: make the board start over first; asks for a typed word",
    )
    verb.add_argument(
        "--yes", action="store_true", help="with --factory: the board is fresh"
    )


def _compare(verb: argparse.ArgumentParser) -> None:
    verb.epilog = (
        "Exit code 1 when something shown can be brought about, or is missing or"
        " impossible; what the board never keeps is shown and does not count."
    )
    connection(verb)
    tail(verb)
    output(verb, "write it there")
    add = verb.add_argument
    against = verb.add_mutually_exclusive_group()
    against.add_argument(
        "profile",
        nargs="?",
        metavar="PROFILE-or-BACKUP",
        help="what to hold it against (the aircraft's own layers)",
    )
    against.add_argument(
        "--factory",
        action="store_true",
        help="hold it against a fresh board of its type and firmware",
    )
    add("--every", action="store_true", help="show the settings that agree as well")
    add(
        "--owner",
        dest="owners",
        action="append",
        choices=OWNERS,
        help="only what this owner decides; may be given again",
    )
    add(
        "--state",
        dest="states",
        action="append",
        choices=STATES,
        help="only what is in this state; may be given again",
    )


def _change(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    verb.add_argument("name", metavar="NAME")
    verb.add_argument("value", metavar="VALUE", help="a list as [1, 2, 3]")
    verb.add_argument("--reason", required=True, metavar="TEXT", help="why")
    agreement(verb)
    course(verb)


def _apply(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    verb.add_argument(
        "profile",
        nargs="?",
        metavar="PROFILE",
        help="what to apply, under the aircraft's own layers (those layers)",
    )
    part = verb.add_mutually_exclusive_group()
    part.add_argument(
        "--leave",
        dest="left",
        action="append",
        metavar="NAME",
        help="leave this setting as the board has it, this once; may be given again",
    )
    part.add_argument(
        "--only",
        action="append",
        metavar="NAME",
        help="leave all others as the board has them; may be given again",
    )
    agreement(verb)
    course(verb)


def _waive(verb: argparse.ArgumentParser) -> None:
    verb.epilog = (
        "A board is only asked which one it is; with `--aircraft` none"
        " is needed. The waiver is written into the aircraft's own layer, and counts"
        " until it is lifted."
    )
    connection(verb)
    tail(verb)
    verb.add_argument("name", metavar="NAME", help="a setting that its layers ask for")
    verb.add_argument(
        "why",
        nargs="?",
        metavar="REASON",
        help="why that is accepted (asked for otherwise)",
    )
    verb.add_argument(
        "--lift", action="store_true", help="take the waiver of that setting back"
    )


def _restore(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    verb.add_argument("profile", metavar="BACKUP")
    agreement(verb)
    course(verb)


def _draft(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    tail(verb)
    add = verb.add_argument
    add("name", metavar="NAME", help="the new profile: NAME.yaml, never overwritten")
    add("--title", required=True, metavar="TEXT", help="what the baseline is for")
    add(
        "--from",
        dest="backup",
        metavar="BACKUP",
        help="draw it from a backup instead of the board at the bench",
    )
    add(
        "--like",
        metavar="PROFILE",
        help="a profile that says which names belong to aircraft and board",
    )


def _aircraft(verb: argparse.ArgumentParser) -> None:
    connection(verb)
    output(verb, "write it there")
    add = verb.add_argument
    add(
        "tail",
        nargs="?",
        metavar="TAIL",
        help="tail number: shown, or made new for the board at the bench",
    )
    add("--title", default="", metavar="TEXT", help="what to call a new one")
    add(
        "--uses",
        action="append",
        metavar="PROFILE",
        help="baseline or kit that a new one builds on; may be given again",
    )


def _job(verb: argparse.ArgumentParser) -> None:
    verb.epilog = "Exit code 1 while a step is open."
    connection(verb)
    tail(verb)
    output(verb, "write it there")
    add = verb.add_argument
    add(
        "doing",
        nargs="?",
        choices=("done", "changed"),
        help="write down that a step was done by hand, or that something on the aircraft"
        " was moved or exchanged (nothing: show the steps)",
    )
    add(
        "what",
        nargs="?",
        default="",
        metavar="STEP-or-WHAT",
        help="which step (`job` lists them); or board, servo, motor, radio, battery,"
        " warmth",
    )
    add("--note", default="", metavar="TEXT", help="what was read or seen, or why")
    operator(verb)


def _lint(verb: argparse.ArgumentParser) -> None:
    output(verb, "write it there")
    verb.add_argument("files", nargs="+", metavar="FILE")
    verb.add_argument(
        "--against",
        metavar="TEXT",
        help="hold a console description against what a board said: a backup, its raw"
        " bytes, a recording or pasted lines",
    )
    verb.add_argument(
        "--every",
        action="store_true",
        help="show each line with what took it, and every sample",
    )


def _rehearse(verb: argparse.ArgumentParser) -> None:
    add = verb.add_argument
    add(
        "--serve",
        action="store_true",
        help="only run the simulated aircraft and print its port",
    )
    add("--console", default=None, metavar="NAME", help="which console it has (wader)")
    add("--settings", type=int, metavar="N", help="how many settings it has")
    add("--seed", type=int, metavar="N", help="which board it is")
    add("--baud", type=int, default=None, metavar="N", help="line speed (unpaced)")
    add("--store", metavar="FILE", help="where it keeps its settings")
    add(
        "--reenumerate",
        action="store_true",
        help="a restart brings the port back under another name",
    )
    record(verb)


def _talk(verb: argparse.ArgumentParser) -> None:
    verb.epilog = (
        "Lines that may move, restart or erase something, and lines that nobody knows,"
        " are held. In a pipe only lines that tell something are sent, and the first"
        " other one ends it with exit code 2."
    )
    connection(verb)
    tail(verb)
    verb.add_argument(
        "--line-end",
        dest="raw_end",
        choices=("CR", "LF", "CRLF"),
        default="CR",
        help="what ends a line where nobody has described the console (CR)",
    )


FILL: Final[dict[str, Callable[[argparse.ArgumentParser], None]]] = {
    "ports": _ports,
    "identify": _identify,
    "readings": _identify,
    "backup": _backup,
    "compare": _compare,
    "change": _change,
    "apply": _apply,
    "waive": _waive,
    "restore": _restore,
    "resume": _finish,
    "undo": _finish,
    "unfinished": _unfinished,
    "hold": _hold,
    **FILL_MOTION,
    "draft": _draft,
    "aircraft": _aircraft,
    "job": _job,
    "talk": _talk,
    "lint": _lint,
    "rehearse": _rehearse,
}
