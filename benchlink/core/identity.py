"""Which board this is, and how sure one can be of meeting the same one again."""

from dataclasses import dataclass
from enum import Enum


class Grade(Enum):
    """How much an identity tells."""

    UNIQUE = "one of a kind"
    TYPE_ONLY = "the type only"
    NONE = "nothing"


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """What a board says of itself; empty text where it says nothing."""

    board_type: str = ""
    firmware: str = ""
    number: str = ""
    """Serial number: what makes one board different from its twin."""

    @property
    def grade(self) -> Grade:
        """Whether this identity singles out one board."""
        if self.number:
            return Grade.UNIQUE
        return Grade.TYPE_ONLY if self.board_type else Grade.NONE

    def same_board(self, other: "Identity") -> bool:
        """Whether both describe one board; a firmware update does not change that."""
        return (self.board_type, self.number) == (other.board_type, other.number)

    def surely_same(self, other: "Identity") -> bool:
        """Whether it is one and the same board, and not just one of its type."""
        return self.grade is Grade.UNIQUE and self.same_board(other)

    def __str__(self) -> str:
        parts = [self.board_type or "a board that does not say what it is"]
        if self.firmware:
            parts.append(f"firmware {self.firmware}")
        if self.number:
            parts.append(f"number {self.number}")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Readiness:
    """Whether the outputs may move by themselves right now, and what holds them back."""

    armed: bool
    reasons: tuple[str, ...] = ()
    """Why the board would not arm, in its own words."""
