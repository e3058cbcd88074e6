"""`benchlink restore`: put a backup back and prove it."""

from pathlib import Path

from benchlink.core.backup import Backup
from benchlink.core.identity import Identity
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.changing import carry_out_prepared
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.named_files import as_today, intent_from
from benchlink.store import backups
from benchlink.workflows.planning import Prepared, prepare


def run(given: Given) -> int:
    """Restore what can be; a damaged backup is refused before the port is opened."""
    path = Path(given.profile or "")
    backup = backups.load(path)
    with at_board(given) as at:
        return _restore(at, backup, path, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same to a board that is open."""
    path = Path(given.profile or "")
    return _restore(at, backups.load(path), path, given)


def _restore(at: AtBoard, backup: Backup, path: Path, given: Given) -> int:
    copy = as_today(backup, path, at.bench)
    for told in copy.told:
        at.person.tell(f"This copy: {told}.")
    for caution in cautions(copy.backup, at.bench.session.identity):
        at.person.tell(caution)
    intent = intent_from(copy.backup, path, at.bench)
    prepared = prepare(at.bench.session, at.person, intent, leave_out=True)
    for line in _left_out(prepared):
        at.person.tell(line)
    code = ExitCode.SAME
    if prepared.plan.changes or not prepared.left_out:
        code = ExitCode(carry_out_prepared(at, prepared, given))
    if not prepared.left_out or given.plan_only:
        return code
    at.say(*_left_out(prepared))
    return ExitCode.TROUBLE


def _left_out(prepared: Prepared) -> list[str]:
    """What this board cannot be told of the copy, by name."""
    if not prepared.left_out:
        return []
    return [
        "NOT ALL OF IT CAN BE PUT BACK. These are left as they are on the board:",
        *(f"  {f.name}: {f.trouble}" for f in prepared.left_out),
    ]


def cautions(backup: Backup, identity: Identity) -> list[str]:
    """What a person should know before this copy goes onto this board."""
    found: list[str] = []
    if not backup.full:
        found.append(f"NOT A FULL COPY: {backup.lacking}.")
    if backup.identity == Identity():
        found.append(
            "It does not say which board it was taken from: the calibration of this one"
            " stays."
        )
    elif not backup.identity.surely_same(identity):
        found.append(
            f"It was taken from another board ({backup.identity}): the calibration of"
            " this one stays."
        )
    elif backup.identity.firmware != identity.firmware:
        found.append(
            f"It was taken under firmware {backup.identity.firmware}; the board runs"
            f" {identity.firmware} now."
        )
    return found
