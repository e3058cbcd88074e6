"""`benchlink unfinished`: changes that were begun and neither finished nor undone."""

from pathlib import Path

from benchlink.core.journal import Mark, Unfinished
from benchlink.errors import DeclinedError, UsageError
from benchlink.faces.arguments import Given
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import Json, give
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import journals


def run(given: Given) -> int:
    """List them, of all boards; or close one whose board will never be seen again."""
    person = PlainPerson()
    shelf = journals(person)
    found = shelf.unfinished()
    if given.forget:
        damaged = [p for p in shelf.damaged() if _is_named(p, given.forget)]
        for path in damaged[:1]:
            _require_yes(person, f"{path} cannot be read")
            shelf.put_away(path)
            return ExitCode.SAME
        forgotten = _named(found, given.forget)
        _require_yes(person, str(forgotten))
        shelf.go_on(forgotten).mark(Mark.GIVEN_UP)
        return ExitCode.SAME
    lines = [line for one in found for line in (str(one), f"  {one.path}")]
    data: Json = {"unfinished": [_data(one) for one in found]}
    give(given, data, lines or ["nothing is unfinished"], person)
    return ExitCode.DIFFERS if found else ExitCode.SAME


def _named(found: tuple[Unfinished, ...], path: str) -> Unfinished:
    for one in found:
        if _is_named(one.path, path):
            return one
    msg = f"no unfinished change stands in {path}"
    raise UsageError(msg, hint="`benchlink unfinished` lists them with their files.")


def _is_named(path: str, name: str) -> bool:
    return name in {path, Path(path).name}


def _require_yes(person: PlainPerson, what: str) -> None:
    person.tell(what)
    if not person.agrees("Its board stays as it is. Forget this?"):
        msg = "nobody said yes at a terminal"
        raise DeclinedError(msg, hint="Nothing was forgotten.")


def _data(one: Unfinished) -> Json:
    told = one.transaction
    return {
        "what": told.what,
        "kind": told.kind.value,
        "opened": told.opened_at.isoformat(),
        "board": str(told.identity),
        "state": one.story.state.value,
        "values": len(told.planned),
        "backup": told.backup,
        "path": one.path,
    }
