"""Lines that can be typed to a board, by its settings and its description."""

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, final

from benchlink.console.grammar import Grammar
from benchlink.core.settings import Setting, Snapshot

MOST: Final = 200
"""Offers that anybody looks through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """A line, or the beginning of one that goes on with a value."""

    line: str
    about: str = ""
    """What it is for, in a word or two."""


@final
class Offers:
    """All of them, to be found by how they begin."""

    def __init__(self, offers: tuple[Offer, ...]) -> None:
        self._offers: Final = tuple(sorted(offers, key=lambda o: _key(o.line)))
        self._keys: Final = [_key(offer.line) for offer in self._offers]

    def after(self, typed: str) -> tuple[Offer, ...]:
        """What the typed text may become; what it already is, is not offered."""
        key = _key(typed)
        at = bisect_left(self._keys, key)
        found: list[Offer] = []
        while at < len(self._keys) and self._keys[at].startswith(key):
            if self._keys[at] != key:
                found.append(self._offers[at])
            if len(found) == MOST:
                break
            at += 1
        return tuple(found)


def offers_of(grammar: Grammar, snapshot: Snapshot | None) -> Offers:
    """Whole lines of the description, and each setting as it is asked for and written."""
    found = {offer.line: offer for offer in _plain(grammar)}
    for setting in snapshot.settings.values() if snapshot else ():
        for offer in (*_asking(grammar, setting), *_writing(grammar, setting)):
            found.setdefault(offer.line, offer)
    return Offers(tuple(found.values()))


def _plain(grammar: Grammar) -> Iterator[Offer]:
    description = grammar.description
    rules = description.hazards
    for template in rules.harmless if rules else ():
        if not template.fields:
            yield Offer(line=template.render({}), about="tells something")
    verbs = [*description.verbs.items()]
    verbs += [("readings", asking.verb) for asking in description.readings]
    verbs += [("list", source.ask) for source in description.sources]
    for name, verb in verbs:
        for step in verb.steps:
            if not step.key and not step.line.fields:
                yield Offer(line=step.line.render({}), about=name)
    for name, mode in description.modes.items():
        yield Offer(line=mode.enter.line.render({}), about=f"enters {name}")
        yield Offer(line=mode.leave.line.render({}), about=f"leaves {name}")


def _asking(grammar: Grammar, setting: Setting) -> Iterator[Offer]:
    verb = setting.read_by or "read"
    if not grammar.can(verb):
        return
    fields = {"name": setting.name, "own": setting.name, **setting.address}
    try:
        (command,) = grammar.utter(verb, fields).commands
    except ValueError:
        return
    yield Offer(line=command.line, about="asks")


def _writing(grammar: Grammar, setting: Setting) -> Iterator[Offer]:
    """How it is written up to the value, and then with the value that it holds."""
    if not setting.writable or (setting.together and not setting.partly):
        return
    try:
        (command,) = grammar.write(setting, setting.value).commands
        spelled = grammar.spell(setting, setting.value)
    except ValueError:
        return
    head = command.line.removesuffix(spelled)
    if head != command.line:
        yield Offer(line=head, about="writes")
    yield Offer(line=command.line, about="as it is now")


def _key(line: str) -> str:
    return line.casefold()
