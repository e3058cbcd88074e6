"""The lines that an answer gives: no header, no closing line, cut where it says so."""

from collections.abc import Iterator
from itertools import chain, repeat

from benchlink.console.description import Verb
from benchlink.console.framing import first_match
from benchlink.console.spelling import Spelling
from benchlink.console.template import Template
from benchlink.core.utterance import Reply


def lines_given(
    spelling: Spelling, verb: Verb, reply: Reply
) -> Iterator[tuple[tuple[Template, ...], str]]:
    """The lines of a reply, and the forms that each may have."""
    last = verb.steps[-1]
    for step, answer in zip(chain(verb.steps, repeat(last)), reply.answers):  # noqa: B905 - as many as were answered
        for line in answer.lines:
            # A header or a closing line frames the answer and gives nothing.
            if line.strip() and first_match(answer.command.form.marks, line) is None:
                for piece in spelling.pieces(line, verb.split):
                    yield step.gives or verb.gives, piece
