"""A talk without a person: lines from a pipe, answers on stdout, for scripts."""

from collections.abc import Iterable

from benchlink.core.doors import Person
from benchlink.errors import SafetyRefusalError
from benchlink.faces.shell.words import outcome_lines
from benchlink.workflows.talk import Talk
from benchlink.workflows.talk_outcome import Fate


def converse_piped(talk: Talk, lines: Iterable[str], person: Person) -> bool:
    """Send each line that only tells something; whether all were answered well.

    Raises:
        SafetyRefusalError: a line does more than that; it and all after it stay unsent.
        LinkError: the port went away, or the board fell silent for good.
    """
    well = True
    for number, line in enumerate(lines, start=1):
        text = line.rstrip("\r\n")
        if not text.strip():
            continue
        outcome = talk.line(text)
        if outcome.fate is not Fate.SENT:
            msg = f"line {number} is not sent: {outcome.sentence}"
            raise SafetyRefusalError(
                msg,
                hint="Nothing after it was sent either. Run `benchlink talk` at a"
                " terminal for such lines.",
            )
        for said in outcome_lines(outcome):
            person.tell(said)
        well = well and outcome.answered
    return well
