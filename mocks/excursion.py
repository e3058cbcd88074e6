"""How far something moved, and which way, since somebody looked."""

from dataclasses import dataclass


@dataclass(slots=True)
class Excursion:
    """The furthest places on both sides of where it stood, in degrees."""

    from_deg: float = 0.0
    aft_deg: float = 0.0
    """Furthest towards the tail, as a distance."""
    fore_deg: float = 0.0
    """Furthest towards the nose, as a distance."""

    def reach(self, arm_deg: float) -> None:
        """It came by here."""
        self.fore_deg = max(self.fore_deg, arm_deg - self.from_deg)
        self.aft_deg = max(self.aft_deg, self.from_deg - arm_deg)

    @property
    def way(self) -> str:
        """To which side it went further."""
        return "fore" if self.fore_deg >= self.aft_deg else "aft"

    @property
    def most_deg(self) -> float:
        """How far it went."""
        return max(self.fore_deg, self.aft_deg)
