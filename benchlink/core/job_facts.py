"""What is known of a job: what the board holds now, and what is on paper."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from benchlink.core.angles import Way
from benchlink.core.bench_record import BenchRecord
from benchlink.core.identity import Identity
from benchlink.core.job_steps import Step
from benchlink.core.roles import OwnSide
from benchlink.units import PulseUs


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltNow:
    """One tilt as the board's settings have it."""

    centre_us: PulseUs | None = None
    """None where no setting tells."""
    spans_us: Mapping[Way, float] = field(default_factory=dict)
    """How far each end is from the centre; never below zero."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Against:
    """The board beside what it should hold."""

    title: str
    asked: int
    """Settings that are asked for at all."""
    off: tuple[str, ...]
    """Names with something left to do."""
    profile: str = ""
    """What to name to `apply`; empty where the aircraft's own layers are meant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardNow:
    """The board at the bench, as far as the job asks."""

    board: Identity
    settings: str
    """Fingerprint of what it holds."""
    values: Mapping[str, str] = field(default_factory=dict)
    """Every setting as it is shown."""
    tilts: Mapping[OwnSide, TiltNow] = field(default_factory=dict)
    cannot: Mapping[Step, str] = field(default_factory=dict)
    """Steps that this board or its description has no way to do, and why."""
    wrong_outputs: tuple[str, ...] = ()
    """What is wrong with the map of the outputs, a sentence each."""
    against: Against | None = None
    """None where nobody has said what it should hold, or that is for other boards."""
    misfit: str = ""
    """Why what it should hold is for other boards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptCopy:
    """A kept copy of a board, beside what the board at the bench holds now."""

    taken_at: datetime
    board: Identity
    path: str
    off: tuple[str, ...]
    """Names that hold something else on the board now."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnPaper:
    """What was written down of this aircraft."""

    records: tuple[BenchRecord, ...] = ()
    """The oldest first."""
    copy: KeptCopy | None = None
    """The latest copy."""
    signed: KeptCopy | None = None
    """The copy that was signed last; None where none was, or it is gone."""
