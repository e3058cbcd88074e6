"""The command line's words; imports nothing heavy, so that `--help` is instant."""

import argparse
from collections.abc import Callable
from typing import Final

from benchlink.version import VERSION

VERBS: Final = (
    ("ports", "list the ports a board could be on"),
    ("identify", "ask the board who it is and whether its outputs rest"),
    ("backup", "keep a copy of everything on the board"),
    ("compare", "hold the board against a profile or a backup"),
    ("change", "change one setting, with a reason"),
    ("apply", "bring the board to a profile and prove that it took"),
    ("restore", "put a backup back and prove it"),
    ("lint", "check a profile, a console description or a backup"),
    ("rehearse", "do it all on a simulated aircraft"),
)

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
    json: bool = False
    out: str | None = None
    note: str = ""
    raw: str | None = None
    profile: str | None = None
    every: bool = False
    name: str = ""
    value: str = ""
    reason: str = ""
    yes: bool = False
    plan_only: bool = False
    files: list[str]
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
    add("--port", default=suppress, metavar="URL", help="port or socket://host:number")
    add(
        "--console",
        default=suppress,
        metavar="NAME-or-FILE",
        help="description of the board's console",
    )
    add("--baud", default=suppress, type=int, metavar="N", help="line speed")


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
    verb.add_argument("--out", metavar="FOLDER", help="where the backup goes")
    verb.add_argument("--note", default="", help="a note for the backup")


def _ports(verb: argparse.ArgumentParser) -> None:
    _output(verb, "write it there")


def _identify(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _output(verb, "write it there")


def _backup(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _output(verb, "file or folder of the backup (a folder `backups` here)")
    verb.add_argument("--note", default="", help="why this copy is taken")
    verb.add_argument(
        "--raw",
        metavar="COMMAND",
        help="keep what the board answers to COMMAND, without any description",
    )


def _compare(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    _output(verb, "write it there")
    verb.add_argument("profile", metavar="PROFILE-or-BACKUP")
    verb.add_argument(
        "--every", action="store_true", help="show the settings that agree as well"
    )


def _change(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    verb.add_argument("name", metavar="NAME")
    verb.add_argument("value", metavar="VALUE", help="a list as [1, 2, 3]")
    verb.add_argument("--reason", required=True, metavar="TEXT", help="why")
    _agreement(verb)


def _apply(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    verb.add_argument("profile", metavar="PROFILE")
    _agreement(verb)


def _restore(verb: argparse.ArgumentParser) -> None:
    _connection(verb)
    verb.add_argument("profile", metavar="BACKUP")
    _agreement(verb)


def _lint(verb: argparse.ArgumentParser) -> None:
    verb.add_argument("files", nargs="+", metavar="FILE")


def _rehearse(verb: argparse.ArgumentParser) -> None:
    add = verb.add_argument
    add(
        "--serve",
        action="store_true",
        help="only run the simulated aircraft and print its port",
    )
    add("--settings", type=int, metavar="N", help="how many settings it has")
    add("--seed", type=int, metavar="N", help="which board it is")
    add("--baud", type=int, default=None, metavar="N", help="line speed (unpaced)")
    add("--store", metavar="FILE", help="where it keeps its settings")
    add(
        "--reenumerate",
        action="store_true",
        help="a restart brings the port back under another name",
    )


_FILL: Final[dict[str, Callable[[argparse.ArgumentParser], None]]] = {
    "ports": _ports,
    "identify": _identify,
    "backup": _backup,
    "compare": _compare,
    "change": _change,
    "apply": _apply,
    "restore": _restore,
    "lint": _lint,
    "rehearse": _rehearse,
}
