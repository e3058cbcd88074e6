"""`benchlink change`: one setting, with a reason."""

from benchlink.core.intent import Intent, Owner, Wanted
from benchlink.errors import Place, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import COMMAND_LINE, AtBoard, at_board
from benchlink.faces.changing import carry_out
from benchlink.store.strict_yaml import load


def run(given: Given) -> int:
    """Change the setting; the reason goes onto the backup taken before."""
    intent = _intent(given)
    with at_board(given) as at:
        return _change(at, intent, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    return _change(at, _intent(given), given)


def _change(at: AtBoard, intent: Intent, given: Given) -> int:
    given.note = given.note or f"before {given.name} = {given.value}: {given.reason}"
    return carry_out(at, intent, given)


def _intent(given: Given) -> Intent:
    """What is asked for.

    Raises:
        UsageError: no reason, or no value of one line.
        FileError: the value cannot be read.
    """
    _refuse_useless(given)
    wanted = Wanted(
        name=given.name,
        given=load(given.value or '""', COMMAND_LINE),
        owner=Owner.UNMANAGED,
        place=Place(COMMAND_LINE, 0),
        reason=given.reason,
    )
    return Intent(
        title=f"change of {given.name}",
        source=COMMAND_LINE,
        wanted={given.name: wanted},
    )


def _refuse_useless(given: Given) -> None:
    if not given.reason.strip():
        msg = "a change needs a reason: whoever flies it next wants to know why"
        raise UsageError(msg, hint="Nothing was sent. Say it with `--reason`.")
    if len(given.value.splitlines()) > 1:
        msg = f"the value {given.value!r} holds a line end"
        raise UsageError(msg, hint="Nothing was sent. A value is one plain line.")
