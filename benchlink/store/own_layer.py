"""The own layer of one aircraft: waivers written into it, and taken back."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from benchlink.core.aircraft import Aircraft
from benchlink.core.document import Problems, nearest
from benchlink.core.intent import Waiver, Wanted
from benchlink.errors import UsageError
from benchlink.store import atomic
from benchlink.store.layer import read_layer
from benchlink.store.locks import hold
from benchlink.store.profiles import load_profile
from benchlink.store.reading import decode, read_bytes
from benchlink.store.strict_yaml import load_bytes
from benchlink.store.waiver_edit import with_waiver, without_waiver


@dataclass(frozen=True, slots=True, kw_only=True)
class Waivable:
    """A setting that the layers of an aircraft ask for."""

    wanted: Wanted
    waiver: Waiver | None
    """The one that counts now, in whichever layer it stands."""


def waivable(aircraft: Aircraft, name: str) -> Waivable:
    """What the layers of an aircraft say of a setting.

    A waiver of what none of them asks for would make all of them unusable.

    Raises:
        UsageError: they do not ask for it.
        FileError: they have mistakes.
    """
    intent = load_profile(aircraft.profile)
    wanted = intent.wanted.get(name)
    if wanted is not None:
        return Waivable(wanted=wanted, waiver=intent.waivers.get(name))
    near = nearest(name, intent.wanted)
    msg = f"no layer of {aircraft.tail} asks for {name!r}: there is nothing to waive"
    raise UsageError(
        msg,
        details=(f"is {near} meant?",) if near else (),
        hint="Nothing was written. What only a profile asks for that is named at the"
        f" command line can be waived once {aircraft.profile} `uses:` that profile.",
    )


def own_waiver(aircraft: Aircraft, name: str) -> Waiver:
    """The waiver that stands in the aircraft's own file, whatever its other layers say.

    Raises:
        UsageError: there is none.
        FileError: the file has mistakes.
    """
    problems = Problems()
    path = Path(aircraft.profile)
    layer = read_layer(load_bytes(read_bytes(path), str(path)), problems)
    problems.stop_if_any(str(path))
    waivers = layer.waivers if layer else {}
    if name in waivers:
        return waivers[name]
    near = nearest(name, waivers)
    msg = f"{aircraft.profile} waives no {name!r}"
    raise UsageError(
        msg,
        details=(f"is {near} meant?",) if near else (),
        hint="Nothing was written. A waiver in a kit or a baseline is taken back there.",
    )


def waive(aircraft: Aircraft, name: str, reason: str) -> None:
    """Write a waiver, or give the one that is there another reason.

    Raises:
        UsageError: its layers do not ask for that setting.
        HeldError: another benchlink changes that folder.
        FileError: it cannot be written; the old text is untouched.
    """
    with hold(Path(aircraft.folder), f"a benchlink that waives {name}"):
        waivable(aircraft, name)
        _rewrite(aircraft, lambda old, file: with_waiver(old, name, reason, file))


def lift(aircraft: Aircraft, name: str) -> None:
    """Take a waiver out of the aircraft's own file.

    Raises:
        UsageError: there is none.
        HeldError: another benchlink changes that folder.
        FileError: it cannot be taken out alone; the old text is untouched.
    """
    with hold(Path(aircraft.folder), f"a benchlink that lifts the waiver of {name}"):
        own_waiver(aircraft, name)
        _rewrite(aircraft, lambda old, file: without_waiver(old, name, file))


def _rewrite(aircraft: Aircraft, edit: Callable[[str, str], str]) -> None:
    path = Path(aircraft.profile)
    text = decode(read_bytes(path), str(path))
    atomic.replace(path, edit(text, str(path)).encode())
