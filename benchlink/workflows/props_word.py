"""Whether 'props off', typed before settings that may spin a motor, still counts.

Whoever had the pack out may have put a prop on: the words count only with the pack as it
was when they were typed. Where the board does not tell of its pack, they count for one
writing. What is void stays void, for whatever holds on to the words.
"""

from typing import TYPE_CHECKING, Final, final

from benchlink.core.gate import is_same_pack

if TYPE_CHECKING:
    from benchlink.core.confirmation import HandsClear


@final
class PropsWord:
    """What was typed of props over one connection, and what of it is void."""

    def __init__(self) -> None:
        """Nothing was typed yet."""
        self._void: Final[list[HandsClear]] = []

    def counts(self, hands: "HandsClear | None") -> bool:
        """Whether these very words let a motor be spun by a setting."""
        if hands is None or not hands.props_off:
            return False
        return all(hands is not one for one in self._void)

    def saw(self, hands: "HandsClear", pack_volts: float | None) -> None:
        """The pack was looked at; another one than before makes the words void."""
        if not is_same_pack(pack_volts, hands.pack_volts):
            self.void(hands)

    def spend(self, hands: "HandsClear | None") -> None:
        """Something that may spin a motor was written with them."""
        if hands is not None and hands.pack_volts is None:
            self.void(hands)

    def void(self, hands: "HandsClear | None") -> None:
        """They count no more."""
        if hands is not None and self.counts(hands):
            self._void.append(hands)
