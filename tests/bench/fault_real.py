"""One change under faults on real processes and a real pty, held against the aircraft."""

import signal
import time
from pathlib import Path
from random import Random
from subprocess import TimeoutExpired
from tempfile import TemporaryDirectory
from typing import Final, final

from benchlink.console.grammar import Grammar
from benchlink.core.document import Scalar
from benchlink.core.plan import Moves
from benchlink.errors import FileError
from benchlink.faces.exit_codes import ExitCode
from benchlink.store.backups import load
from benchlink.store.notation import quoted
from mocks.fault import Fault
from mocks.fault_draw import draw
from mocks.fault_restarts import AnotherBoard
from mocks.fault_text import spell_fault
from tests.bench.fault_ends import (
    LOST_BACKUP,
    NOT_RIGHT,
    SILENT,
    UNEXPECTED,
    End,
    Ran,
)
from tests.bench.fault_referee import WrongError, same_value
from tests.bench.fault_subjects import Change, Subject, stock_of, subject_of
from tests.bench.fault_typist import Typist
from tests.consoles.consoles import CASES
from tests.faces.running import Aircraft, Workshop, aircraft

SUBJECTS: Final = (0, 0, 1, 3, 4, 5)
"""Those that ask for no login, the one with profiles more often."""
MOST_CHANGES: Final = 4
LONGEST_S: Final = 120.0
TRIES: Final = 3
BY_TERMINAL: Final = "Traceback"
WAIT_S: Final = 12
DONE: Final = (ExitCode.SAME, ExitCode.UNPROVEN)
BLOWS: Final = (
    None,
    None,
    None,
    signal.SIGKILL,
    signal.SIGKILL,
    signal.SIGINT,
    signal.SIGHUP,
)


@final
class RealRun:
    """A workshop, an aircraft, and what is done to both."""

    def __init__(self, seed: int, folder: Path) -> None:
        self.seed: Final = seed
        self._random: Final = Random(f"real {seed}")  # noqa: S311 - seeded
        self._number: Final = self._random.choice(SUBJECTS)
        self.subject: Final[Subject] = subject_of(self._number, seed=3)
        self._clock: Final = CASES[self._number].clock
        self._workshop: Final = Workshop(folder)
        self._changes: Final = self._drawn_changes()
        self.story: Final[list[str]] = []
        self.interrupted = 0
        self._tally: dict[str, tuple[int, int]] = {}

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
            seed=self.seed,
            console=self.subject.name,
            end=end,
            why=why,
            kind=kind,
            story=tuple(self.story) if end is End.WRONG else (),
            interrupted=self.interrupted,
            fired=self._tally,
        )

    def _drawn_changes(self) -> tuple[Change, ...]:
        grammar = Grammar(self.subject.description)
        still = [
            change
            for change in stock_of(self._number).changes
            if grammar.moves(change.wanted.name) is Moves.NOTHING
            and change.name not in self.subject.never_kept
            and isinstance(change.wanted.given, Scalar)
        ]
        most = MOST_CHANGES if self._number == 0 else 1
        return tuple(self._random.sample(still, self._random.randint(1, most)))

    def _drawn_faults(self) -> tuple[Fault, ...]:
        stock = stock_of(self._number)
        for again in range(100):
            drawn = draw(
                self.seed * 100 + again,
                received=max(60, stock.received // 4),
                sent=stock.sent,
            )
            # A board that is exchanged for good leaves nothing to be judged.
            if not any(isinstance(fault, AnotherBoard) for fault in drawn):
                return drawn
        return ()

    def _whole(self) -> End:
        faults = self._drawn_faults()
        options = ["--console", self.subject.options.console.value, "--settings", "60"]
        options += ["--seed", "3"]
        if faults:
            options += ["--faults", "; ".join(map(spell_fault, faults))]
        self.story.append(" ".join(options))
        with aircraft(self._workshop, *options) as craft:
            before = self._holds(craft)
            wanted = self._wanted()
            code, said = self._blown(craft, *self._asking())
            self._tally = self._faults_of(craft)
            craft.order("heal")
            self._require_backup(before[0])
            end = self._judge(craft, code, said, before, wanted)
            return self._finish(craft, before, wanted) if end is None else end

    def _asking(self) -> tuple[str, ...]:
        words = ("--yes", "--wait", str(self._random.choice((0, WAIT_S))))
        if self._number:
            wanted = self._changes[0].wanted
            value = _spelled(wanted.given)
            return ("change", wanted.name, value, "--reason", "a trial", *words)
        lines = [
            f"  {change.wanted.name}: {{value: {_spelled(change.wanted.given)}}}"
            for change in self._changes
        ]
        head = ["benchlink-profile: 1", "title: Marsh trial", "layer: baseline"]
        text = "\n".join([*head, "settings:", *lines]) + "\n"
        (self._workshop.folder / "marsh.yaml").write_text(text, "utf-8")
        return ("apply", "marsh.yaml", *words)

    def _blown(self, craft: Aircraft, *words: str) -> tuple[int, str]:
        """Run a verb, and strike it once the board has got so many bytes."""
        blow = self._random.choice(BLOWS)
        most = max(60, stock_of(self._number).received // 5)
        at = self._random.randint(1, most)
        typist = Typist(self._workshop, *words)
        self.story.append(f"{' '.join(words)}; {blow} at byte {at}")
        until = time.monotonic() + LONGEST_S
        while blow and typist.process.poll() is None and time.monotonic() < until:
            if craft.received() >= at:
                typist.process.send_signal(blow)
                break
        return self._ended(typist)

    def _ended(self, typist: Typist) -> tuple[int, str]:
        try:
            code, said = typist.ended(LONGEST_S)
        except TimeoutExpired:
            self.story.extend(f"  {line}" for line in typist.said.splitlines()[-60:])
            raise
        self.story.extend(f"  {line}" for line in said.splitlines()[-8:])
        self.story.append(f"exit {code}")
        if BY_TERMINAL in said:
            raise WrongError(UNEXPECTED, said.splitlines()[-1])
        return code, said

    def _verb(self, *words: str) -> tuple[int, str]:
        self.story.append(" ".join(words))
        return self._ended(Typist(self._workshop, *words))

    def _judge(
        self,
        craft: Aircraft,
        code: int,
        said: str,
        before: tuple[dict[str, str], dict[str, str]],
        wanted: dict[str, str],
    ) -> End | None:
        live, kept = now = self._holds(craft)
        if code in DONE:
            proven = "kept, and equal after the restart" in said
            if live != wanted or (proven and kept != wanted):
                raise WrongError(SILENT, f"done: {_differs(live, kept, wanted)}")
            return End.COMPLETE if kept == wanted else End.UNPROVEN
        if "every old value is back" in said.lower() and live != before[0]:
            raise WrongError(SILENT, f"back: {_differs(live, kept, before[0])}")
        if self._open_journals():
            return None
        if now == before:
            return End.BACK if self._closed_journals() else End.UNTOUCHED
        if live == kept == wanted:
            return End.COMPLETE
        raise WrongError(SILENT, f"closed: {_differs(live, kept, before[0])}")

    def _finish(
        self,
        craft: Aircraft,
        before: tuple[dict[str, str], dict[str, str]],
        wanted: dict[str, str],
    ) -> End:
        """Resume or undo; whoever finds the board silent switches it off and on."""
        self.interrupted = 1
        resumes = self._random.random() < 0.5
        craft.order("replug")
        if self._random.random() < 0.3:
            craft.order("power-cycle")
        verb = "resume" if resumes else "undo"
        if self._random.random() < 0.3:
            self._blown(craft, verb, "--yes")
        for _ in range(TRIES):
            if not self._open_journals():
                break
            code, _ = self._verb(verb, "--yes")
            if code in DONE:
                break
            craft.order("power-cycle")
        else:
            raise WrongError(NOT_RIGHT, self.story[-2])
        live, kept = self._holds(craft)
        aim = (wanted, wanted) if resumes else before
        if (live, kept) != aim:
            if (live, kept) == before:  # a struck resume has put back by itself
                return End.UNDONE
            raise WrongError(NOT_RIGHT, f"{verb}: {_differs(live, kept, aim[0])}")
        return End.RESUMED if resumes else End.UNDONE

    def _holds(self, craft: Aircraft) -> tuple[dict[str, str], dict[str, str]]:
        """What the aircraft shows, live and kept, without its clock."""
        return tuple(  # type: ignore[return-value]
            {n: str(v) for n, v in craft.order(what).items() if n != self._clock}
            for what in ("shown", "kept-shown")
        )

    def _wanted(self) -> dict[str, str]:
        """What a healthy twin shows that holds what is asked for."""
        desk = self.subject.desk()
        for change in self._changes:
            desk.device.aircraft.put(change.name, change.value)
        return {n: v for n, v in desk.device.shown().items() if n != self._clock}

    def _open_journals(self) -> list[Path]:
        return [*self._journals().glob("*.jsonl")]

    def _closed_journals(self) -> list[Path]:
        return [*(self._journals() / "closed").glob("*.jsonl")]

    def _journals(self) -> Path:
        return self._workshop.home / "journals"

    def _faults_of(self, craft: Aircraft) -> dict[str, tuple[int, int]]:
        tally = craft.order("faults")["tally"]
        assert isinstance(tally, dict)
        return {name: (fired, hit) for name, (fired, hit) in tally.items()}

    def _require_backup(self, shown: dict[str, str]) -> None:
        if not (self._open_journals() or self._closed_journals()):
            return
        files = sorted((self._workshop.folder / "backups").glob("*.yaml"))
        if not files:
            raise WrongError(LOST_BACKUP, "no backup beside the journal")
        try:
            settings = load(files[0]).snapshot.settings
        except FileError as exc:
            raise WrongError(LOST_BACKUP, str(exc)) from exc
        for name, setting in settings.items():
            true = shown.get(name, setting.raw)
            if not setting.volatile and not same_value(true, setting.raw):
                raise WrongError(LOST_BACKUP, f"{name} is {setting.raw} in the backup")


def _spelled(given: object) -> str:
    assert isinstance(given, Scalar)
    return quoted(given.text) if given.quoted else given.text


def _differs(live: dict[str, str], kept: dict[str, str], aim: dict[str, str]) -> str:
    told = [
        f"{where} {name} is {values.get(name)}, not {value}"
        for where, values in (("live", live), ("kept", kept))
        for name, value in aim.items()
        if values.get(name) != value
    ]
    return "; ".join(told[:4]) or "kept and live differ"


def real(seed: int) -> Ran:
    """One run in a folder of its own."""
    with TemporaryDirectory(prefix="bench-") as name:
        return RealRun(seed, Path(name)).outcome()
