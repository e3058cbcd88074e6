"""The board's lamp: proves the way from a key to the board."""

from typing import TYPE_CHECKING, Final, final

from benchlink.errors import BenchError

if TYPE_CHECKING:
    from benchlink.faces.screen.values.contact import Contact

SLOT: Final = "lamp"
CANNOT: Final = "this board's console has no way to blink a lamp"
GONE: Final = "lamp: nothing was sent, the board is gone"


@final
class Lamp:
    """Blinks over the live lane, and counts."""

    def __init__(self) -> None:
        self._asked = 0

    def blink(self, contact: "Contact") -> str:
        """Hand over a blink and return at once; what went wrong is the contact's."""
        grammar = contact.session.grammar
        if not grammar.can("blink"):
            return CANNOT
        if contact.lost:
            return GONE
        try:
            contact.session.board.live(SLOT, grammar.single("blink"))
        except BenchError as exc:
            contact.fail(exc, "NOT SENT")
            return ""
        self._asked += 1
        return f"lamp: blinks asked for: {self._asked}"
