"""The steps of a job in words: for the plain terminal, the screen and programs."""

import textwrap
from datetime import date
from typing import TYPE_CHECKING, Final

from benchlink.core.greeting import day
from benchlink.core.job_standing import Standing, StepState, whose_turn

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchlink.core.job_steps import Step
    from benchlink.faces.job_now import JobNow
    from benchlink.faces.output import Json

SHAPES: Final = {
    Standing.DONE: "[x]",
    Standing.AGAIN: "[!]",
    Standing.NEXT: "[>]",
    Standing.OPEN: "[ ]",
    Standing.NOT_HERE: "[-]",
}
"""A shape beside the word of each standing, so that colour is never needed."""

WORDS: Final = {
    Standing.DONE: "done",
    Standing.AGAIN: "again",
    Standing.NEXT: "next",
    Standing.OPEN: "open",
    Standing.NOT_HERE: "not here",
}
WORD_CELLS: Final = max(map(len, WORDS.values()))
INDENT: Final = " " * 6


def remark(state: StepState, today: date) -> str:
    """Why it stands so; of what is done, since when."""
    done = state.standing is Standing.DONE
    return (_when(state, today) if done else "") or state.why


def last_line(state: StepState, today: date) -> str:
    """What was written down of it last; empty where nothing was."""
    if state.on is None:
        return ""
    return f"last {_when(state, today)}: {state.proof}"


def needs_line(state: StepState) -> str:
    """What has to be done before, and of that what is not."""
    needs = state.step.duty.needs
    if not needs:
        return "needs nothing first"
    if not state.lacks:
        return f"what it needs is done: {_titles(needs)}"
    return f"NEEDS FIRST: {_titles(state.lacks)}"


def how_line(words: tuple[str, ...]) -> str:
    """What does it."""
    return f"`benchlink {' '.join(words)}`"


def words_of(state: StepState, job: "JobNow") -> tuple[str, ...]:
    """The command that does a step, or writes down that it was done by hand."""
    step = state.step
    if step.duty.by_hand or step in job.board.cannot:
        return ("job", "done", step.value)
    against = job.board.against
    named = (against.profile,) if against and against.profile else ()
    return (
        (*step.duty.words, *named) if step.duty.words == ("apply",) else step.duty.words
    )


def job_lines(job: "JobNow", width: int, today: date) -> list[str]:
    """The greeting, every step, and what to do next."""
    lines = [*textwrap.wrap(job.greeting, width), ""]
    typed = max(len(state.step.value) for state in job.states)
    for state in job.states:
        shape, word = SHAPES[state.standing], WORDS[state.standing]
        head = f"{shape} {word:<{WORD_CELLS}} {state.step.value:<{typed}}  "
        text = f"{head}{state.step.duty.title}{_colon(remark(state, today))}"
        lines += textwrap.wrap(text, width, subsequent_indent=" " * len(head))
    return [*lines, "", *_next_lines(job, width)]


def job_data(job: "JobNow") -> "dict[str, Json]":
    """The same for a program."""
    turn = whose_turn(job.states)
    return {
        "name": job.name,
        "greeting": job.greeting,
        "next": turn.step.value if turn else None,
        "steps": [
            {
                "step": state.step.value,
                "title": state.step.duty.title,
                "state": state.standing.value,
                "why": state.why,
                "on": state.on.isoformat() if state.on else None,
                "by": state.by,
                "proof": state.proof,
                "needs": [step.value for step in state.step.duty.needs],
                "lacks": [step.value for step in state.lacks],
                "by_hand": state.step.duty.by_hand,
                "command": ["benchlink", *words_of(state, job)],
            }
            for state in job.states
        ],
    }


def _next_lines(job: "JobNow", width: int) -> "Iterator[str]":
    turn = whose_turn(job.states)
    if turn is None:
        yield "Nothing is left to do."
        return
    duty, how = turn.step.duty, how_line(words_of(turn, job))
    does = f"By hand; {how} writes it down." if duty.by_hand else f"{how} does it."
    text = f"Next: {duty.title}. {duty.what} {does}"
    yield from textwrap.wrap(text, width, subsequent_indent=INDENT)


def _when(state: StepState, today: date) -> str:
    if state.on is None:
        return ""
    by = f" by {state.by}" if state.by else ""
    return f"{day(state.on.date(), today)}{by}"


def _colon(text: str) -> str:
    return f": {text}" if text else ""


def _titles(steps: "tuple[Step, ...]") -> str:
    return "; ".join(step.duty.title for step in steps)
