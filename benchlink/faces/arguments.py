"""The command line's words; imports nothing heavy, so that `--help` is instant."""

import argparse
from collections.abc import Callable
from typing import Final

from benchlink.version import VERSION

VERBS: Final = (
    ("ports", "list the ports a board could be on"),
    ("identify", "ask the board who it is and whether its outputs rest"),
    ("readings", "take one look at all that the board can tell of the aircraft"),
    ("backup", "keep a copy of everything on the board"),
    ("compare", "hold the board against a profile or a backup"),
    ("change", "change one setting, with a reason"),
    ("apply", "bring the board to a profile and prove that it took"),
    ("restore", "put a backup back and prove it"),
    ("resume", "finish a change that was interrupted, and prove it"),
    ("undo", "put the old values back after an interrupted change, and prove it"),
    ("unfinished", "list the changes that were interrupted, on whatever board"),
    ("hold", "set something for the bench, until you press Enter"),
    ("draft", "write a first baseline from an aircraft that flies well"),
    ("aircraft", "list the aircraft, show one, or make the folder of a new one"),
    ("lint", "check a profile, a console description or a backup"),
    ("rehearse", "do it all on a simulated aircraft"),
)

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

DESCRIPTION: Final = """\
Back up a flight controller, bring it to a known-good baseline and prove that it took,
over the board's own text console. With no verb: the full screen.
"""

EPILOG: Final = """\
exit codes: 0 done, nothing differs   1 differs   2 could not be done
            70 a fault of benchlink   130 interrupted
First time here? `benchlink rehearse` needs no hardware.
Props off, pack out, until a step asks for power.
"""


class Given(argparse.Namespace):
    """What the person typed; which fields are filled depends on the verb."""

    verb: str | None = None
    port: str | None = None
    console: str | None = None
    baud: int | None = None
    record: str | None = None
    json: bool = False
    out: str | None = None
    note: str = ""
    raw: str | None = None
    raw_end: str = "CR"
    profile: str | None = None
    every: bool = False
    aircraft: str | None = None
    factory: bool = False
    reset: bool = False
    owners: list[str]
    states: list[str]
    title: str = ""
    backup: str | None = None
    like: str | None = None
    tail: str | None = None
    uses: list[str]
    name: str = ""
    value: str = ""
    reason: str = ""
    yes: bool = False
    try_minutes: float = 0.0
    wait_s: float = 30.0
    pairs: list[str]
    forget: str | None = None
    plan_only: bool = False
    files: list[str]
    against: str | None = None
    serve: bool = False
    settings: int | None = None
    seed: int | None = None
    store: str | None = None
    reenumerate: bool = False


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    top = argparse.ArgumentParser(
        prog="benchlink",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"benchlink {VERSION}")
    _connection(top)
    top.add_argument("--profile", metavar="NAME", help="profile shown beside the board")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", title="verbs")
    for name, summary in VERBS:
        verb = verbs.add_parser(name, help=summary, description=summary.capitalize())
        _FILL[name](verb)
    return top


def _connection(verb: argparse.ArgumentParser) -> None:
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
    _record(verb)


def _record(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--record",
        default=argparse.SUPPRESS,
        metavar="FILE",
        help="write down all that goes over the wire; typed secrets are left out",
    )


def _tail(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--aircraft",
        metavar="TAIL",
        help="the aircraft at the bench, where its board does not tell (LW-03)",
    )


def _output(verb: argparse.ArgumentParser, out: str) -> None:
    verb.add_argument("--json", action="store_true", help="print JSON")
    verb.add_argument("--out", metavar="FILE", help=out)


def _agreement(verb: argparse.ArgumentParser) -> None:
    verb.add_argument(
        "--yes",
        action="store_true",
        help="agree to the plan; never to anything that can move",
    )
    verb.add_argument(
        "--plan-only", action="store_true", help="show the plan and change nothing"
    )
    verb.add_argument(
        "--out",
        metavar="FOLDER",
        help="where the backup goes (the aircraft's own folder, else `backups` here)",
    )
    verb.add_argument("--note", default="", help="a note for the backup")


def _course(verb: argparse.ArgumentParser) -> None:
    """How a change is carried out."""
    verb.add_argument(
        "--try",
        dest="try_minutes",
        type=_minutes,
        default=0.0,
        metavar="MINUTES",
        help="have the new values on trial first: kept only when you type `keep`",
    )
    verb.add_argument(
        "--wait",
        dest="wait_s",
        type=_seconds,
        default=30.0,
        metavar="SECONDS",
        help="how long to wait for a board whose cable came out (30)",
    )


def _minutes(text: str) -> float:
    return _between(text, 0.1, 120.0, "minutes")


def _seconds(text: str) -> float:
    return _between(text, 0.0, 600.0, "seconds")


def _between(text: str, least: float, most: float, unit: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not least <= number <= most:
        msg = f"{text!r} is not a number of {unit} from {least:g} to {most:g}"
        raise argparse.ArgumentTypeError(msg)
    return number


def _finish(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
    verb.add_argument(
        "--yes",
        action="store_true",
        help="agree to what is written; never to anything that can move",
    )
    verb.add_argument("--out", metavar="FOLDER", help="where the backup goes")


def _unfinished(verb: argparse.ArgumentParser) -> None:
    _output(verb, "write it there")
    verb.add_argument(
        "--forget",
        metavar="FILE",
        help="close one whose board will not be seen again; asks at the terminal",
    )


def _hold(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
    verb.add_argument(
        "pairs", nargs="+", metavar="NAME=VALUE", help="held until you press Enter"
    )


def _ports(verb: argparse.ArgumentParser) -> None:
    _output(verb, "write it there")


def _identify(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
    _output(verb, "write it there")


def _backup(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
    _output(
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
    _connection(verb)
    _tail(verb)
    _output(verb, "write it there")
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
    _connection(verb)
    _tail(verb)
    verb.add_argument("name", metavar="NAME")
    verb.add_argument("value", metavar="VALUE", help="a list as [1, 2, 3]")
    verb.add_argument("--reason", required=True, metavar="TEXT", help="why")
    _agreement(verb)
    _course(verb)


def _apply(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
    verb.add_argument(
        "profile",
        nargs="?",
        metavar="PROFILE",
        help="what to apply, under the aircraft's own layers (those layers)",
    )
    _agreement(verb)
    _course(verb)


def _restore(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
    verb.add_argument("profile", metavar="BACKUP")
    _agreement(verb)
    _course(verb)


def _draft(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _tail(verb)
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
    _connection(verb)
    _output(verb, "write it there")
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


def _lint(verb: argparse.ArgumentParser) -> None:
    _output(verb, "write it there")
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
    _record(verb)


_FILL: Final[dict[str, Callable[[argparse.ArgumentParser], None]]] = {
    "ports": _ports,
    "identify": _identify,
    "readings": _identify,
    "backup": _backup,
    "compare": _compare,
    "change": _change,
    "apply": _apply,
    "restore": _restore,
    "resume": _finish,
    "undo": _finish,
    "unfinished": _unfinished,
    "hold": _hold,
    "draft": _draft,
    "aircraft": _aircraft,
    "lint": _lint,
    "rehearse": _rehearse,
}
