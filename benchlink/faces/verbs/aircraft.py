"""`benchlink aircraft`: list them, show one, or make the folder of a new one."""

from pathlib import Path

from benchlink.core.aircraft import Aircraft
from benchlink.errors import DeclinedError, WrongBoardError
from benchlink.faces.arguments import Given
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.hangar import noted_board, own_layers
from benchlink.faces.named_files import fitting_profile
from benchlink.faces.output import Json, give, identity_data
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.talker import Talker
from benchlink.faces.wiring import aircraft_folder
from benchlink.store import profiles
from benchlink.store.aircraft_folder import backups_of


def run(given: Given) -> int:
    """Needs a board only for a new one, and sends it only questions."""
    folder = aircraft_folder()
    fleet = folder.fleet()
    if given.tail is None:
        lines = [f"{a.tail}  {a.title or '-'}  {a.board}" for a in fleet]
        lines = lines or [f"none in {folder.root}"]
        give(given, [_data(a) for a in fleet], lines, PlainPerson())
        return ExitCode.SAME
    known = next((a for a in fleet if a.tail == given.tail), None)
    if known is not None:
        return _shown(known, given, PlainPerson())
    # Whatever is wrong with the profiles is said before a board is opened.
    uses = _uses(given)
    with at_board(given) as at:
        return _shown(_made(at, given, uses), given, at.person)


def at_work(at: AtBoard, given: Given) -> int:
    """Make the folder of a new one for a board that is open; asks what is not given."""
    if at.aircraft is None and given.tail is None:
        given.tail = at.person.types("Tail number of its aircraft (LW-03): ").strip()
        if not given.tail:
            msg = "nobody said the tail number"
            raise DeclinedError(msg, hint="No folder was made.")
        given.uses = given.uses or _asked_uses(at)
    return _shown(_made(at, given, _uses(given)), given, at.person)


def _asked_uses(at: AtBoard) -> list[str]:
    """The profile that it is built on, where one fits its board."""
    fitting = fitting_profile(None, at.bench)
    if fitting is None:
        typed = at.person.types("Profile that it is built on (Enter: none): ").strip()
        return [typed] if typed else []
    name = Path(fitting.source).stem
    typed = at.person.types(f"Profile that it is built on (Enter: {name}): ").strip()
    return [typed or name]


def _shown(aircraft: Aircraft, given: Given, person: Talker) -> int:
    give(given, _data(aircraft), _lines(aircraft), person)
    return ExitCode.SAME


def _made(at: AtBoard, given: Given, uses: list[Path | str]) -> Aircraft:
    tail = given.tail or ""
    if at.aircraft is not None:
        msg = f"this board ({at.bench.session.identity}) belongs to {at.aircraft}"
        raise WrongBoardError(
            msg, hint=f"Nothing was made. Plug in the board of {tail}."
        )
    return aircraft_folder().make(noted_board(at.bench, tail), given.title, uses)


def _uses(given: Given) -> list[Path | str]:
    return [_use(name) for name in given.uses or ()]


def _use(name: str) -> Path | str:
    profiles.load_profile(name)
    path = Path(name)
    return path if path.is_file() else name


def _lines(aircraft: Aircraft) -> list[str]:
    intent = own_layers(aircraft)
    kept = [path.name for path in backups_of(aircraft).kept()]
    latest = f"{len(kept)}, the latest {kept[-1]}" if kept else "none yet"
    return [
        f"aircraft  {aircraft}",
        f"folder    {aircraft.folder}",
        f"board     {aircraft.board}",
        f"console   {aircraft.console}, hash {aircraft.console_hash[:12]}",
        f"profile   {aircraft.profile}, asks for {len(intent.wanted)} settings",
        f"backups   {latest}",
    ]


def _data(aircraft: Aircraft) -> Json:
    return {
        "tail": aircraft.tail,
        "title": aircraft.title,
        "folder": aircraft.folder,
        "board": identity_data(aircraft.board),
        "console": aircraft.console,
        "console_hash": aircraft.console_hash,
        "profile": aircraft.profile,
        "backups": [str(path) for path in backups_of(aircraft).kept()],
    }
