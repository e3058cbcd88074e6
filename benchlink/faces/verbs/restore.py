"""`benchlink restore`: put a backup back and prove it."""

from pathlib import Path

from benchlink.core.backup import Backup
from benchlink.core.identity import Identity
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import at_board
from benchlink.faces.changing import carry_out
from benchlink.faces.wiring import intent_from
from benchlink.store import backups


def run(given: Given) -> int:
    """Restore the backup; a damaged one is refused before the port is opened."""
    path = Path(given.profile or "")
    backup = backups.load(path)
    with at_board(given) as at:
        for caution in cautions(backup, at.bench.session.identity):
            at.person.tell(caution)
        return carry_out(at, intent_from(backup, path, at.bench), given)


def cautions(backup: Backup, identity: Identity) -> list[str]:
    """What a person should know before this copy goes onto this board."""
    found: list[str] = []
    if not backup.full:
        count = len(backup.snapshot.not_understood)
        found.append(f"NOT A FULL COPY: {count} lines of it were not understood.")
    if not backup.identity.same_board(identity):
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
