"""One thing that can be done on a page now, as it is named in the list of all of them."""

from collections.abc import Callable
from typing import NamedTuple


class Offer(NamedTuple):
    """By a word or two, and told in a sentence."""

    name: str
    what: str
    do: Callable[[], object]
    """May give something to await."""
