"""What a board can tell of the aircraft: the questions, and values out of the answers."""

from benchlink.console.description import Asking
from benchlink.console.framing import first_match
from benchlink.console.gauge import Gauge
from benchlink.console.given import lines_given
from benchlink.console.grammar import Grammar
from benchlink.core.readings import NUMBERED, Measured, Quantity
from benchlink.core.utterance import Reply, Utterance, require_done
from benchlink.errors import BoardError


def told_by(asking: Asking) -> tuple[Quantity, ...]:
    """What a question can tell of, each once."""
    return tuple(dict.fromkeys(g.quantity for g in asking.gauges.values()))


def question(grammar: Grammar, asking: Asking) -> Utterance:
    """What to say to have an answer."""
    return grammar.render("readings", asking.verb)


def measured(grammar: Grammar, asking: Asking, reply: Reply) -> tuple[Measured, ...]:
    """The values that an answer tells.

    Raises:
        BoardError: it is damaged, holds a line that the description does not know, a
            value that cannot be, or one twice.
    """
    spelling = grammar.description.spelling
    found: dict[tuple[Quantity, int], Measured] = {}
    for forms, line in lines_given(spelling, asking.verb, require_done(reply)):
        fields = first_match(forms, line)
        if fields is None:
            msg = f"the answer to `{reply.said}` holds a line that its description does"
            msg = f"{msg} not know: {line!r}"
            raise BoardError(msg, hint="Add its form to `readings:` under `gives:`.")
        for name, text in fields.items():
            gauge = asking.gauges.get(name)
            if gauge is None:
                continue
            for one in _values(asking, gauge, text, fields.get(gauge.index, "")):
                _add(found, one)
    return tuple(found.values())


def _values(asking: Asking, gauge: Gauge, text: str, index: str) -> list[Measured]:
    """The values in one field; what is not measured is left out."""
    if gauge.split:
        parts = [part for part in text.split(gauge.split) if part.strip()]
    else:
        parts = [text]
    first = gauge.which(index) if gauge.index else gauge.number
    if not first and gauge.quantity in NUMBERED:
        first = 1 if gauge.split else 0
    return [
        Measured(quantity=gauge.quantity, value=gauge.of(part), number=number)
        for number, part in enumerate(parts, start=first)
        if part.strip() not in asking.unmeasured
    ]


def _add(found: dict[tuple[Quantity, int], Measured], one: Measured) -> None:
    quantity, number = one.quantity, one.number
    if quantity in NUMBERED and not number:
        # Neither index nor number: the order in which they come tells.
        number = 1 + sum(known is quantity for known, _ in found)
        one = Measured(quantity=quantity, value=one.value, number=number)
    if (quantity, number) in found:
        which = f"{quantity.value} {number}" if number else quantity.value
        msg = f"the answer tells the {which} twice"
        raise BoardError(msg)
    found[quantity, number] = one
