"""Reading all settings so that they can be believed: two copies that agree."""

from benchlink.core.doors import Person
from benchlink.core.exchange import Answer
from benchlink.core.settings import Snapshot, moved
from benchlink.errors import BoardError, UnansweredError
from benchlink.workflows.session import Session


def read_once(session: Session, person: Person, what: str = "reading") -> Snapshot:
    """One listing, believed as it came.

    Raises:
        UnansweredError: it came damaged or not at all.
    """
    (snapshot,) = _listings(session, person, what, 1)
    if snapshot is None:
        msg = "the listing did not come through whole"
        raise UnansweredError(msg, hint="Nothing was changed. Try again.")
    return snapshot


def read_settled(session: Session, person: Person, what: str = "reading") -> Snapshot:
    """Two listings that agree; where they do not, a third one decides.

    Both are asked for at once, so that the wire never rests between them.

    Raises:
        BoardError: no two of three listings agree.
    """
    copies = [c for c in _listings(session, person, what, 2) if c is not None]
    if len(copies) < 2 or not _agree(copies[0], copies[1]):  # noqa: PLR2004 - two
        copies += [
            c for c in _listings(session, person, f"{what} again", 1) if c is not None
        ]
    for index, first in enumerate(copies):
        for second in copies[index + 1 :]:
            if _agree(first, second):
                return first
    msg = "no two readings of the settings agree"
    raise BoardError(
        msg,
        details=_disputed(copies),
        hint="Reading changes nothing. Check the cable and the speed; is the board busy?",
    )


def _listings(
    session: Session, person: Person, what: str, count: int
) -> list[Snapshot | None]:
    def progress(received_bytes: int, _answers: int) -> None:
        person.progress(what, received_bytes, 0)

    command = session.grammar.command("list")
    answers = session.board.ask([command] * count, progress)
    return [_understood(session, answer) for answer in answers]


def _understood(session: Session, answer: Answer) -> Snapshot | None:
    return session.grammar.snapshot(answer) if answer.trusted else None


def _agree(first: Snapshot, second: Snapshot) -> bool:
    return (
        first.not_understood == second.not_understood
        and not moved(first, second)
        and all(
            (a.writable, a.board_owned) == (b.writable, b.board_owned)
            for a, b in zip(
                first.settings.values(),
                map(second.settings.get, first.settings),
                strict=True,
            )
            if b is not None
        )
    )


def _disputed(copies: list[Snapshot]) -> tuple[str, ...]:
    if len(copies) < 2:  # noqa: PLR2004 - nothing to hold against another
        return ()
    first, second = copies[:2]
    return tuple(
        f"{name}: {_shown(first, name)} / {_shown(second, name)}"
        for name in moved(first, second)[:20]
    )


def _shown(snapshot: Snapshot, name: str) -> str:
    setting = snapshot.settings.get(name)
    return setting.raw if setting else "not listed"
