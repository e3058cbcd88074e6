"""One setting of a board."""

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .quantities import Kind


class Owner(Enum):
    """Who may write a setting, and whose value it is."""

    BUILDER = "builder"
    """An ordinary setting."""
    CALIBRATION = "calibration"
    """Writable, but the value belongs to this one board's sensors."""
    MAKER = "maker"
    """Read-only."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """Name, form and factory value of one setting."""

    name: str
    kind: "Kind"
    factory: str
    """In the board's own text form."""
    owner: Owner = Owner.BUILDER
    needs: str | None = None
    """A switch that must be `yes` before this one may be written."""
    first: bool = False
    """Also on the smallest board."""
    from_start: bool = False
    """Takes effect only as the board starts: what it held then counts."""
