"""What can be done on the page that shows, found by typing a word of it.

The list itself is textual's own. What stands in it comes from the table of the page's keys
and does what the key does; the page adds what it can do without a key of its own.
"""

from functools import partial
from typing import TYPE_CHECKING, Final

from textual.command import CommandPalette, DiscoveryHit, Hit, Provider
from textual.markup import escape

from benchlink.faces.screen.frame.keys import FIND_KEY
from benchlink.faces.screen.frame.offers import Offer
from benchlink.faces.screen.frame.page import Page
from benchlink.faces.screen.frame.safe_text import plain

if TYPE_CHECKING:
    from collections.abc import Iterator

    from textual.command import Hits
    from textual.screen import Screen

PLACEHOLDER: Final = (
    "what shall be done? type a word of it; enter does it, escape closes"
)
SPELLED: Final = {"?": "question_mark", "/": "slash"}
"""Keys as textual spells them, where the table writes what is printed on them."""
IN_NAME: Final = 3.0
IN_SENTENCE: Final = 2.0
"""Letters that stand so in the name or the sentence count more than those far apart,
which give less than 1."""


class BenchCommands(Provider):
    """Offers of the page below the list."""

    async def discover(self) -> "Hits":
        """All of them, in the order of the page."""
        for offer in offers_of(self.screen):
            yield DiscoveryHit(offer.name, offer.do, help=offer.what)

    async def search(self, query: str) -> "Hits":
        """Those with the letters in their name, or as they are in their sentence."""
        matcher, letters = self.matcher(query), query.strip().casefold()
        for offer in offers_of(self.screen):
            if letters in offer.name.casefold():
                score = IN_NAME
            elif letters in offer.what.casefold():
                score = IN_SENTENCE
            else:
                apart = matcher.match(offer.name)
                score = apart / (apart + 1)
            if score > 0:
                shown = matcher.highlight(offer.name)
                yield Hit(score, shown, offer.do, offer.name, offer.what)


def palette() -> CommandPalette:
    """The list, ready to be pushed over a page."""
    return CommandPalette([BenchCommands], placeholder=PLACEHOLDER)


def offers_of(page: "Screen[object]") -> "Iterator[Offer]":
    """What would do something on this page now."""
    if not isinstance(page, Page):
        return
    active = page.active_bindings
    for key in page.KEYS:
        found = active.get(SPELLED.get(key.key, key.key))
        told = bool(key.name) and key.key not in page.idle and key is not FIND_KEY
        if told and found is not None and found.enabled:
            action = partial(
                page.app.run_action, found.binding.action, default_namespace=found.node
            )
            yield Offer(key.name, f"{key.long}; key {key.key}", action)
    for offer in page.offers():
        yield Offer(_shown(offer.name), _shown(offer.what), offer.do)


def _shown(text: str) -> str:
    """A text whose brackets are brackets, and not textual's own marks."""
    return escape(plain(text))
