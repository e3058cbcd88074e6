"""`benchlink lint`: check files of ours without a board."""

import sys
from pathlib import Path

from benchlink.console.description import Description
from benchlink.console.explaining import Explanation, explain
from benchlink.console.grammar import Grammar
from benchlink.console.hazard_check import hazard_problems
from benchlink.console.live import LiveGrammar
from benchlink.console.samples import made_up
from benchlink.console.schema import describe
from benchlink.errors import BenchError, FileError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.explained import (
    MOST_SAMPLES,
    report_data,
    report_lines,
    sample_line,
)
from benchlink.faces.output import Json, give
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wording import plain
from benchlink.link.recording_reader import load as load_recording
from benchlink.link.recording_reader import looks_like_recording
from benchlink.link.replay import board_text
from benchlink.store import backups, descriptions, profiles
from benchlink.store.backup_reader import MAX_BYTES
from benchlink.store.parts import parse_part
from benchlink.store.reading import read_bytes

HEAD_BYTES = 4096
"""How far into a file its kind has to show."""
CONSOLE = b"benchlink-console:"
BACKUP = b"benchlink-backup:"
PROFILE = b"benchlink-profile:"
PART = b"benchlink-part:"


def run(given: Given) -> int:
    """Name every mistake of every file; exit 2 when there is one."""
    if given.against is not None:
        return _against(given, Path(given.against))
    code = ExitCode.SAME
    for file in given.files:
        try:
            print(plain(f"{file}: {_checked(Path(file))}"))
            for line in _samples(file, every=given.every):
                print(plain(line))
        except BenchError as error:
            code = ExitCode.TROUBLE
            for line in (*error.details, f"{file}: {error}"):
                print(plain(line), file=sys.stderr)
    return code


def _samples(file: str, *, every: bool) -> list[str]:
    """What a console description would write, one line of each form and spelling."""
    data = read_bytes(Path(file), MAX_BYTES)
    if CONSOLE not in data[:HEAD_BYTES] or _is_recording(Path(file)):
        return []
    made = made_up(Grammar(describe(descriptions.node_of(data, file))))
    most = len(made) if every else MOST_SAMPLES
    left = len(made) - most
    more = [f"  ... and {left} more (`--every` shows all)"] if left > 0 else []
    return [*(f"  made up: {sample_line(trip)}" for trip in made[:most]), *more]


def _against(given: Given, text_file: Path) -> int:
    """Say what one description makes of a text; exit 1 where it is not all of it."""
    if len(given.files) != 1:
        msg = f"`--against` takes one console description, not {len(given.files)} files"
        raise UsageError(msg, hint="Name them one after the other.")
    file = given.files[0]
    data = read_bytes(Path(file), MAX_BYTES)
    if CONSOLE not in data[:HEAD_BYTES]:
        msg = f"{file} is no console description"
        raise UsageError(msg, hint=f"One begins with `{CONSOLE.decode()} 1`.")
    description = describe(descriptions.node_of(data, file))
    explanation, ends_fit = _explained(description, text_file)
    lines = report_lines(explanation, every=given.every)
    title = f"{file} against {text_file}"
    numbers = report_data(explanation, every=given.every)
    told: Json = {"console": file, "against": str(text_file), **numbers}
    give(given, told, [title, *lines], PlainPerson())
    return ExitCode.SAME if explanation.good and ends_fit else ExitCode.DIFFERS


def _explained(description: Description, path: Path) -> tuple[Explanation, bool]:
    """What the description makes of it, and whether its lines end as described."""
    if _is_recording(path):
        data = board_text(load_recording(path))
    else:
        data = read_bytes(path, MAX_BYTES)
    bare = False
    if BACKUP in data[:HEAD_BYTES]:
        backup = backups.load(path)
        data = backup.snapshot.verbatim
        # A copy without settings holds all that was heard, echo and prompt as well.
        bare = bool(backup.snapshot.settings)
    explanation = explain(description, data, bare=bare)
    if not explanation.lines:
        msg = f"{path} holds no line"
        raise UsageError(msg, hint="Capture one with `benchlink backup --raw COMMAND`.")
    ends_fit = b"\n" in data or description.manner.board_ends_with_cr
    if not ends_fit:
        print(
            "The text holds no line feed: does `line:` need `board-ends-with: CR`?",
            file=sys.stderr,
        )
    return explanation, ends_fit


def _is_recording(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return looks_like_recording(file.read(HEAD_BYTES))
    except OSError:
        return False  # whoever reads it next says why


def _require_tellable(description: Description) -> None:
    """A live verb has to be tellable all the way between its limits."""
    problems = tuple(LiveGrammar(Grammar(description)).untellable())
    if problems:
        msg = "the console description has live verbs that cannot be told"
        raise FileError(
            msg, hint="Nothing was sent. Mend their limits.", problems=problems
        )


def _checked(path: Path) -> str:
    if _is_recording(path):
        recording = load_recording(path)
        ending = recording.ending
        ends = f"ending: {ending.value}" if ending else "CUT OFF"
        made = recording.heading.started
        return (
            f"a recording of {made:%Y-%m-%d %H:%M}, {len(recording.entries)} entries,"
            f" {ends}"
        )
    data = read_bytes(path, MAX_BYTES)
    if CONSOLE in data[:HEAD_BYTES]:
        described = describe(descriptions.node_of(data, str(path)))
        problems = hazard_problems(described)
        if problems:
            msg = "the hazards of the console description have mistakes"
            raise FileError(msg, problems=problems)
        _require_tellable(described)
        verbs = ", ".join((*described.verbs, *described.live.verbs))
        verbs += ", readings" if described.readings else ""
        digest = descriptions.hash_of(data)[:12]
        return f"a console description, {verbs}; hash {digest}"
    if BACKUP in data[:HEAD_BYTES]:
        backup = backups.load(path)
        full = "a full copy"
        if not backup.full:
            full = f"NOT A FULL COPY: {backup.lacking or 'not understood yet'}"
        return f"a backup of {backup.identity}, {full}"
    if PROFILE in data[:HEAD_BYTES]:
        intent = profiles.load_profile(str(path))
        return f"a profile, {intent.title!r}, asks for {len(intent.wanted)} settings"
    if PART in data[:HEAD_BYTES]:
        part = parse_part(data, str(path))
        return f"a part, {part.name}, {part}"
    msg = f"{path} is no file of benchlink's"
    raise UsageError(
        msg,
        hint="Profiles, console descriptions, backups and parts begin with"
        " `benchlink-profile:`, `benchlink-console:`, `benchlink-backup:` or"
        " `benchlink-part:`.",
    )
