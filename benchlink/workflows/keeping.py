"""Keep, restart, read again, equal: the proof that values outlive a restart.

Consoles differ: some keep what is written at once, some never, some cannot restart by a
command. What cannot be proven here is said, never assumed.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum
from typing import Final

from benchlink.console.description import Kept as KeptWhen
from benchlink.core.doors import Person
from benchlink.core.exchange import Verdict
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

ARMS: Final = "; arms may jump: hands clear"

UNSEEN_RESTART: Final = (
    "nothing shows that the board restarted: power-cycle it and compare it again, to"
    " prove that it kept"
)


class Proof(Enum):
    """What shows that the new values outlive a restart."""

    RESTARTED = "kept, and equal after the restart"
    UNSEEN = "and equal, but nothing shows that the board restarted"
    NO_RESTART = "and equal, but not proven over a restart"
    FLEETING = "and equal; this board never keeps it, so it was not restarted"


def keep_and_prove(
    prepared: Prepared, person: Person, kept: Kept
) -> tuple[Snapshot, Proof]:
    """Make the board keep, restart it, and hold what it has then against the goal.

    Where nothing was written that the board could keep, a restart would only undo it.

    Raises:
        RefusedError: the board would not keep; the old values are back.
        MismatchError: after the restart it does not hold what was kept.
    """
    session = prepared.session
    if all(change.never_kept for change in prepared.plan.changes):
        return read_settled(session, person, "reading again"), Proof.FLEETING
    if session.grammar.can("keep"):
        _keep(prepared, person, kept)
    if not session.grammar.can("restart"):
        person.tell(
            "this console cannot restart the board: power-cycle it, then compare it"
            " again, to prove that it kept"
        )
        return read_settled(session, person, "reading again"), Proof.NO_RESTART
    with _unproven(person, kept):
        after, proof = _restart_and_read(session, person)
    _require_kept(prepared, after, kept)
    return after, proof


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
        raise RefusedError(msg, hint=put_back(prepared, person, kept.path))
    if not reply.trusted:
        person.tell("the answer to the keep is missing; reading again will show")


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


def _restart_and_read(session: Session, person: Person) -> tuple[Snapshot, Proof]:
    grammar = session.grammar
    manner = grammar.description.manner
    person.tell("restarting the board" + (ARMS if grammar.description.moving else ""))
    *before, last = grammar.utter("restart").commands
    for command in before:
        (answer,) = session.board.ask([command])
        require_done(Reply(utterance=Utterance(commands=(command,)), answers=(answer,)))
    epoch = session.board.epoch
    answer = session.board.restart(last, manner.back_within)
    if answer.verdict is Verdict.REFUSED:
        require_done(Reply(utterance=Utterance(commands=(last,)), answers=(answer,)))
    seen = bool(manner.banner) and session.board.epoch > epoch
    proof = Proof.RESTARTED if answer.trusted and seen else Proof.UNSEEN
    if proof is Proof.UNSEEN:
        person.tell(UNSEEN_RESTART)
    after = read_settled(meet_again(session), person, "reading after the restart")
    return after, proof


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
