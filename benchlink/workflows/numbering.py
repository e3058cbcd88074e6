"""Names that only the board can count: asked for one after the other until it says no."""

from dataclasses import replace
from typing import Final

from benchlink.console.description import Source
from benchlink.console.template import Template
from benchlink.core.exchange import Verdict
from benchlink.errors import BoardError, UnansweredError
from benchlink.workflows.say import say
from benchlink.workflows.session import Session

STRIDE: Final = 16
"""Names asked for at once."""
MOST: Final = 2000
"""No board has more of one thing; one that never says no must not be asked for ever."""
TRIES: Final = 3


def with_all_names(session: Session) -> tuple[Source, ...]:
    """The sources of the console, with every name that this board has.

    Raises:
        BoardError: it never says that there are no more.
        UnansweredError: its answers do not come through.
    """
    sources = session.grammar.description.sources
    whole = (
        _whole(session, source) if source.numbered else source for source in sources
    )
    return tuple(source for source in whole if source is not None)


def _whole(session: Session, source: Source) -> Source | None:
    """The source with the names that the board has; None where it has none at all."""
    numbered = [n for form in source.numbered for n in _names(session, source, form)]
    each = (*source.each, *numbered)
    return replace(source, each=each, numbered=()) if each else None


def _names(session: Session, source: Source, form: Template) -> list[str]:
    found: list[str] = []
    while len(found) < MOST:
        first = len(found) + 1
        more = [form.render({"count": str(n)}) for n in range(first, first + STRIDE)]
        taken = _taken(session, source, more)
        found += more[:taken]
        if taken < STRIDE:
            return found
    msg = f"the board answers to every name like {form.source}, up to {MOST} of them"
    raise BoardError(msg, hint="Nothing was written. Is it the right description?")


def _taken(session: Session, source: Source, names: list[str]) -> int:
    """How many of the names the board knows, up to the first that it does not."""
    said: dict[str, Verdict] = {}
    for _ in range(TRIES):
        left = [name for name in names if name not in said]
        asking = replace(source, each=tuple(left))
        replies = say(session.board, session.grammar, session.grammar.asks(asking))
        heard = zip(left, replies, strict=True)
        said |= {name: reply.verdict for name, reply in heard if reply.trusted}
        known = [name for name in names if said.get(name) is not Verdict.REFUSED]
        taken = next(
            (n for n, name in enumerate(names) if name not in known), len(names)
        )
        if all(name in said for name in names[: taken + 1]):
            return taken
    msg = f"no trustworthy answer to one of {names[0]} to {names[-1]}"
    raise UnansweredError(msg, hint="Reading changes nothing. Try again.")
