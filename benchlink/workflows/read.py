"""Reading all settings so that they can be believed: two copies that agree."""

from collections.abc import Sequence
from typing import Final

from benchlink.console.description import Source
from benchlink.console.listing import Listing, names_in_order
from benchlink.core.copies import weigh
from benchlink.core.doors import Person
from benchlink.core.exchange import Verdict
from benchlink.core.settings import Snapshot
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.errors import BoardError, UnansweredError
from benchlink.workflows.listings import Heard
from benchlink.workflows.numbering import with_all_names
from benchlink.workflows.say import say
from benchlink.workflows.session import Session
from benchlink.workflows.sound_wire import (
    MOST_DAMAGE,
    damaged_share,
    require_sound_answers,
)

SURE: Final = 2
"""Readings that have to agree."""
SURE_OF_DAMAGE: Final = 3
"""The same once the wire has shown that it damages bytes."""
REPEATS: Final = 3
"""How often an answer of a reading is asked for again before the reading is dropped."""
MOST: Final = 9
"""Readings that are taken before a board is given up."""


def read_once(session: Session, person: Person, what: str = "reading") -> Snapshot:
    """One reading, believed as it came.

    Raises:
        UnansweredError: it came damaged or not at all.
    """
    (snapshot,) = _copies(session, person, what, 1)
    if snapshot is None:
        msg = "the listing did not come through whole"
        raise UnansweredError(msg, hint="Reading changes nothing. Try again.")
    return snapshot


def read_settled(
    session: Session, person: Person, what: str = "reading", *, to_write: bool = False
) -> Snapshot:
    """Readings that agree: two, or three once the wire has damaged something.

    Both are asked for at once, so that the wire never rests between them. Where they do
    not agree more are taken, and every setting has to be shown alike often enough.

    Raises:
        BoardError: the readings do not agree, or too little of them comes through.
        LinkError: it is read `to_write` later, and the wire damages too much for that.
    """
    copies = _whole(_copies(session, person, what, SURE))
    verdict = weigh(copies, _need(session))
    if verdict.snapshot is None:
        _warn_of_damage(session, person)
    for _ in range(MOST - SURE):
        if verdict.snapshot is not None:
            break
        if to_write:
            require_sound_answers(session)
        copies += _whole(_copies(session, person, f"{what} again", 1))
        verdict = weigh(copies, SURE_OF_DAMAGE)
    if verdict.snapshot is None:
        msg = "no two readings of the settings agree"
        raise BoardError(
            msg,
            details=_disputed(copies, verdict.disputed),
            hint="Reading changes nothing. Check the cable and the speed; is the board"
            " busy?",
        )
    if verdict.snapshot.damage:
        person.tell(
            f"The wire damaged {verdict.snapshot.damage:.1%} of the settings in"
            f" {len(copies)} readings; each is taken as at least {SURE_OF_DAMAGE} of"
            " them show it."
        )
    return verdict.snapshot


def _warn_of_damage(session: Session, person: Person) -> None:
    """Why a reading takes so long, where the wire is to blame."""
    share = damaged_share(session)
    if share > MOST_DAMAGE:
        person.tell(
            f"The wire damages {share:.0%} of the answers: more readings are needed, which"
            " takes long. Ctrl-C ends it; look at the cable, the speed and the ground."
        )


def _need(session: Session) -> int:
    return SURE_OF_DAMAGE if _disturbed(session) else SURE


def _disturbed(session: Session) -> bool:
    return session.board.health().damaged > 0


def _whole(copies: list[Snapshot | None]) -> list[Snapshot]:
    return [copy for copy in copies if copy is not None]


def _copies(
    session: Session, person: Person, what: str, count: int
) -> list[Snapshot | None]:
    heard = Heard(session.listings, person, what, count)
    try:
        copies = _asked_for(session, heard, count)
    finally:
        person.done()
    heard.note()
    return copies


def _asked_for(session: Session, heard: Heard, count: int) -> list[Snapshot | None]:
    sources = with_all_names(session)
    if any(source.banks for source in sources):
        return [_bank_by_bank(session, sources, heard) for _ in range(count)]
    utterances = [u for source in sources for u in session.grammar.asks(source)]
    replies = _replies(session, utterances * count, heard)
    share = len(utterances)
    return [
        _snapshot(session, sources, replies[copy * share : (copy + 1) * share])
        for copy in range(count)
    ]


def _replies(
    session: Session, utterances: Sequence[Utterance], heard: Heard
) -> list[Reply]:
    """A reply to each; what came damaged or not at all is asked for again."""
    replies = list(say(session.board, session.grammar, utterances, heard.next()))
    for _ in range(REPEATS):
        lost = [place for place, reply in enumerate(replies) if not reply.trusted]
        if not lost:
            break
        asked = [utterances[place] for place in lost]
        again = say(session.board, session.grammar, asked, heard.next())
        for place, reply in zip(lost, again, strict=True):
            replies[place] = reply
    return replies


def _snapshot(
    session: Session, sources: Sequence[Source], replies: Sequence[Reply]
) -> Snapshot | None:
    listing = Listing(session.grammar.description)
    left = iter(replies)
    for source in sources:
        for name in names_in_order(source):
            if not _take(listing, source, next(left), name):
                return None
    return _unless_empty(listing.finish())


def _unless_empty(snapshot: Snapshot) -> Snapshot | None:
    """No board holds nothing: an empty listing is an answer that was lost."""
    return snapshot if snapshot.settings or snapshot.not_understood else None


def _take(listing: Listing, source: Source, reply: Reply, name: str) -> bool:
    """Whether the reply could be believed; a name that this board lacks is skipped."""
    if not reply.trusted:
        return False
    if not (name and reply.verdict is Verdict.REFUSED):
        listing.take(source, require_done(reply), name)
    return True


def _bank_by_bank(
    session: Session, sources: Sequence[Source], heard: Heard
) -> Snapshot | None:
    """Every bank is selected and listed in turn; then the first one again."""
    grammar = session.grammar
    listing = Listing(grammar.description)
    for source in sources:
        for utterance, name in zip(
            grammar.asks(source), names_in_order(source), strict=True
        ):
            (reply,) = say(session.board, grammar, [utterance], heard.next())
            if not _take(listing, source, reply, name):
                return None
        for bank in source.banks.names if source.banks else ():
            if bank == listing.home:
                continue
            (utterance,) = grammar.asks(source)
            there = Utterance(
                commands=utterance.commands,
                mode=utterance.mode,
                bank=bank,
                home=listing.home,
            )
            (reply,) = say(session.board, grammar, [there], heard.next())
            if not _take(listing, source, reply, ""):
                return None
    return _unless_empty(listing.finish())


def _disputed(copies: Sequence[Snapshot], names: Sequence[str]) -> tuple[str, ...]:
    return tuple(
        f"{name}: {' / '.join(dict.fromkeys(_shown(c, name) for c in copies))}"
        for name in names[:20]
    )


def _shown(snapshot: Snapshot, name: str) -> str:
    setting = snapshot.settings.get(name)
    return setting.raw if setting else "not listed"
