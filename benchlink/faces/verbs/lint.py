"""`benchlink lint`: check files of ours without a board."""

import sys
from pathlib import Path

from benchlink.console.schema import describe
from benchlink.errors import BenchError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.wording import plain
from benchlink.store import backups, descriptions, profiles
from benchlink.store.backup_reader import MAX_BYTES
from benchlink.store.reading import read_bytes


def run(given: Given) -> int:
    """Name every mistake of every file; exit 2 when there is one."""
    code = ExitCode.SAME
    for file in given.files:
        try:
            print(plain(f"{file}: {_checked(Path(file))}"))
        except BenchError as error:
            code = ExitCode.TROUBLE
            for line in (*error.details, f"{file}: {error}"):
                print(plain(line), file=sys.stderr)
    return code


def _checked(path: Path) -> str:
    data = read_bytes(path, MAX_BYTES)
    if b"benchlink-console:" in data[:4096]:
        described = describe(descriptions.node_of(data, str(path)))
        verbs = ", ".join(described.verbs)
        digest = descriptions.hash_of(data)[:12]
        return f"a console description, {verbs}; hash {digest}"
    if b"benchlink-backup:" in data[:4096]:
        backup = backups.load(path)
        full = "a full copy" if backup.full else "NOT A FULL COPY"
        return f"a backup of {backup.identity}, {full}"
    if b"benchlink-profile:" in data[:4096]:
        intent = profiles.load_profile(str(path))
        return f"a profile, {intent.title!r}, asks for {len(intent.wanted)} settings"
    msg = f"{path} is no file of benchlink's"
    raise UsageError(
        msg,
        hint="Profiles, console descriptions and backups begin with"
        " `benchlink-profile:`, `benchlink-console:` or `benchlink-backup:`.",
    )
