"""Keep, restart, read again, equal: the proof that values outlive a restart.

Consoles differ: some keep what is written at once, some never, some cannot restart by a
command. What cannot be proven here is said, never assumed.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from benchlink.console.description import Kept as KeptWhen
from benchlink.console.description import Manner
from benchlink.core.doors import Person
from benchlink.core.exchange import Command, Ending, Verdict
from benchlink.core.settings import Snapshot, moved
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.errors import (
    BenchError,
    MismatchError,
    RefusedError,
    SilentBoardError,
)
from benchlink.workflows.backup import Kept
from benchlink.workflows.planning import Prepared
from benchlink.workflows.put_back import put_back
from benchlink.workflows.read import read_settled
from benchlink.workflows.say import say
from benchlink.workflows.session import Session, meet_again

UNSEEN_RESTART: Final = (
    "nothing shows that the board restarted: power-cycle it and compare it again, to"
    " prove that it kept"
)


def keep_and_prove(prepared: Prepared, person: Person, kept: Kept) -> Snapshot:
    """Make the board keep, restart it, and hold what it has then against the goal.

    Raises:
        RefusedError: the board would not keep; the old values are back.
        MismatchError: after the restart it does not hold what was kept.
    """
    session = prepared.session
    if session.grammar.can("keep"):
        _keep(prepared, person, kept)
    if not session.grammar.can("restart"):
        person.tell(
            "this console cannot restart the board: power-cycle it, then compare it"
            " again, to prove that it kept"
        )
        return read_settled(session, person, "reading again")
    with _unproven(person, kept):
        after = _restart_and_read(session, person)
    _require_kept(prepared, after, kept)
    return after


def lost_at_restart(prepared: Prepared) -> tuple[str, ...]:
    """Names that this board never keeps: written now, or holding something before."""
    planned = {change.name for change in prepared.plan.changes}
    return tuple(
        setting.name
        for setting in prepared.snapshot.settings.values()
        if (setting.name in planned or setting.raw)
        and prepared.session.grammar.kept(setting.name) is KeptWhen.NEVER
    )


def advice(exc: BenchError) -> str:
    """Its hint; what a silent board's hint calls unchanged has been written to here."""
    return "" if isinstance(exc, SilentBoardError) else exc.hint


def _keep(prepared: Prepared, person: Person, kept: Kept) -> None:
    person.tell("keeping")
    session = prepared.session
    with _unproven(person, kept):
        keeping = session.grammar.utter("keep")
        (reply,) = say(session.board, session.grammar, [keeping])
    if reply.verdict in {Verdict.REFUSED, Verdict.AGAIN}:
        msg = f"the board refused to keep: {reply.remark}"
        raise RefusedError(msg, hint=put_back(prepared, person))
    if not reply.trusted:
        person.tell("the answer to the keep is missing; the restart will show")


@contextmanager
def _unproven(person: Person, kept: Kept) -> Iterator[None]:
    """Between the keep and its proof nobody knows what the board kept."""
    unknown = (
        "Whether the board kept the new values is not known: compare it when it is"
        f" back. What it held before is in {kept.path}."
    )
    try:
        yield
    except BenchError as exc:
        exc.hint = f"{advice(exc)} {unknown}".strip()
        raise
    except KeyboardInterrupt:
        person.tell(unknown)
        raise


def _restart_and_read(session: Session, person: Person) -> Snapshot:
    person.tell("restarting the board")
    grammar = session.grammar
    manner = grammar.description.manner
    *before, last = grammar.utter("restart").commands
    for command in before:
        (answer,) = session.board.ask([command])
        require_done(Reply(utterance=Utterance(commands=(command,)), answers=(answer,)))
    answer = session.board.restart(last, manner.back_within)
    if answer.verdict is Verdict.REFUSED:
        require_done(Reply(utterance=Utterance(commands=(last,)), answers=(answer,)))
    if not answer.trusted or _says_nothing(last, manner):
        person.tell(UNSEEN_RESTART)
    return read_settled(meet_again(session), person, "reading after the restart")


def _says_nothing(restart: Command, manner: Manner) -> bool:
    """Whether a board that took no notice of the restart would look the same."""
    return restart.form.ends is Ending.NOTHING and not manner.banner


def _require_kept(prepared: Prepared, after: Snapshot, kept: Kept) -> None:
    goal, lost = prepared.goal, lost_at_restart(prepared)
    wrong = [
        f"{name}: kept {value}, after the restart {_shown(after, name)}"
        for name, value in goal.wanted.items()
        if name not in lost
        and (
            name not in after.settings
            or not goal.reached(name, after.settings[name].value)
        )
    ]
    wrong += [
        f"{name}: nobody asked for it, yet it changed"
        for name in moved(goal.before, after)
        if name not in goal.wanted and name not in lost
    ]
    if wrong:
        msg = "after the restart the board does not hold what was kept"
        raise MismatchError(
            msg,
            details=tuple(wrong),
            hint=f"`benchlink restore {kept.path}` brings the board back to before.",
        )


def _shown(snapshot: Snapshot, name: str) -> str:
    setting = snapshot.settings.get(name)
    return str(setting.value) if setting else "it is gone"
