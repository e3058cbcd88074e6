"""A description that nobody approved yet: everything it may send, before it may."""

from collections.abc import Iterator

from benchlink.console.description import Cue, Description, Step, Wake


def what_is_sent(description: Description) -> Iterator[tuple[str, str]]:
    """Every line and key that a description can cause, by what it is for."""
    yield from _opening(description)
    for name, verb in description.all_verbs():
        steps = [*verb.steps, verb.way_out] if verb.way_out else verb.steps
        yield name, _lines(*steps)
    for source in description.sources:
        yield "list", _lines(*source.ask.steps)
        if source.banks is not None:
            yield "bank", _lines(source.banks.select)
    for name, mode in description.modes.items():
        yield f"mode {name}", _lines(mode.enter, mode.leave)


def _opening(description: Description) -> Iterator[tuple[str, str]]:
    manner = description.manner
    if manner.wake is not Wake.NOTHING:
        yield "opening", manner.wake.value
    if manner.abandon:
        yield "abandon", f"the byte 0x{manner.abandon.hex()}"
    if manner.stuck:
        yield "stuck", " / ".join(map(repr, manner.stuck))
    if manner.hello:
        yield "hello", manner.hello
    for line in manner.setup:
        yield "set-up", line
    for cue in (*manner.cues, *((manner.pager,) if manner.pager else ())):
        told = _reply(cue)
        if told:
            yield "reply", f"{told} to `{cue.shows.source}`"


def _reply(cue: Cue) -> str:
    return cue.line.source if cue.line else repr(cue.key)[1:] if cue.key else ""


def _lines(*steps: Step) -> str:
    return " / ".join(step.line.source for step in steps)
