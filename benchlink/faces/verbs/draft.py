"""`benchlink draft`: a first baseline from an aircraft that flies well; writes no board."""

from dataclasses import dataclass
from pathlib import Path

from benchlink.console.description import Description
from benchlink.console.schema import describe
from benchlink.core.drafting import Drafted, Hints, draft, literal
from benchlink.core.identity import Identity
from benchlink.core.intent import Intent, Owner, matches_any
from benchlink.core.roles import OF_THE_TYPE
from benchlink.core.settings import Snapshot
from benchlink.errors import FileError
from benchlink.faces.arguments import Given
from benchlink.faces.asked import require_factory
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.hangar import own_layers
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.talker import Talker
from benchlink.faces.wording import plain
from benchlink.store import backups, descriptions
from benchlink.store.first_baseline import Heading, there_already, write
from benchlink.store.profiles import load_profile
from benchlink.workflows.read import read_settled


@dataclass(frozen=True, slots=True, kw_only=True)
class _Drawn:
    """Where the values come from."""

    identity: Identity
    snapshot: Snapshot
    name: str
    description: Description | None
    """None where nobody knows it: then nothing tells what moves, or has a role."""
    own: Intent | None = None
    """The layers of the aircraft that it is in, where it has a folder."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What is known before a board is open."""

    path: Path
    title: str
    like: Intent | None


def run(given: Given) -> int:
    """Write the draft, and say how many values went where."""
    asked = _asked(given)
    if given.backup:
        return _write(asked, _from_backup(given, given.backup), PlainPerson())
    with at_board(given) as at:
        return _write(asked, _from_board(at), at.person)


def at_work(at: AtBoard, given: Given) -> int:
    """Draw it from a board that is open."""
    return _write(_asked(given), _from_board(at), at.person)


def _write(asked: _Asked, drawn: _Drawn, person: Talker) -> int:
    like, path = asked.like, asked.path
    fresh = require_factory(drawn.identity).snapshot
    drafted = draft(drawn.snapshot, fresh, _hints(like, drawn))
    heading = Heading(
        title=asked.title,
        identity=drawn.identity,
        drawn_from=drawn.name,
        aircraft_type=like.aircraft_type if like else "",
    )
    write(path, drafted, heading, drawn.snapshot)
    person.result("\n".join(map(plain, _lines(path, drafted, drawn))))
    return ExitCode.SAME


def _asked(given: Given) -> _Asked:
    """Everything that can be refused before a board is opened."""
    return _Asked(
        path=_path(given.name),
        title=given.title,
        like=load_profile(given.like) if given.like else None,
    )


def _path(name: str) -> Path:
    path = Path(name if name.endswith((".yaml", ".yml")) else f"{name}.yaml")
    if path.exists():
        raise there_already(path)
    return path


def _from_board(at: AtBoard) -> _Drawn:
    session = at.bench.session
    # Said before the board is read for long.
    require_factory(session.identity)
    return _Drawn(
        identity=session.identity,
        snapshot=read_settled(session, at.person),
        name=at.aircraft.tail if at.aircraft else session.board.port,
        description=session.grammar.description,
        own=own_layers(at.aircraft) if at.aircraft else None,
    )


def _from_backup(given: Given, file: str) -> _Drawn:
    backup = backups.load(Path(file))
    if not backup.snapshot.settings:
        msg = f"the backup {file} holds bytes only: nothing in it was understood yet"
        raise FileError(msg, hint="Nothing was written. Draw from another backup.")
    return _Drawn(
        identity=backup.identity,
        snapshot=backup.snapshot,
        name=file,
        description=_description(given.console or "", backup.console),
    )


def _description(named: str, of_backup: str) -> Description | None:
    """The one that was named; else the shipped one of the backup's console."""
    asked = named or of_backup
    if not named and of_backup not in descriptions.shipped_consoles():
        return None
    _, path, data = descriptions.find_console(asked)
    return describe(descriptions.node_of(data, path))


def _hints(like: Intent | None, drawn: _Drawn) -> Hints:
    intents = [intent for intent in (like, drawn.own) if intent is not None]
    fitted = [name for intent in intents for name in intent.fitted_names]
    if drawn.description is not None:
        fitted += [name for names, _ in drawn.description.moving for name in names]
        fitted += _by_role(drawn.description, tuple(fitted))
    wanted = [w for intent in intents for w in intent.wanted.values()]
    fitted += [literal(w.name) for w in wanted if w.owner is Owner.FITTED]
    return Hints(
        fitted_names=tuple(fitted),
        board_names=tuple(n for intent in intents for n in intent.board_names),
        kit_names=frozenset(w.name for w in wanted if w.owner is Owner.KIT),
    )


def _by_role(description: Description, so_far: tuple[str, ...]) -> list[str]:
    """What has a role on the single aircraft, where no pattern holds it already."""
    return [
        literal(held.setting)
        for role, held in description.roles.settings.items()
        if role not in OF_THE_TYPE and not matches_any(so_far, held.setting)
    ]


def _lines(path: Path, drafted: Drafted, drawn: _Drawn) -> list[str]:
    lines = [
        f"draft     {path}",
        f"from      {drawn.identity}",
        f"baseline  {drafted.count(Owner.BASELINE)} to give reasons for",
        f"kit       {drafted.count(Owner.KIT)} left to its kit",
        f"fitted    {drafted.count(Owner.FITTED)} left to the aircraft",
        f"board     {drafted.count(Owner.BOARD)} left to the board",
    ]
    if not drawn.snapshot.complete:
        count = len(drawn.snapshot.not_understood)
        lines.append(f"NOT A FULL COPY: {count} lines were not understood.")
    if drawn.description is None:
        lines.append("Nobody knows its console: name it with `--console` to keep apart")
        lines.append("what moves from what a baseline may set.")
    return lines
