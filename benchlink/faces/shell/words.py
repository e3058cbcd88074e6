"""benchlink's own words in a talk, and what it says of lines and of the end."""

from collections.abc import Iterator
from enum import Enum
from typing import Final

from benchlink.console.description import Kept
from benchlink.core.cautions import CUT_THE_POWER
from benchlink.core.exchange import UNPROVEN
from benchlink.workflows.talk_outcome import Changed, Fate, Outcome, Parting


class OwnWord(Enum):
    """Words that are for benchlink and never sent: two dots and the word."""

    HELP = "..help"
    STOP = "..stop"
    ABANDON = "..abandon"
    ENTER = "..enter"
    LEAVE = "..leave"


OWN: Final = ".."
HELP: Final = (
    "What you type goes to the board as a line, once it was looked at:",
    "  a line that only tells something goes at once; a setting is written alone;",
    "  a line that restarts the board, loses settings or that nobody knows is typed twice;",
    "  a line that moves something by itself is not sent.",
    "..stop stops whatever moves      ..abandon has the board give up a begun line",
    "..enter sends a line end alone (only where nobody has described the console)",
    "Tab completes. Ctrl-C gives up the line, or the waiting. ..leave or Ctrl-D leaves.",
    f"In trouble: {CUT_THE_POWER}",
)
GREETING: Final = (
    "Each line is looked at before it is sent. ..help tells more, Ctrl-D leaves."
)


def own_word(line: str) -> OwnWord | None:
    """The word of ours that a line is.

    Raises:
        ValueError: it begins like one and is none.
    """
    text = line.strip()
    if not text.startswith(OWN):
        return None
    try:
        return OwnWord(text.casefold())
    except ValueError:
        words = ", ".join(word.value for word in OwnWord)
        msg = f"`{text}` begins with two dots and is none of {words}. Nothing was sent."
        raise ValueError(msg) from None


def outcome_lines(outcome: Outcome) -> Iterator[str]:
    """What is said of a line beside what the board said."""
    if outcome.fate is not Fate.SENT:
        yield f"NOT SENT: {outcome.sentence}"
        if outcome.hint:
            yield outcome.hint
    elif outcome.verdict in UNPROVEN and outcome.verdict is not None:
        why = f": {outcome.remark}" if outcome.remark else ""
        yield f"{outcome.verdict.value.capitalize()}{why}"


def parting_lines(parting: Parting, keep: str) -> Iterator[str]:
    """How the board was left; `keep` is the line that makes it keep, if any."""
    if not parting.compared:
        yield "Settings were not compared: nobody knows what was changed."
        return
    if not parting.changed:
        yield "All settings are as they were before."
        return
    count = len(parting.changed)
    yield f"{count} {'setting is' if count == 1 else 'settings are'} not as before:"
    for one in parting.changed:
        yield f"  {one.name}  {_shown(one.before)} -> {_shown(one.now)}{_kept(one)}"
    unkept = [one for one in parting.changed if one.name in parting.unkept]
    if any(one.kept is Kept.ON_KEEP for one in unkept):
        how = f": `{keep}` in a talk, or" if keep else ":"
        yield (
            f"NOT KEPT: the next restart brings the old values back{how}"
            " `benchlink change` keeps and proves them."
        )


def _shown(text: str) -> str:
    return text or "(not listed)"


def _kept(one: Changed) -> str:
    return "  (this board never keeps it)" if one.kept is Kept.NEVER else ""
