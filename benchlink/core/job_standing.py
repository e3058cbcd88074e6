"""How each step of the job stands: by what was written down, and what the board holds now.

A record proves a step only as long as nothing it rests on has changed since: the
aircraft, the board, the settings that it names, the pulses that it set.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from enum import Enum
from typing import Final

from benchlink.core.bench_record import BenchRecord, Held, SideWork, Work
from benchlink.core.job_facts import BoardNow, OnPaper, TiltNow
from benchlink.core.job_steps import Happening, Step
from benchlink.core.roles import OwnSide
from benchlink.core.values import decimal_or_none

SAME_CENTRE_US: Final = 0.5
"""Nearer centres are the same: boards and records round."""
SAME_SPAN_US: Final = 1.5
"""A span is the difference of two pulses that are both rounded."""
FEW: Final = 3
"""Settings told by name before the rest is counted."""
SETTING_CENTRE: Final = (Work.CENTRE, Work.THROW, Work.TRIM)
"""Works after which the board holds the centre that their record names."""


class Standing(Enum):
    """How a step stands."""

    DONE = "done"
    AGAIN = "to do again"
    NEXT = "next"
    OPEN = "open"
    NOT_HERE = "not here"
    """Not on this board."""


LEFT_TO_DO: Final = frozenset({Standing.AGAIN, Standing.NEXT, Standing.OPEN})


@dataclass(frozen=True, slots=True, kw_only=True)
class StepState:
    """One step."""

    step: Step
    standing: Standing
    why: str = ""
    """Why it is to do again, cannot be done, or counts as done."""
    on: datetime | None = None
    """When it was done last, whether that still counts or not."""
    by: str = ""
    proof: str = ""
    """What came of it then."""
    lacks: tuple[Step, ...] = ()
    """What has to be done before, and is not."""

    @property
    def left(self) -> bool:
        """Whether something is left to do."""
        return self.standing in LEFT_TO_DO


@dataclass(frozen=True, slots=True)
class _Case:
    """A step, and all that is known."""

    step: Step
    paper: OnPaper
    now: BoardNow

    def newest(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        """The latest record of a work; of this step, where it is a person's word."""
        return next(self._latest(work, side), None)

    def ended(self, work: Work, side: OwnSide | None = None) -> BenchRecord | None:
        """The latest that came to its end, whatever was broken off since."""
        found = self._latest(work, side)
        return next((record for record in found if not record.broken_off), None)

    def _latest(self, work: Work, side: OwnSide | None) -> Iterator[BenchRecord]:
        about = self.step.value if work is Work.STEP else ""
        return (
            record
            for record in reversed(self.paper.records)
            if record.work is work
            and (not about or record.about == about)
            and (side is None or record.side(side))
        )


def standings(paper: OnPaper, now: BoardNow) -> tuple[StepState, ...]:
    """Every step in its order, the first that can be done now as the next."""
    judged = [_judge(_Case(step, paper, now)) for step in Step]
    open_ones = {state.step for state in judged if state.left}
    states = [
        replace(s, lacks=tuple(n for n in s.step.duty.needs if n in open_ones))
        for s in judged
    ]
    turn = whose_turn(tuple(states))
    return tuple(
        replace(s, standing=Standing.NEXT)
        if s is turn and s.standing is Standing.OPEN
        else s
        for s in states
    )


def whose_turn(states: tuple[StepState, ...]) -> StepState | None:
    """The first step that is left and can be done; None where all is done."""
    return next((s for s in states if s.left and not s.lacks), None)


def _judge(case: _Case) -> StepState:
    """By its proof; where there can be none here, by a person's word, if there is one."""
    step = case.step
    spoken = case.newest(Work.STEP)
    cannot = case.now.cannot.get(step)
    if cannot is not None and spoken is None:
        return StepState(step=step, standing=Standing.NOT_HERE, why=cannot)
    if cannot is not None:
        return _recorded(case, spoken)
    return _PROOFS.get(step, _by_record)(case)


def _by_record(case: _Case) -> StepState:
    return _recorded(case, case.newest(case.step.duty.work))


def _recorded(case: _Case, record: BenchRecord | None) -> StepState:
    if record is None:
        return StepState(step=case.step, standing=Standing.OPEN)
    state = _of(record, case.step, _spoilt(case, record))
    if record.broken_off and case.ended(record.work) is None:
        return replace(state, standing=Standing.OPEN)
    return state


def _of(record: BenchRecord, step: Step, spoilt: str) -> StepState:
    return StepState(
        step=step,
        standing=Standing.AGAIN if spoilt else Standing.DONE,
        why=spoilt,
        on=record.made_at,
        by=record.operator,
        proof=record.result,
    )


def _spoilt(case: _Case, record: BenchRecord) -> str:
    """Why a record does not prove its step any more; empty where it does."""
    if record.broken_off:
        return (
            f"broken off at {record.made_at:%H:%M} after {record.broken_off}"
            f" ({record.made_at:%Y-%m-%d})"
        )
    if not record.right:
        return record.result.rstrip(".")
    duty = case.step.duty
    for happening, since in _since(case.paper, record):
        if happening in duty.undone_by:
            return f"{happening.happened} ({since.made_at:%Y-%m-%d})"
    if duty.of_board and not record.board.same_board(case.now.board):
        return f"it was done with another board ({record.board})"
    return _off_held(record.held, case.now.values)


def _since(
    paper: OnPaper, record: BenchRecord
) -> Iterator[tuple[Happening, BenchRecord]]:
    """What happened to the aircraft after a record was made."""
    words = {happening.value: happening for happening in Happening}
    for later in reversed(paper.records):
        if later.number <= record.number:
            return
        if later.work is Work.CHANGED and later.about in words:
            yield words[later.about], later


def _off_held(held: tuple[Held, ...], values: Mapping[str, str]) -> str:
    off = [
        f"{h.name} is {values.get(h.name, 'gone')} now, {h.value} then"
        for h in held
        if not _same(values.get(h.name), h.value)
    ]
    return _few(off)


def _same(now: str | None, then: str) -> bool:
    if now is None or now == then:
        return now == then
    number = decimal_or_none(now)
    return number is not None and number == decimal_or_none(then)


def _few(texts: list[str]) -> str:
    more = len(texts) - FEW
    told = "; ".join(texts[:FEW])
    return f"{told}; and {more} more" if more > 0 else told


# Steps that the board itself or a kept copy proves.


def _copied(case: _Case) -> StepState:
    copy = case.paper.copy
    if copy is None:
        return StepState(step=case.step, standing=Standing.OPEN)
    other = not copy.board.same_board(case.now.board)
    return StepState(
        step=case.step,
        standing=Standing.AGAIN if other else Standing.DONE,
        why=f"the last copy is of another board ({copy.board})" if other else "",
        on=copy.taken_at,
        proof=copy.path,
    )


def _as_wanted(case: _Case) -> StepState:
    against = case.now.against
    if against is None or not against.asked:
        why = case.now.misfit or "nobody has said yet what this aircraft should hold"
        return StepState(step=case.step, standing=Standing.OPEN, why=why)
    if against.off:
        count = len(against.off)
        differ = "setting differs" if count == 1 else "settings differ"
        why = f"{count} {differ} from {against.title}"
        return StepState(step=case.step, standing=Standing.OPEN, why=why)
    why = f"the board holds all that {against.title} asks for"
    return StepState(step=case.step, standing=Standing.DONE, why=why)


def _mapped(case: _Case) -> StepState:
    wrong = case.now.wrong_outputs
    if wrong:
        why = _few([sentence.rstrip(".") for sentence in wrong])
        return StepState(step=case.step, standing=Standing.OPEN, why=why)
    why = "nothing is wrong with it, as far as settings tell"
    return StepState(step=case.step, standing=Standing.DONE, why=why)


def _signed(case: _Case) -> StepState:
    record = case.newest(Work.STEP)
    if record is None:
        return StepState(step=case.step, standing=Standing.OPEN)
    return _of(record, case.step, _spoilt(case, record) or _unsigned(case, record))


def _unsigned(case: _Case, record: BenchRecord) -> str:
    """What was done after it was signed; empty where nothing was."""
    later = [
        r
        for r in case.paper.records
        if r.number > record.number and r.about != Step.OUTDOORS.value
    ]
    if later:
        what = later[-1].about or later[-1].work.value
        return f"worked on since it was signed: {what} ({later[-1].made_at:%Y-%m-%d})"
    if record.settings == case.now.settings:
        return ""
    off = case.paper.signed.off if case.paper.signed else ()
    return f"changed since it was signed: {_few(list(off)) or 'settings'}"


def _outdoors(case: _Case) -> StepState:
    state = _by_record(case)
    record = case.newest(Work.STEP)
    signed = _Case(Step.SIGN, case.paper, case.now).newest(Work.STEP)
    done = state.standing is Standing.DONE
    if done and record and signed and signed.number > record.number:
        return _of(record, case.step, "signed anew since")
    return state


# Tilts: the record names the pulses, the board has to hold them.


def _tilts(case: _Case) -> StepState:
    """Both sides, by the latest record of each; the older of the two is what counts."""
    work = case.step.duty.work
    found = {side: case.newest(work, side) for side in OwnSide}
    records = [record for record in found.values() if record is not None]
    if not records:
        return StepState(step=case.step, standing=Standing.OPEN)
    # Whatever was broken off is told before anything else.
    records.sort(key=lambda record: (not record.broken_off, record.number))
    why = [spoilt for record in records if (spoilt := _spoilt(case, record))][:1]
    if any(case.ended(work, side) is None for side in OwnSide):
        why = why if records[0].broken_off else []
        missing = [side.value for side, record in found.items() if record is None]
        why += [f"the {side} side is still to do" for side in missing]
        state = _of(records[0], case.step, "")
        return replace(state, standing=Standing.OPEN, why="; ".join(why))
    why += [
        off
        for side, record in found.items()
        if record and (off := _off_tilt(case, record, side))
    ]
    return _of(records[0], case.step, _few(why))


def _off_tilt(case: _Case, record: BenchRecord, side: OwnSide) -> str:
    """Where the board holds another pulse than was found for this side."""
    told, now = record.side(side), case.now.tilts.get(side, TiltNow())
    if told is None:
        return ""
    if case.step is Step.THROW:
        return _off_ends(told, now)
    ended = [case.ended(work, side) for work in SETTING_CENTRE]
    last = max(filter(None, ended), key=lambda r: r.number, default=None)
    newest = last.side(side) if last else None
    centre_us = newest.centre_us if newest else None
    if centre_us is None or now.centre_us is None:
        return ""
    if abs(now.centre_us - centre_us) <= SAME_CENTRE_US:
        return ""
    return (
        f"the {side.value} centre is {now.centre_us:g} us now, {centre_us:g} in the"
        " record"
    )


def _off_ends(told: SideWork, now: TiltNow) -> str:
    """Ends are compared as spans, for a trim moves both ends and the centre alike."""
    for end in told.ends:
        span_us = now.spans_us.get(end.way)
        if told.centre_us is None or span_us is None:
            continue
        then_us = abs(end.pulse_us - told.centre_us)
        if abs(span_us - then_us) > SAME_SPAN_US:
            return (
                f"the {told.side.value} {end.way.value} end is {span_us:.0f} us from the"
                f" centre now, {then_us:.0f} in the record"
            )
    return ""


_PROOFS: Final[Mapping[Step, Callable[[_Case], StepState]]] = {
    Step.COPY: _copied,
    Step.BASELINE: _as_wanted,
    Step.OUTPUTS: _mapped,
    Step.CENTRE: _tilts,
    Step.THROW: _tilts,
    Step.SIGN: _signed,
    Step.OUTDOORS: _outdoors,
}
"""How steps are judged that no single record proves."""
