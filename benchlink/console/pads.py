"""Which settings decide what the pads of a board do, and the map they make."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from benchlink.console.template import Template
from benchlink.core.jobs import Job
from benchlink.core.outputs import Output, OutputMap
from benchlink.core.settings import Snapshot
from benchlink.core.values import Number, Text, Unset, Value, Word
from benchlink.units import PULSE_MAX, PulseUs


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A quantity of a pad: a setting's name with `{pad}`, or a fixed number."""

    named: Template | None = None
    fixed: float | None = None

    def of(self, pad: str, snapshot: Snapshot) -> float | None:
        """What it is for a pad; None where the board does not tell."""
        if self.named is None:
            return self.fixed
        setting = snapshot.settings.get(self.named.render({"pad": pad}))
        value = setting.value if setting else None
        return float(value.value) if isinstance(value, Number) else None


NOT_SAID = Figure()


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What is told of a pad, or of all pads with one job."""

    rate_hz: Figure = NOT_SAID
    shortest_us: Figure = NOT_SAID
    longest_us: Figure = NOT_SAID


@dataclass(frozen=True, slots=True, kw_only=True)
class Pads:
    """The part of a description that tells of the pads."""

    names: tuple[str, ...]
    job: Template
    """The setting that decides what a pad does; has `{pad}`."""
    words: Mapping[str, Job] = field(default_factory=dict)
    """The board's words for the jobs of a tilt-rotor."""
    nothing: tuple[str, ...] = ()
    """Its words for no job at all."""
    figures: Figures = field(default_factory=Figures)
    by_job: Mapping[Job, Figures] = field(default_factory=dict)
    """Where the job of a pad, not the pad, decides."""
    timers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    joined: tuple[tuple[str, ...], ...] = ()
    """Pads that carry the same pulse."""

    def map(self, snapshot: Snapshot) -> OutputMap:
        """What the settings say of each pad; pads that the board has not are left out."""
        made = (self._output(pad, snapshot) for pad in self.names)
        return OutputMap(outputs=tuple(output for output in made if output))

    def _output(self, pad: str, snapshot: Snapshot) -> Output | None:
        setting = snapshot.settings.get(self.job.render({"pad": pad}))
        if setting is None:
            return None
        word = word_of(setting.value)
        job = self.words.get(word)
        mine = self.by_job.get(job, Figures()) if job else Figures()

        def told(own: Figure, every: Figure) -> float | None:
            return (every if own is NOT_SAID else own).of(pad, snapshot)

        return Output(
            pad=pad,
            job=job,
            word="" if word in self.nothing else word,
            setting=setting.name,
            rate_hz=told(mine.rate_hz, self.figures.rate_hz),
            shortest_us=_pulse(told(mine.shortest_us, self.figures.shortest_us)),
            longest_us=_pulse(told(mine.longest_us, self.figures.longest_us)),
            timer=next((t for t, pads in self.timers.items() if pad in pads), ""),
            joined=next(("+".join(pads) for pads in self.joined if pad in pads), ""),
        )


def word_of(value: Value) -> str:
    """A job as a board spells it; empty where nothing is set."""
    match value:
        case Word(word):
            return word
        case Text(text):
            return text
        case Unset():
            return ""
        case _:
            return str(value)


def _pulse(value: float | None) -> PulseUs | None:
    """A pulse that could be one; a board's word for no limit is none."""
    return PulseUs(value) if value is not None and 0 < value <= PULSE_MAX else None
