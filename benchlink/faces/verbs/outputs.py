"""`benchlink outputs`: what the settings say each output does, and what it truly moves."""

from dataclasses import dataclass
from pathlib import Path

from benchlink.core.bench_record import BenchRecord, Work
from benchlink.core.job_steps import Step
from benchlink.core.jobs import Job
from benchlink.core.output_findings import OutputFinding, ServoLimit, findings
from benchlink.core.outputs import TILTS, OutputMap
from benchlink.core.settings import Snapshot
from benchlink.core.wiggle_findings import Exchange
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import Json, give, identity_data
from benchlink.faces.output_words import (
    finding_lines,
    found_data,
    map_data,
    map_lines,
    observed_data,
    observed_lines,
    said_of_outputs,
)
from benchlink.faces.tilt_work import TiltWork, kept_change, require_terminal, tilt_work
from benchlink.faces.wiring import now
from benchlink.store.parts import load_parts
from benchlink.version import VERSION
from benchlink.workflows.apply import Applied
from benchlink.workflows.job import rests_on
from benchlink.workflows.output_map import exchanged, map_of, read_map
from benchlink.workflows.planning import prepare
from benchlink.workflows.wiggle import Wiggled, wiggle

ALL_WELL = "Nothing is wrong with this map, as far as settings tell."
NEXT = "What truly hangs where shows `benchlink outputs --wiggle`."
AS_DECLARED = "Every tilt servo hangs where the settings say."


@dataclass(frozen=True, slots=True, kw_only=True)
class _Declared:
    """The map as the settings have it."""

    outputs: OutputMap
    snapshot: Snapshot
    found: tuple[OutputFinding, ...]

    def lines(self, at: AtBoard) -> list[str]:
        """In words."""
        return [at.who, *map_lines(self.outputs), *finding_lines(self.found)]

    def data(self, at: AtBoard) -> dict[str, Json]:
        """For a program."""
        return {
            "board": identity_data(at.bench.session.identity),
            "aircraft": at.aircraft.tail if at.aircraft else None,
            **map_data(self.outputs, self.found),
        }


def run(given: Given) -> int:
    """Show the map, or try it out; exit 1 where something is wrong."""
    if given.wiggle:
        require_terminal("the wiggle test")
    with at_board(given) as at:
        return at_work(at, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    if given.wiggle:
        return _wiggle(at, given)
    outputs, snapshot = read_map(at.bench.session, at.person)
    declared = _declared(at, outputs, snapshot, given)
    lines = [*declared.lines(at), *([] if declared.found else [ALL_WELL]), NEXT]
    give(given, declared.data(at), lines, at.person)
    return ExitCode.DIFFERS if declared.found else ExitCode.SAME


def _declared(
    at: AtBoard, outputs: OutputMap, snapshot: Snapshot, given: Given
) -> _Declared:
    found = findings(outputs, _servos(at, given.servo))
    return _Declared(outputs=outputs, snapshot=snapshot, found=found)


def _servos(at: AtBoard, name: str) -> dict[Job, ServoLimit]:
    """What the tilt servos take: nothing is known of one that nobody named."""
    if not name:
        return {}
    beside = (Path(at.aircraft.folder) / "parts",) if at.aircraft else ()
    make = load_parts(beside).servo(name)
    limit = ServoLimit(
        name=make.title if make.known else "",
        rate_hz=make.most_rate_hz,
        longest_us=make.part.longest_us,
    )
    return dict.fromkeys(TILTS, limit)


def _wiggle(at: AtBoard, given: Given) -> int:
    """Move one output after the other, conclude, and offer the correction."""
    with tilt_work(at, given, Work.OUTPUTS) as work:
        bench = work.bench
        outputs = map_of(bench.mover.session, bench.snapshot)
        declared = _declared(at, outputs, bench.snapshot, given)
        for line in declared.lines(at):
            at.person.tell(line)
        wiggled = wiggle(bench, outputs)
        give(given, _data(at, declared, wiggled), _lines(wiggled), at.person)
        exchange, mended = wiggled.conclusion.exchange, None
        if exchange is not None and not given.json:
            mended = _mended(work, declared, exchange, given)
        path = work.noted.keep(_record(work, declared, wiggled, mended))
        at.person.tell(f"Record: {path}")
    left = len(wiggled.conclusion.findings) - (mended is not None)
    return ExitCode.DIFFERS if left else ExitCode.SAME


def _record(
    work: TiltWork, declared: _Declared, wiggled: Wiggled, mended: Applied | None
) -> BenchRecord:
    """What was asked and seen, as it is written down."""
    at = work.at
    after = mended.after if mended else declared.snapshot
    found = [finding.sentence for finding in wiggled.conclusion.findings]
    description = at.bench.session.grammar.description
    return BenchRecord(
        work=Work.OUTPUTS,
        made_at=now(),
        operator=work.who.operator,
        aircraft=work.who.aircraft,
        board=at.bench.session.identity,
        settings=after.fingerprint(),
        tool_version=VERSION,
        result=" ".join(found) or AS_DECLARED,
        right=not found,
        said=said_of_outputs(wiggled.observed),
        remarks=("the two jobs were exchanged in the settings",) if mended else (),
        held=rests_on(Step.WIGGLE, description, after),
    )


def _lines(wiggled: Wiggled) -> list[str]:
    found = wiggled.conclusion.findings
    told = finding_lines(found) if found else [AS_DECLARED]
    return [*observed_lines(wiggled.observed), *told]


def _data(at: AtBoard, declared: _Declared, wiggled: Wiggled) -> dict[str, Json]:
    return {
        **declared.data(at),
        "wiggled": observed_data(wiggled.observed),
        "wiggle_findings": [found_data(f) for f in wiggled.conclusion.findings],
    }


def _mended(
    work: TiltWork, declared: _Declared, exchange: Exchange, given: Given
) -> Applied | None:
    """Two jobs exchanged, by a yes and the same transaction as any change."""
    at, one, other = work.at, exchange.one.name, exchange.other.name
    question = f"Exchange the jobs of {one} and {other} in the settings?"
    if not at.person.agrees(f"{question} No, if you exchange the plugs."):
        return None
    given.note = f"before the jobs of {one} and {other} were exchanged"
    given.out = None
    intent = exchanged(exchange, declared.snapshot)
    applied = kept_change(work, prepare(at.bench.session, at.person, intent), given)
    at.person.tell("Wiggle once more: that alone proves the new map.")
    return applied
