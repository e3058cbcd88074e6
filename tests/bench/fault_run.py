"""One change under faults, by a plan: from a healthy board to a referee's word."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from functools import partial
from pathlib import Path
from random import Random
from typing import Final, final

from benchlink.console.grammar import Grammar
from benchlink.core.backup import Backup
from benchlink.core.journal import Mark
from benchlink.errors import BenchError, SilentBoardError
from benchlink.store.backups import load
from benchlink.units import Seconds
from benchlink.workflows.apply import Applied, apply
from benchlink.workflows.carrying import Course
from benchlink.workflows.finishing import (
    Desk as FinishingDesk,
)
from benchlink.workflows.finishing import (
    Found,
    of_this_board,
    put_back,
    require_finished,
    resume,
)
from benchlink.workflows.keeping import Proof
from benchlink.workflows.planning import prepare
from benchlink.workflows.session import MIDDLE, Session, meet
from mocks.device import Device
from mocks.fault import Fault
from mocks.fault_text import spell_fault
from tests.bench.fault_ends import (
    LOST_BACKUP,
    NOT_RIGHT,
    SILENT,
    UNEXPECTED,
    End,
    Ran,
)
from tests.bench.fault_paper import IllPaper
from tests.bench.fault_person import BenchPerson
from tests.bench.fault_plan import Interruption, RunPlan, shifted
from tests.bench.fault_referee import (
    State,
    WrongError,
    case_of,
    require_true_copy,
    require_true_words,
)
from tests.bench.fault_subjects import intent_of, stock_of, subject_of
from tests.support.cable_board import (
    Blows,
    CableBoard,
    Desk,
    KilledError,
)
from tests.support.virtual_bench import STAMP

PAUSE_US: Final = 1_500_000
"""Until the next process asks the board anything."""
TRY_FOR: Final = Seconds(120.0)


@final
class Run:
    """One run, step by step."""

    def __init__(self, plan: RunPlan, folder: Path) -> None:
        self.plan: Final = plan
        self.subject: Final = subject_of(plan.subject)
        self.desk: Final = Desk(plan.options(self.subject.options))
        self.case = case_of(plan, self.desk)
        self.story: Final[list[str]] = []
        self.interrupted = 0
        self._processes = 0
        """How many have had to do with the board so far."""
        self.cycled = 0
        """How often a board was silent until somebody switched it off and on."""
        self._mute = False
        self._folder: Final = folder
        self._own: Final = self.desk.device
        self._own_line = self.desk.line
        self._number = self._own.aircraft.live["board.number"]
        self._shown = self._own.shown()
        self._backup: str = ""
        self._random: Final = Random(f"hand {plan.seed}")  # noqa: S311 - seeded
        self._twin: Device | None = None
        self._twin_state: State | None = None

    def outcome(self) -> Ran:
        """Run it, judge it."""
        why, kind = "", ""
        try:
            end = self._whole()
        except WrongError as exc:
            end, why, kind = End.WRONG, str(exc), exc.kind
        except Exception as exc:  # noqa: BLE001 - whatever comes out is the finding
            end, kind = End.WRONG, UNEXPECTED
            why = f"{type(exc).__name__}: {exc}"
        return Ran(
            seed=self.plan.seed,
            console=self.subject.name,
            end=end,
            why=why,
            kind=kind,
            story=tuple(self.story) if end is End.WRONG else (),
            interrupted=self.interrupted,
            cycled=self.cycled,
            fired=self._own.faults.tally(),
        )

    def _whole(self) -> End:
        first, *later = self.plan.interruptions
        end = self._attempt(first, partial(self._apply, how=first))
        self._require_backup()
        for place, interruption in enumerate((*later, later[-1])):
            if end is not None:
                return end
            if place == len(later) and not self._mute:
                break
            self.interrupted += not self._mute
            self._come_round(interruption)
            end = self._attempt(
                interruption,
                partial(self._finish, how=interruption),
            )
        if end is None:
            msg = f"still unfinished: {self.story[-1]}"
            raise WrongError(NOT_RIGHT, msg)
        return end

    def _attempt(
        self,
        how: Interruption,
        work: Callable[[CableBoard, BenchPerson, IllPaper], End | None],
    ) -> End | None:
        """One process from start to end; None where it left something unfinished."""
        self._processes += 1
        blows = Blows(at_sent=dict(how.at_sent))
        faults = tuple(how.faults)
        told: list[str] = []
        person = BenchPerson(at=_said(how.at_said, blows, told), keeps=self.plan.keeps)
        ills = how.ills()
        paper = IllPaper(self._folder, ills, blows, self._look_at_backup)
        self.story.append(
            f"-- {how} with {'; '.join(map(spell_fault, faults)) or 'no fault'}"
        )
        self._add(faults)
        end: End | None = None
        try:
            board = CableBoard(
                self.desk,
                self.subject.description,
                told=self.subject.told,
                blows=blows,
                hand=self._hand,
            )
            end = work(board, person, paper)
        except (KilledError, KeyboardInterrupt) as exc:
            self.story.extend(f"  {line}" for line in told[-6:])
            self.story.append(f"{type(exc).__name__} after {ills.marks}")
            self._require_true_words(told)
            end = self._after_interrupt(paper)
        except BenchError as exc:
            self.story.extend(f"  {line}" for line in told[-6:])
            details = "; ".join(exc.details[:4])
            # Whoever finds no prompt, or no sense, switches the board off and on.
            self._mute = isinstance(exc, SilentBoardError) or exc.hint == MIDDLE
            self.story.append(
                f"{type(exc).__name__}: {exc} ({details}) {exc.hint} {ills.marks}"
            )
            self._require_true_words([*told, str(exc), exc.hint])
            end = self._after_interrupt(paper)
        else:
            self.story.extend(f"  {line}" for line in told[-6:])
        return end

    def _apply(
        self, board: CableBoard, person: BenchPerson, paper: IllPaper, how: Interruption
    ) -> End:
        session = self._met(board)
        self._take_as_ours(session)
        prepared = prepare(session, person, intent_of(self.case.changes))
        course = Course(
            try_for=TRY_FOR if self.plan.tries else Seconds(0),
            wait_for=Seconds(how.wait_s),
        )
        applied = apply(
            prepared, person, paper.shelves, STAMP, agreed=True, course=course
        )
        self.story.append(f"Done: {applied.proof.value}")
        return self._judge_done(applied)

    def _finish(
        self, board: CableBoard, person: BenchPerson, paper: IllPaper, how: Interruption
    ) -> End | None:
        session = self._met(board)
        found = of_this_board(session.identity, paper.unfinished())
        if not found:
            msg = f"nothing unfinished is found on {session.identity}"
            raise WrongError(NOT_RIGHT, msg)
        with suppress(BenchError):
            require_finished(found)
            msg = "another change could begin on top of it"
            raise WrongError(SILENT, msg)
        return self._finish_found(session, person, found[0], paper, how)

    def _finish_found(
        self,
        session: Session,
        person: BenchPerson,
        found: Found,
        paper: IllPaper,
        how: Interruption,
    ) -> End | None:
        desk = FinishingDesk(records=paper, journals=paper, stamp=STAMP, agreed=True)
        if how.resumes:
            carried = resume(session, person, found, desk)
            self.story.append(f"resumed: {carried.proof.value}")
            proven = carried.proof is Proof.RESTARTED
            self._require(self.case.wanted, "resumed", kept=proven or not how.faults)
            return End.RESUMED
        said = put_back(session, person, found, desk).said
        self.story.append(f"undone: {said}")
        self._require_true_words([said])
        self._require(self.case.before, "undone", kept=_proven(said) or not how.faults)
        return End.UNDONE

    def _met(self, board: CableBoard) -> Session:
        return meet(board, Grammar(self.subject.description))

    def _take_as_ours(self, session: Session) -> None:
        """Whoever is exchanged before it said who it is was never another board."""
        number = self._own.aircraft.live["board.number"]
        if self._elsewhere() and session.identity.number == number.strip('"'):
            self._number, self._shown = number, self._own.shown()
            self.case = case_of(self.plan, self.desk)

    def _judge_done(self, applied: Applied) -> End:
        proven = applied.proof is Proof.RESTARTED
        fleeting = applied.proof is Proof.FLEETING
        now = self._state(self.desk.device)
        right = not now.differs(self.case.wanted)
        if right and (proven or fleeting):
            return End.COMPLETE
        wanted = self.case.wanted
        if not proven and now.live == self.case.unrestarted.live:
            # It said that nothing shows a restart, and there was none.
            wanted = self.case.unrestarted
        self._require(wanted, "done", kept=proven or fleeting)
        return End.COMPLETE if right else End.UNPROVEN

    def _after_interrupt(self, paper: IllPaper) -> End | None:
        """How an attempt that did not come through left things."""
        unfinished = paper.journals.unfinished()
        if unfinished:
            return None
        closed = sorted((self._folder / "journal" / "closed").glob("*"))
        if not closed:
            self._bring_back_ours()
            self._require(self.case.before, "refused", kept=True)
            return End.UNTOUCHED
        text = closed[-1].read_text("utf-8")
        if f'"{Mark.DONE.name}"' in text:
            self._require(self.case.wanted, "closed as done", kept=False)
            return End.RESUMED if self.interrupted else End.COMPLETE
        now = self._state(self.desk.device)
        self._require(self.case.before, "closed as put back", kept=False)
        if self.interrupted:
            return End.UNDONE
        return End.BACK if not now.differs(self.case.before) else End.UNPROVEN

    def _require(self, wanted: State, what: str, *, kept: bool) -> None:
        if self._elsewhere():
            raise WrongError(SILENT, f"{what}, but on another board")
        now = self._state(self._own)
        aim = wanted if kept else State(live=wanted.live, kept=now.kept)
        differs = now.differs(aim)
        if differs:
            kind = NOT_RIGHT if self.interrupted else SILENT
            raise WrongError(kind, f"{what}: {differs}")

    def _require_true_words(self, told: list[str]) -> None:
        if not self._elsewhere():
            now = self._state(self._own)
            first = self._processes == 1
            require_true_words(told, now, self.case.before, first=first)

    def _look_at_backup(self, backup: Backup) -> None:
        """A copy that is about to be written: of an untouched board, and true."""
        if self._backup:
            return
        untouched = self._state(self._own).differs(self.case.before)
        if untouched:
            raise WrongError(LOST_BACKUP, f"written to before the backup: {untouched}")
        self._backup = "taken"
        require_true_copy(self._shown, backup)

    def _require_backup(self) -> None:
        """Whoever wrote anything has a true copy on the disk."""
        touched = self._state(self._own).differs(self.case.before)
        journals = [*(self._folder / "journal").rglob("*.jsonl")]
        if not touched and not journals:
            return
        files = sorted((self._folder / "backups").glob("*"))
        if not files:
            raise WrongError(LOST_BACKUP, f"no backup, and {touched}")
        require_true_copy(self._shown, load(files[0]))

    def _state(self, device: Device) -> State:
        return State.of(device, stock_of(self.plan.subject).unseen)

    def _elsewhere(self) -> bool:
        """Whether another board than ours hangs on the cable now."""
        if self.desk.device is not self._own:
            return True
        return self._own.aircraft.live["board.number"] != self._number

    def _come_round(self, how: Interruption) -> None:
        """Between two processes: the faults are over, somebody looks at the cable."""
        desk = self.desk
        self._own.faults.heal()
        self._bring_back_ours()
        desk.plug_in()
        if self._own.dead or how.power_cycle or self._mute:
            self.cycled += self._mute
            self._mute = False
            desk.power_cycle()
        desk.now_us += PAUSE_US
        desk.line.from_board(desk.now_us)

    def _bring_back_ours(self) -> None:
        """Another board that stood in the place of ours goes away again, unwritten."""
        desk = self.desk
        if self._twin is not None and desk.device is self._twin:
            self._require_twin_untouched()
            desk.device, desk.line = self._own, self._own_line
            desk.device.advance(desk.now_us)
        aircraft = self._own.aircraft
        if aircraft.live["board.number"] != self._number:
            aircraft.exchange(self._number, desk.store)
            desk.power_cycle()

    def _require_twin_untouched(self) -> None:
        assert self._twin is not None
        assert self._twin_state is not None
        differs = self._state(self._twin).differs(self._twin_state)
        if differs:
            raise WrongError(SILENT, f"another board was written to: {differs}")

    def _hand(self, desk: Desk) -> None:
        """Somebody plugs in what fell out, sooner or later, or something else."""
        if desk.line.plugged or self.plan.hand == "none":
            return
        if self._random.random() < 0.8:
            return
        if self.plan.hand == "other" and self._twin is None:
            self._twin = Device(self.plan.other_options(self.subject.options))
            self._twin.aircraft.keep()
            self._own_line = desk.line
            desk.exchange(self._twin)
            self._twin_state = self._state(self._twin)
            return
        desk.plug_in()
        if self.plan.hand == "power":
            desk.power_cycle()

    def _add(self, faults: tuple[Fault, ...]) -> None:
        device = self._own
        for fault in faults:
            late = shifted(fault, received=device.received, sent=device.sent)
            device.faults.add(late, self.desk.now_us)


def _proven(said: str) -> bool:
    return Proof.RESTARTED.value in said or "Nothing was kept" in said


def _said(
    at_said: Mapping[int, type[BaseException]], blows: Blows, told: list[str]
) -> Callable[[str], None]:
    count = 0

    def at(sentence: str) -> None:
        nonlocal count
        count += 1
        if "/" not in sentence[-12:]:
            told.append(sentence)
        blow = at_said.get(count)
        if blow is None:
            return
        if issubclass(blow, KilledError):
            blows.killed = True
        raise blow

    return at
