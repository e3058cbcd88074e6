"""Plugs link and store into the workflows: from what a person asked for to a session."""

import os
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.schema import describe
from benchlink.core.doors import Ears, Person
from benchlink.core.identity import Identity
from benchlink.errors import FileError, SafetyRefusalError, UsageError
from benchlink.faces.approval import what_is_sent
from benchlink.faces.doorway import Doorway
from benchlink.faces.last_answers import LastAnswers
from benchlink.faces.logins import told_by_person
from benchlink.faces.recording import Spoken, heading_of, recorded_console
from benchlink.link.board import connect, route_by
from benchlink.link.ports import PortIdentity, identify, list_ports
from benchlink.link.recorder import require_new
from benchlink.link.recording_text import Heading
from benchlink.link.replay import Replay, replay_of
from benchlink.link.trouble import no_port_at_all, no_such_port, only_built_in
from benchlink.store import backups, descriptions, memory, places
from benchlink.store.aircraft_folder import AircraftFolder
from benchlink.store.bench_records import BenchRecords
from benchlink.store.factory_shelf import FactoryShelf
from benchlink.store.journals import Journals
from benchlink.units import Baud, Seconds, baud
from benchlink.version import VERSION
from benchlink.workflows.backup import Stamp
from benchlink.workflows.props_watch import PropsWatch
from benchlink.workflows.session import Session, meet

DEFAULT_BAUD: Final = Baud(115_200)
BACKUP_FOLDER: Final = "backups"
RECORD_FOLDER: Final = "records"
"""Beside the backups."""
JOURNALS: Final = "journals"
SWITCH_EVERY_S: Final = 0.0005
STILL_TALKING: Final = "The board is still talking: waiting until it has finished."


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What the person asked for, as far as they said it."""

    port: str | None = None
    console: str | None = None
    speed: int | None = None
    record: str | None = None
    """File for a recording of all that goes over the wire."""
    verb: str = ""
    """What is done with the board, for whoever finds it in use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """A board that was met, and how to let go of it."""

    session: Session
    console_hash: str
    close: Callable[[], None]
    recorded: Heading | None = None
    """Where a recording plays the board: when and with what it was made."""
    played_in: Path | None = None
    """The folder for journals of what is only played; it goes when this is closed."""
    ears: Ears | None = None
    """For whoever shows what goes over the wire."""
    props: PropsWatch = field(default_factory=PropsWatch)
    """Props off between two pieces of work on this board."""
    answers: LastAnswers = field(default_factory=LastAnswers)
    """What was answered there so far, offered when it is asked again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenConsole:
    """A description that may talk to the board at hand."""

    description: Description
    name_or_path: str
    digest: str
    shipped: bool


def clock() -> Seconds:
    """The one real clock."""
    return Seconds(time.monotonic())


def now() -> datetime:
    """Wall time, with its offset; for people, never for measuring."""
    return datetime.now(UTC).astimezone()


def state_folder() -> Path:
    """This user's own folder."""
    return places.state_folder(os.environ, Path.home())


def simulated_folder() -> Path:
    """Where running simulated aircraft announce themselves."""
    return state_folder() / "simulated"


def ports() -> tuple[PortIdentity, ...]:
    """Every port worth trying."""
    return list_ports(simulated_folder())


def choose_port(choice: Choice) -> PortIdentity:
    """The port that was named, or the only one there is.

    Raises:
        NoPortError: none is there.
        UsageError: several are, and nobody said which.
    """
    if choice.port:
        if "://" not in choice.port and not Path(choice.port).exists():
            raise no_such_port(choice.port, ports())
        return identify(choice.port, simulated_folder())
    found = ports()
    if not found:
        raise no_port_at_all()
    plugged_in = tuple(port for port in found if port.plugged_in)
    if not plugged_in:
        raise only_built_in(found)
    if len(plugged_in) > 1:
        msg = "more than one board could be meant"
        raise UsageError(
            msg,
            details=tuple(
                f"{p.url}  {p.product} {p.serial}".rstrip() for p in plugged_in
            ),
            hint="Name one with `--port`.",
        )
    return plugged_in[0]


def choose_console(choice: Choice, port: PortIdentity, person: Person) -> ChosenConsole:
    """The description that was named, announced, or approved for this port before.

    Raises:
        UsageError: nobody knows what this board speaks.
        FileError: the description has mistakes.
        SafetyRefusalError: it is new, and nobody approved it.
    """
    approvals = memory.Memory(state_folder(), person.tell)
    remembered = approvals.last_console(_key(port))
    asked = choice.console or port.console or (remembered[0] if remembered else "")
    if not asked:
        msg = f"nobody has said what the board at {port.url} speaks"
        raise UsageError(
            msg,
            hint="Nothing was sent. Name its description with `--console NAME` (the full"
            " screen: leave, and open it again as `benchlink --console NAME`), or keep"
            " what it says with `benchlink backup --raw COMMAND`.",
        )
    console = _found_console(asked)
    digest = console.digest
    if not console.shipped and not approvals.approved(_key(port), digest):
        _get_approval(console, port, person)
        approvals.remember(_key(port), console.name_or_path, digest, now().date())
    return console


def known_console(
    choice: Choice, port: PortIdentity, person: Person
) -> Description | None:
    """The description of that board, without asking; None where none is approved."""
    approvals = memory.Memory(state_folder(), person.tell)
    remembered = approvals.last_console(_key(port))
    asked = choice.console or port.console or (remembered[0] if remembered else "")
    try:
        console = _found_console(asked)
    except FileError:
        return None
    approved = console.shipped or approvals.approved(_key(port), console.digest)
    return console.description if approved else None


def open_bench(choice: Choice, person: Person) -> Bench:
    """Open the port, wake the board and ask who it is.

    Raises:
        BenchError: any of that failed; says what is safe and what to do.
    """
    # Python hands over between threads every 5 ms unless told otherwise, and that alone
    # would use up what a stop may take beside a busy screen (measured: p99 13 -> 4 ms).
    sys.setswitchinterval(SWITCH_EVERY_S)
    port = choose_port(choice)
    replay = replay_of(port.url)
    with ExitStack() as let_go:
        door = let_go.enter_context(open_door(choice, port, person, replay))
        if replay:
            console = _recorded_console(choice, replay, person)
            told = replay.told()
        else:
            console = choose_console(choice, port, person)
            told = told_by_person(console.description, person)
        if choice.record:
            spoken = Spoken(
                description=console.description, digest=console.digest, told=told
            )
            heading = heading_of(port.url, speed_of(choice), now(), spoken)
            door.record(Path(choice.record), heading, spoken.secrets(), clock)
        grammar = Grammar(console.description)
        route = replace(
            route_by(
                console.description.manner,
                told,
                speed=speed_of(choice),
                clock=clock,
                grammar=grammar,
            ),
            simulated_folder=simulated_folder(),
            open_wire=door.open_wire,
            restarted=door.restarted,
            talking=partial(person.tell, STILL_TALKING),
        )
        board = let_go.enter_context(connect(route, port))
        session = meet(board, grammar)
        if choice.console and not replay:
            _remember(console, port, person)
        played_in = Path(let_go.enter_context(TemporaryDirectory())) if replay else None
        return Bench(
            session=session,
            console_hash=console.digest,
            close=let_go.pop_all().close,
            recorded=replay.recording.heading if replay else None,
            played_in=played_in,
            ears=board,
        )


@contextmanager
def open_door(
    choice: Choice, port: PortIdentity, person: Person, replay: Replay | None
) -> Iterator[Doorway]:
    """Where the wires come from, with other benchlinks kept out.

    Raises:
        FileError: the recording that is asked for is there already.
        PortBusyError: another benchlink has that board.
    """
    if choice.record:
        require_new(Path(choice.record))
    who = f"`benchlink {choice.verb}`" if choice.verb else "`benchlink`"
    door = Doorway(state_folder() / "locks", who, person.tell, replay)
    with closing(door):
        door.keep_others_out(port.url)
        yield door


def speed_of(choice: Choice) -> Baud:
    """The line speed asked for.

    Raises:
        UsageError: no port can run at that.
    """
    if choice.speed is None:
        return DEFAULT_BAUD
    try:
        return baud(choice.speed)
    except ValueError as exc:
        raise UsageError(str(exc), hint="Nothing was opened.") from exc


def stamp(bench: Bench, note: str = "") -> Stamp:
    """What goes onto a backup taken now."""
    taken_at = now()
    if bench.recorded:
        taken_at = bench.recorded.started
        note = " ".join(filter(None, (note, f"(from {bench.session.board.port})")))
    return Stamp(
        taken_at=taken_at,
        tool_version=VERSION,
        console_hash=bench.console_hash,
        note=note,
    )


def aircraft_folder() -> AircraftFolder:
    """Where the folders of aircraft stand."""
    return AircraftFolder(places.aircraft_folder(os.environ))


def factory_shelf() -> FactoryShelf:
    """Where copies of fresh boards are kept."""
    return FactoryShelf(state_folder())


def journals(person: Person, bench: Bench | None = None) -> Journals:
    """Where changes are written down before they are begun.

    Those to a `bench` that a recording plays are no board's, and are not kept.
    """
    played_in = bench.played_in if bench else None
    return Journals(played_in or state_folder() / JOURNALS, now, person.tell)


def records(out: str | None) -> backups.Backups | backups.BackupFile:
    """Where backups go: a folder, or one file that does not exist yet."""
    if out and out.endswith((".yaml", ".yml")):
        return backups.BackupFile(Path(out))
    return backups.Backups(Path(out or BACKUP_FOLDER))


def bench_records(person: Person, board: Identity) -> BenchRecords:
    """Records of bench work on one board, where no aircraft's folder is known."""
    return BenchRecords(Path(RECORD_FOLDER), person.tell, board)


def require_free(out: str | None) -> None:
    """Refuse a file for a backup that is there already, before a port is opened.

    Raises:
        FileError: it is.
    """
    place = records(out)
    if isinstance(place, backups.BackupFile):
        place.require_free()


def _found_console(asked: str) -> ChosenConsole:
    name, path, data = descriptions.find_console(asked)
    shipped = name in descriptions.shipped_consoles() and asked == name
    return ChosenConsole(
        description=describe(descriptions.node_of(data, path)),
        name_or_path=name if shipped else str(Path(path).resolve()),
        digest=descriptions.hash_of(data),
        shipped=shipped,
    )


def _recorded_console(choice: Choice, replay: Replay, person: Person) -> ChosenConsole:
    """The description for a recording: it sends to no board, so nobody approves it."""
    heading = replay.recording.heading
    approvals = memory.Memory(state_folder(), person.tell)
    named = choice.console or recorded_console(heading, approvals)
    console = _found_console(named)
    if console.digest != heading.console_hash:
        person.tell(
            "The description of its console is another one than when this was recorded."
        )
    return console


def _key(port: PortIdentity) -> str:
    named = " ".join(part for part in (port.usb, port.product, port.serial) if part)
    return named or port.stable_path or port.url


def _remember(console: ChosenConsole, port: PortIdentity, person: Person) -> None:
    approvals = memory.Memory(state_folder(), person.tell)
    if approvals.last_console(_key(port)) != (console.name_or_path, console.digest):
        approvals.remember(
            _key(port), console.name_or_path, console.digest, now().date()
        )


def _get_approval(console: ChosenConsole, port: PortIdentity, person: Person) -> None:
    person.tell(f"New console description {console.name_or_path}")
    person.tell(f"  {console.description.title}, hash {console.digest[:12]}")
    person.tell("  It says what is sent to the board:")
    for name, told in dict.fromkeys(what_is_sent(console.description)):
        person.tell(f"    {name:<10} {told}")
    if not person.agrees(f"Let it talk to the board at {port.url}?"):
        msg = f"the console description {console.name_or_path} is not approved"
        raise SafetyRefusalError(
            msg,
            hint="Nothing was sent. Run this once at a terminal and approve it.",
        )
