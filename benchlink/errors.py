"""One tree of errors; the type says who is at fault.

    BenchError
      LinkError             the wire or the port
        NoPortError         there is no such port
        PortRefusedError    the system does not let this user open it
        PortBusyError       another program holds it
        PortLostError       it was open and went away
        SilentBoardError    nothing, or nothing sensible, comes back
        ReplayError         a recording does not hold what was sent to it
      BoardError            the board, by its own words or against its description
        UnansweredError     a command whose answer is missing or damaged
        RefusedError        the board said no
        WrongBoardError     another board than the one meant
        MismatchError       what was read back is not what was asked for
          NotTakenError     the same with its findings, which live in core/refusal
      FileError             a file of ours: profile, description, backup
      SafetyRefusalError    something could move, and nobody has made it safe
      RigError              the mechanics on the bench: a horn, a stop, a reading
      HeldError             another benchlink works on the same board or folder
      UsageError            the request cannot be carried out as given
      DeclinedError         the person said no
      MisuseError           our own mistake

Every error tells what happened; `details` list the single cases, and `hint` tells what
is safe now and what to do next.
"""

from dataclasses import dataclass


class BenchError(Exception):
    """Root of the tree: one sentence, single cases, and a hint to act on."""

    def __init__(
        self, message: str, *, hint: str = "", details: tuple[str, ...] = ()
    ) -> None:
        super().__init__(message)
        self.hint = hint
        self.details = details


class LinkError(BenchError):
    """The wire or the port is at fault."""


class NoPortError(LinkError):
    """There is no such port."""


class PortRefusedError(LinkError):
    """The system does not let this user open the port."""


class PortBusyError(LinkError):
    """Another program holds the port."""


class PortLostError(LinkError):
    """The port was open and went away: a state to wait in, not a mistake."""


class SilentBoardError(LinkError):
    """Nothing sensible comes back: no power, wrong speed, or another console."""


class ReplayError(LinkError):
    """A recording that plays the board does not hold what was sent to it."""


class BoardError(BenchError):
    """The board is at fault: by its own words, or against its description."""


class UnansweredError(BoardError):
    """A command whose answer is missing or damaged: nobody knows whether it acted."""


class RefusedError(BoardError):
    """The board said no."""


class WrongBoardError(BoardError):
    """Another board than the one that was meant."""


class MismatchError(BoardError):
    """What was read back is not what was asked for."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where in a file: lines and columns count from 1; line 0 means no line at all."""

    file: str
    line: int
    column: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake in a file, and what to write instead."""

    place: Place
    text: str

    def __str__(self) -> str:
        return f"{self.place}: {self.text}"


class FileError(BenchError):
    """A file of ours cannot be used; carries every problem found, not just the first."""

    def __init__(
        self, message: str, *, hint: str = "", problems: tuple[Problem, ...] = ()
    ) -> None:
        super().__init__(message, hint=hint, details=tuple(map(str, problems)))
        self.problems = problems


class SafetyRefusalError(BenchError):
    """Something could move, and nobody has made it safe."""


class RigError(BenchError):
    """The mechanics are in the way, or what is read of them cannot be right."""


class HeldError(BenchError):
    """Another benchlink works on the same board or folder: `holder`, as it says."""

    def __init__(
        self,
        message: str,
        *,
        hint: str = "",
        details: tuple[str, ...] = (),
        holder: str = "",
    ) -> None:
        super().__init__(message, hint=hint, details=details)
        self.holder = holder


class UsageError(BenchError):
    """The request cannot be carried out as given."""


class DeclinedError(BenchError):
    """The person said no; nothing further was done."""


class MisuseError(BenchError):
    """Our own mistake: a part was used against its contract."""
