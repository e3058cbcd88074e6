"""Faults as text: `lost byte way=sent at=120; late answer rate=0.1 by_ms=800`."""

import shlex
from dataclasses import Field, fields
from enum import Enum
from typing import Final

from .fault import Fault, FaultError
from .fault_answers import ChatterInAnswer, DoubledAnswer, LateAnswer, MissingAnswer
from .fault_draw import draw
from .fault_events import BrownOut, OwnRestart, Unplugged
from .fault_keeps import KeepOfAPart, KeepOfNothing, OddlyFailingKeep, SlowKeep
from .fault_restarts import AnotherBoard, AnotherPath, NoReturn
from .fault_wire import DoubledByte, FlippedByte, InputOverrun, LostByte
from .fault_writes import (
    ClampedWrite,
    LateReadBack,
    NeighbourMoved,
    RefusedWrite,
    RoundedWrite,
    WriteOfNothing,
)

KINDS: Final[dict[str, type[Fault]]] = {
    kind.name: kind
    for kind in (
        LostByte,
        DoubledByte,
        FlippedByte,
        InputOverrun,
        LateAnswer,
        MissingAnswer,
        DoubledAnswer,
        ChatterInAnswer,
        Unplugged,
        OwnRestart,
        BrownOut,
        OddlyFailingKeep,
        KeepOfAPart,
        KeepOfNothing,
        SlowKeep,
        ClampedWrite,
        RoundedWrite,
        WriteOfNothing,
        NeighbourMoved,
        LateReadBack,
        RefusedWrite,
        NoReturn,
        AnotherBoard,
        AnotherPath,
    )
}
"""All faults there are, by name."""
DRAWN: Final = "drawn"
"""Stands for what a seed draws."""

_SWITCH: Final = {"yes": True, "no": False}
_Value = int | float | bool | str | Enum


def read_faults(text: str) -> tuple[Fault, ...]:
    """Faults with semicolons between them. Raises `FaultError`."""
    return tuple(fault for part in _parts(text) for fault in _read(part))


def spell_fault(fault: Fault) -> str:
    """A fault as `read_faults` takes it; what is as usual is left out."""
    given = (
        f"{each.name}={_spell(getattr(fault, each.name))}"
        for each in fields(fault)
        if getattr(fault, each.name) != each.default
    )
    return " ".join((fault.name, *given))


def _parts(text: str) -> list[list[str]]:
    """The words of each fault; quotes hold blanks and semicolons together."""
    lexer = shlex.shlex(text, posix=True, punctuation_chars=";")
    lexer.whitespace_split = True
    lexer.commenters = ""
    parts: list[list[str]] = [[]]
    try:
        for word in lexer:
            if set(word) == {";"}:
                parts.append([])
            else:
                parts[-1].append(word)
    except ValueError as problem:
        msg = f"a quote is not closed in {text!r}"
        raise FaultError(msg) from problem
    return [part for part in parts if part]


def _read(words: list[str]) -> tuple[Fault, ...]:
    name = " ".join(word for word in words if "=" not in word)
    given = dict(word.split("=", 1) for word in words if "=" in word)
    if name == DRAWN:
        return _drawn(given)
    kind = KINDS.get(name)
    if kind is None:
        msg = f"no fault is called {name!r}; known are {', '.join(KINDS)}"
        raise FaultError(msg)
    known = {each.name: each for each in fields(kind)}
    unknown = [key for key in given if key not in known]
    if unknown:
        msg = f"{name}: no such choice: {unknown[0]}; known are {', '.join(known)}"
        raise FaultError(msg)
    return (kind(**{key: _value(known[key], text) for key, text in given.items()}),)


def _drawn(given: dict[str, str]) -> tuple[Fault, ...]:
    wrong = given.keys() - {"seed", "received", "sent"}
    if wrong or "seed" not in given:
        msg = "say it as: drawn seed=N, and if known received=BYTES sent=BYTES"
        raise FaultError(msg)
    try:
        return draw(**{key: int(text) for key, text in given.items()})
    except ValueError as problem:
        msg = "drawn: seed, received and sent are whole numbers, the last two above 0"
        raise FaultError(msg) from problem


def _value(parameter: "Field[_Value]", text: str) -> _Value:
    kind = type(parameter.default)
    try:
        return _SWITCH[text] if kind is bool else kind(text)
    except (ValueError, KeyError) as problem:
        msg = f"{parameter.name}: {text!r} is not {_described(kind)}"
        raise FaultError(msg) from problem


def _described(kind: type) -> str:
    if issubclass(kind, Enum):
        return f"one of {', '.join(str(each.value) for each in kind)}"
    return {bool: "yes or no", int: "a whole number", float: "a number"}[kind]


def _spell(value: _Value) -> str:
    match value:
        case bool():
            return "yes" if value else "no"
        case Enum():
            return str(value.value)
        case _:
            return shlex.quote(str(value))
