"""All parts that a bench knows: those that come with the tool, and the workshop's own.

A folder `parts` beside a profile, or in the folder of an aircraft, adds to them; one of
the same kind and name takes the place of an earlier one.
"""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Final

from benchlink.core.document import Problems
from benchlink.core.parts import MotorPart, PackPart, Part, Parts, ServoMake
from benchlink.errors import FileError, Place
from benchlink.store.part_file import read_part
from benchlink.store.places import profiles_folder
from benchlink.store.reading import read_bytes
from benchlink.store.strict_yaml import load_bytes

_FOLDER: Final = "parts"
_SUFFIX: Final = ".yaml"


def load_parts(beside: Iterable[Path] = (), shipped: Path | None = None) -> Parts:
    """Every part; the later folder wins.

    `beside` are folders that may hold a folder `parts`: that of a person's profile,
    then that of the aircraft.

    Raises:
        FileError: every mistake in all of the files.
    """
    problems = Problems()
    servos: dict[str, ServoMake] = {}
    motors: dict[str, MotorPart] = {}
    packs: dict[str, PackPart] = {}
    for folder in (shipped or profiles_folder(), *beside):
        for part in _of_folder(folder / _FOLDER, problems):
            match part:
                case ServoMake():
                    servos[part.name] = part
                case MotorPart():
                    motors[part.name] = part
                case PackPart():
                    packs[part.name] = part
    problems.stop_if_any("what is known of the parts")
    return Parts(servos=servos, motors=motors, packs=packs)


def parse_part(data: bytes, path: str) -> Part:
    """One part out of its file.

    Raises:
        FileError: every mistake in it.
    """
    problems = Problems()
    part = read_part(load_bytes(data, path), problems)
    problems.stop_if_any("the part")
    return part


def _of_folder(folder: Path, problems: Problems) -> Iterator[Part]:
    seen: dict[tuple[type[Part], str], str] = {}
    for path in sorted(folder.glob(f"*{_SUFFIX}")):
        part = _read(path, problems)
        if part is None:
            continue
        first = seen.setdefault((type(part), part.name), str(path))
        if first != str(path):
            problems.add(
                Place(str(path), 1), f"{part.name!r} stands in {first} already"
            )
        yield part


def _read(path: Path, problems: Problems) -> Part | None:
    try:
        return read_part(load_bytes(read_bytes(path), str(path)), problems)
    except FileError as exc:
        if not exc.problems:
            raise
        problems.found.extend(exc.problems)
        return None
