"""What a step rests on and nobody has done yet, said before the step begins."""

from benchlink.core.job_steps import Step
from benchlink.core.settings import Snapshot
from benchlink.errors import DeclinedError, FileError
from benchlink.faces.at_board import AtBoard
from benchlink.faces.job_now import job_of


def tell_open_needs(at: AtBoard, step: Step, snapshot: Snapshot) -> None:
    """Say what is still open; nothing where nothing is."""
    words = _open_words(at, step, snapshot)
    if words:
        at.person.tell(words)


def agree_to_open_needs(at: AtBoard, step: Step, snapshot: Snapshot) -> None:
    """The same, where the step goes on only with a yes.

    Raises:
        DeclinedError: nobody said yes.
    """
    words = _open_words(at, step, snapshot)
    if words and not at.person.agrees(f"{words} Go on?"):
        msg = f"{step.duty.title}: not before what it rests on is done"
        raise DeclinedError(
            msg, hint="Nothing was moved. `benchlink job` shows the steps."
        )


def _open_words(at: AtBoard, step: Step, snapshot: Snapshot) -> str:
    try:
        lacks = job_of(at, snapshot).state(step).lacks
    except FileError as error:
        return f"Whether what this rests on is done cannot be told: {error}."
    titles = "; ".join(need.duty.title for need in lacks)
    return f"Not done yet: {titles}." if titles else ""
