"""Command lines of ITU-T V.250, 5.2 to 5.4: the body cut into its commands."""

import re
from dataclasses import dataclass
from enum import Enum
from typing import Final

from .quantities import RefusalError

_BASIC: Final = re.compile(r"(&?[A-Z])([0-9]{0,3})")
_REGISTER: Final = re.compile(r"S([0-9]{1,3})(\?|=([0-9]{1,3}))")
_EXTENDED: Final = re.compile(
    r"\+(?P<name>[A-Z][A-Z0-9]{0,15})(?P<form>=\?|\?|=(?P<value>(?:\"[^\"]*\"|[^;\"])*)|)"
    r"(?:;|$)",
    re.IGNORECASE,
)
_OUTSIDE: Final = re.compile(r'"[^"]*"?|[^" ]+| +')


class Form(Enum):
    """What is asked of a name."""

    ACT = ""
    READ = "?"
    RANGE = "=?"
    WRITE = "="


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One command of a line."""

    name: str
    """In capitals: `E`, `&F`, `S3`, `+TLC`."""
    form: Form
    value: str = ""


def body_of(line: str) -> str | None:
    """What follows the first `AT` or `at`; None: no command line at all."""
    places = [at for at in (line.find("AT"), line.find("at")) if at >= 0]
    return line[min(places) + 2 :] if places else None


def first_command(body: str) -> tuple[Command, str]:
    """The first command and the rest of the body. Raises `RefusalError`."""
    for take in (_take_extended, _take_register, _take_basic):
        taken = take(body)
        if taken is not None:
            return taken
    msg = f"cannot read '{body}'"
    raise RefusalError(msg)


def squeezed(body: str) -> str:
    """Without blanks, in capitals but in quotes (5.2.2, 5.4.2.2)."""
    parts = _OUTSIDE.findall(body)
    return "".join(p if p.startswith('"') else p.strip().upper() for p in parts)


def _take_extended(body: str) -> tuple[Command, str] | None:
    found = _EXTENDED.match(body)
    if found is None:
        return None
    value: str | None = found["value"]
    form = Form(found["form"]) if value is None else Form.WRITE
    command = Command(name=f"+{found['name']}", form=form, value=value or "")
    return command, body[found.end() :]


def _take_register(body: str) -> tuple[Command, str] | None:
    found = _REGISTER.match(body)
    if found is None:
        return None
    form = Form.READ if found[2] == "?" else Form.WRITE
    command = Command(name=f"S{found[1]}", form=form, value=found[3] or "")
    return command, body[found.end() :].removeprefix(";")


def _take_basic(body: str) -> tuple[Command, str] | None:
    found = _BASIC.match(body)
    if found is None:
        return None
    command = Command(name=found[1], form=Form.ACT, value=found[2])
    return command, body[found.end() :].removeprefix(";")
