"""The command line's words; imports nothing heavy, so that `--help` is instant."""

import argparse
from collections.abc import Sequence
from typing import Final, NoReturn, final

from benchlink.errors import UsageError
from benchlink.version import VERSION

VERBS: Final = (
    ("ports", "list the ports a board could be on"),
    ("identify", "ask the board who it is and whether its outputs rest"),
    ("readings", "take one look at all that the board can tell of the aircraft"),
    ("backup", "keep a copy of everything on the board"),
    ("compare", "hold the board against a profile or a backup"),
    ("change", "change one setting, with a reason"),
    ("apply", "bring the board to a profile and prove that it took"),
    ("waive", "accept that one setting of an aircraft is not as wanted, with a reason"),
    ("restore", "put a backup back and prove it"),
    ("resume", "finish a change that was interrupted, and prove it"),
    ("undo", "put the old values back after an interrupted change, and prove it"),
    ("unfinished", "list the changes that were interrupted, on whatever board"),
    ("outputs", "show what each output drives, what is wrong with that, and try it"),
    ("hold", "set something for the bench, until you press Enter"),
    ("centre", "centre a tilt servo, or both, on the jig, and prove it"),
    ("spin", "run one motor at a time, and say which turned and which way"),
    ("throw", "find the end points of the tilt for a wanted angle each way"),
    ("trim", "tilt both arms a little after a flight, from what was measured"),
    ("draft", "write a first baseline from an aircraft that flies well"),
    ("aircraft", "list the aircraft, show one, or make the folder of a new one"),
    ("job", "show the steps to the first hover, and write down those done by hand"),
    ("talk", "type lines to the board, each looked at before it is sent"),
    ("lint", "check a profile, a console description or a backup"),
    ("rehearse", "do it all on a simulated aircraft"),
)

DESCRIPTION: Final = """\
Back up a flight controller, bring it to a known-good baseline and prove that it took,
over the board's own text console. With no verb: the full screen.
"""

EPILOG: Final = """\
exit codes: 0 done, nothing differs   1 differs   2 could not be done
            3 done, but not proven over a restart
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
    raw_key: str | None = None
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
    why: str | None = None
    lift: bool = False
    left: list[str]
    only: list[str]
    yes: bool = False
    try_minutes: float = 0.0
    wait_s: float = 30.0
    pairs: list[str]
    words: list[str]
    operator: str = ""
    side: str = ""
    servo: str = ""
    room_deg: float = 0.0
    forward_deg: float = 0.0
    aft_deg: float = 0.0
    stop_forward_deg: float = 0.0
    stop_aft_deg: float = 0.0
    by_stick: bool = False
    channel_trim: bool = False
    middle_us: float = 1500.0
    wiggle: bool = False
    ceiling_percent: float | None = None
    """None: the usual one on the command line, asked for at a page."""
    hand: str | None = None
    by_radio: bool = False
    forget: str | None = None
    doing: str | None = None
    what: str = ""
    plan_only: bool = False
    files: list[str]
    against: str | None = None
    serve: bool = False
    settings: int | None = None
    seed: int | None = None
    store: str | None = None
    reenumerate: bool = False


@final
class _Words(argparse.ArgumentParser):
    """Words that no command line gave: what is wrong with them ends no program."""

    def error(self, message: str) -> NoReturn:
        """Refuse them."""
        raise UsageError(message, hint="Nothing was sent.")


def given_by(words: Sequence[str]) -> Given:
    """What a command line gives; ends the program where its words are wrong.

    Without a word, which is the full screen, nothing has to be parsed: building the whole
    command line took 8 ms of the time to its first picture.
    """
    return parser().parse_args(words, namespace=Given()) if words else Given()


def defaults(verb: str, *words: str) -> Given:
    """What is given to a verb by these words, and by the command line's own defaults.

    Behind a `--` stand words that may begin with a dash and are no options.

    Raises:
        UsageError: the verb cannot take them.
    """
    return parser(_Words).parse_args([verb, *words], namespace=Given())


def parser(
    kind: type[argparse.ArgumentParser] = argparse.ArgumentParser,
) -> argparse.ArgumentParser:
    """The whole command line."""
    from benchlink.faces.argument_groups import connection  # noqa: PLC0415 - above
    from benchlink.faces.argument_verbs import FILL  # noqa: PLC0415

    top = kind(
        prog="benchlink",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"benchlink {VERSION}")
    connection(top)
    top.add_argument("--profile", metavar="NAME", help="profile shown beside the board")
    verbs = top.add_subparsers(dest="verb", metavar="VERB", title="verbs")
    for name, summary in VERBS:
        verb = verbs.add_parser(name, help=summary, description=summary.capitalize())
        FILL[name](verb)
    return top
