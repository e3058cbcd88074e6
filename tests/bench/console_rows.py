"""Every described console and many made-up ones, each through a whole job.

Meet, read, back up, compare, change, keep, restart and restore, in virtual time, held
against the mock's own store by name and value.
"""

from typing import Final

from benchlink.store.backups import intent_from_backup
from benchlink.workflows.apply import apply
from benchlink.workflows.backup import back_up
from benchlink.workflows.planning import prepare
from benchlink.workflows.read import read_settled
from tests.bench.effort import Effort
from tests.bench.rows import COUNT, Row, at_most, shown
from tests.consoles.consoles import CASES, Case, board_of, carry_out, meet_board
from tests.consoles.consoles import kept as kept_of
from tests.consoles.consoles import shown as shown_of
from tests.consoles.trials import TrialResult, trial
from tests.support.people import ScriptedPerson
from tests.support.shelf import Shelf
from tests.support.virtual_bench import STAMP

MADE_UP: Final = 200
SLOW: Final = 9600


def measure(effort: Effort) -> list[Row]:
    """Counts what came out otherwise than the board's own store has it."""
    return [*_described(), *_made_up(effort), *_slow(effort)]


def _described() -> list[Row]:
    bad = [f"{case}: {what}" for case in CASES for what in _wrong(case)]
    return [
        at_most(
            f"{len(CASES)} described consoles, steps that came out wrong",
            len(bad),
            0,
            COUNT,
            beside=f" ({'; '.join(bad)})" if bad else "",
        )
    ]


def _wrong(case: Case) -> list[str]:
    """The steps of one console's job that did not come out exact."""
    person, board = ScriptedPerson(), board_of(case)
    session = meet_board(case, board)
    before, kept_before = shown_of(case, board), kept_of(case, board)
    snapshot = read_settled(session, person)
    raw = {n: s.raw for n, s in snapshot.settings.items() if not s.volatile}
    backup = back_up(session, person, Shelf(), STAMP).backup
    carry_out(session, case.changes)
    intent = intent_from_backup(backup, "the first copy", same_board=True)
    apply(prepare(session, person, intent), person, Shelf().shelves, STAMP, agreed=True)
    steps = {
        "false settings": raw == before,
        "not understood": snapshot.complete,
        "restored": shown_of(case, board) == before,
        "kept": not kept_before or kept_of(case, board) == kept_before,
    }
    return [step for step, good in steps.items() if not good]


def _made_up(effort: Effort) -> list[Row]:
    count = effort.repeats(full=MADE_UP, quick=20)
    results = [trial(seed) for seed in range(count)]
    read = sum(result.settings for result in results)
    changed = sum(result.changed for result in results)
    return [
        at_most(
            f"{count} made-up consoles, false or missing settings",
            sum(len(result.false) + len(result.missing) for result in results),
            0,
            COUNT,
            beside=f" (of {read})",
        ),
        at_most(
            "  jobs that came out otherwise than they should",
            sum(not result.good for result in results),
            0,
            COUNT,
            beside=_first(results),
        ),
        shown("  settings changed, kept, proven and restored", str(changed)),
    ]


def _slow(effort: Effort) -> list[Row]:
    count = effort.repeats(full=MADE_UP, quick=10)
    results = [trial(seed, baud=SLOW) for seed in range(count)]
    return [
        at_most(
            f"{count} made-up consoles at {SLOW:,} baud, jobs that came out otherwise",
            sum(not result.good for result in results),
            0,
            COUNT,
            beside=_first(results),
        )
    ]


def _first(results: list[TrialResult]) -> str:
    bad = [result for result in results if not result.good]
    return f" (first: seed {bad[0].seed}, {bad[0].traits})" if bad else ""
