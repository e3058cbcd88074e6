"""Who has a port open: what /proc tells about the processes of this user."""

import os
from dataclasses import dataclass
from pathlib import Path
from typing import Final

PROC: Final = Path("/proc")


@dataclass(frozen=True, slots=True)
class Holder:
    """A process that has the port open."""

    pid: int
    program: str

    def __str__(self) -> str:
        return f"{self.program} (process {self.pid})"


def holders_of(port: str, proc: Path = PROC) -> tuple[Holder, ...]:
    """Processes with `port` open; those of other users stay unseen without root."""
    target = os.path.realpath(port)
    try:
        numbers = sorted(int(d.name) for d in proc.iterdir() if d.name.isdigit())
    except OSError:
        return ()
    return tuple(
        Holder(pid, _program(proc / str(pid)))
        for pid in numbers
        if _has_open(proc / str(pid) / "fd", target)
    )


def runs(program: str, proc: Path = PROC) -> bool:
    """Whether a process of that name runs, whoever owns it."""
    return any(_program(comm.parent) == program for comm in proc.glob("[0-9]*/comm"))


def _has_open(folder: Path, target: str) -> bool:
    try:
        links = list(folder.iterdir())
    except OSError:
        return False
    return any(_leads_to(link, target) for link in links)


def _leads_to(link: Path, target: str) -> bool:
    try:
        return str(link.readlink()) == target
    except OSError:
        return False


def _program(process: Path) -> str:
    try:
        return (process / "comm").read_text().strip()
    except OSError:
        return "a program"
