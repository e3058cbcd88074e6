"""Profiles: the asked file and all it is built on, folded into one intent.

Layers fold from the least to the most specific (baseline, kit, fitted); among layers
of one kind the later in `uses:` wins, and the file that uses wins over what it uses.
A setting keeps the position where it first appeared, so the baseline's order stays.

`fits:` must agree: the answer holds what all layers accept. Of two patterns the one
that the other covers is kept; two that merely overlap (`1.*2` and `1.4*`) are kept
out, because nobody has said that what lies in both was meant.
"""

import os
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Final, final

from benchlink.core.document import Problems, Scalar
from benchlink.core.intent import Fits, Intent, Waiver, Wanted
from benchlink.errors import FileError, Place
from benchlink.store.layer import LAYERS, Layer, read_layer
from benchlink.store.places import profiles_folder
from benchlink.store.reading import read_bytes
from benchlink.store.strict_yaml import load_bytes

_RANKS: Final = {owner: rank for rank, owner in enumerate(LAYERS.values())}
_SUFFIX: Final = ".yaml"
_MOST_STEPS: Final = 20


def load_profile(path_or_name: str, shipped: Path | None = None) -> Intent:
    """Read a profile by its path, or a shipped one by its name.

    Raises:
        FileError: every mistake in it and in all it is built on.
    """
    stack = _Stack(shipped or profiles_folder())
    stack.read(_find_asked(path_or_name, stack.shipped))
    stack.problems.stop_if_any(f"the profile {path_or_name}")
    intent = fold(stack.layers, path_or_name, stack.problems)
    stack.problems.stop_if_any(f"the profile {path_or_name}")
    return intent


def shipped_profiles(shipped: Path | None = None) -> tuple[str, ...]:
    """Names of the profiles that come with the tool."""
    folder = shipped or profiles_folder()
    return tuple(sorted(path.stem for path in folder.glob(f"*{_SUFFIX}")))


def fold(layers: list[Layer], source: str, problems: Problems) -> Intent:
    """Put layers into one intent; the last is the one that was asked for."""
    asked = layers[-1]
    wanted: dict[str, Wanted] = {}
    waivers: dict[str, Waiver] = {}
    fits = Fits()
    for layer in sorted(layers, key=_rank):
        wanted.update(layer.wanted)
        waivers.update(layer.waivers)
        fits = _both(fits, layer, problems)
    for waiver in waivers.values():
        if waiver.name not in wanted:
            problems.add(
                waiver.place,
                f"nothing asks for `{waiver.name}`, so there is nothing to waive",
            )
    return Intent(
        title=asked.title,
        source=source,
        wanted=wanted,
        layer=asked.owner,
        aircraft_type=_aircraft_type(layers, problems),
        fits=fits,
        waivers=waivers,
        fitted_names=_united([layer.fitted_names for layer in layers]),
        board_names=_united([layer.board_names for layer in layers]),
    )


@final
@dataclass(slots=True)
class _Stack:
    """Reads a file after all that it is built on, each file once."""

    shipped: Path
    problems: Problems = field(default_factory=Problems)
    layers: list[Layer] = field(default_factory=list)
    _open: list[Path] = field(default_factory=list)
    _done: dict[Path, Layer] = field(default_factory=dict)

    def read(self, path: Path) -> Layer | None:
        """Read one file and what it uses; None when it could not be understood."""
        real = path.resolve()
        if real in self._done:
            return self._done[real]
        layer = self._layer(path)
        if layer is None:
            return None
        self._open.append(real)
        for use in layer.uses:
            self._use(use, path, layer)
        self._open.pop()
        self._done[real] = layer
        self.layers.append(layer)
        return layer

    def _layer(self, path: Path) -> Layer | None:
        try:
            root = load_bytes(read_bytes(path), str(path))
        except FileError as exc:
            if not exc.problems:
                raise
            self.problems.found.extend(exc.problems)
            return None
        return read_layer(root, self.problems)

    def _use(self, use: Scalar, user: Path, layer: Layer) -> None:
        path = _find(user.parent / use.text, use.text, self.shipped)
        if path is None:
            self._note(use, "is neither beside this file nor a shipped profile")
        elif path.resolve() in self._open:
            self._note(use, "is built on this file, which would go round in circles")
        elif len(self._open) == _MOST_STEPS:
            self._note(use, f"is more than {_MOST_STEPS} profiles away from the first")
        else:
            used = self.read(path)
            if used is not None and _rank(used) > _rank(layer):
                self._note(
                    use, f"is a {used.owner.value} profile: too special for this"
                )

    def _note(self, use: Scalar, words: str) -> None:
        self.problems.add(use.place, f"`{use.text}` {words}")


def _find_asked(name: str, shipped: Path) -> Path:
    path = _find(Path(name), name, shipped)
    if path is not None:
        return path
    known = ", ".join(shipped_profiles(shipped)) or "none"
    msg = f"there is no profile {name!r}"
    raise FileError(
        msg, hint=f"Give the path of a file, or the name of a shipped one: {known}."
    )


def _find(path: Path, name: str, shipped: Path) -> Path | None:
    if "\0" in name or not name:
        return None
    if path.is_file():
        # Short and readable in messages: `kits/../lapwing.yaml` is `lapwing.yaml`.
        return Path(os.path.normpath(path))
    if Path(name).name != name:
        return None
    candidate = shipped / f"{name.removesuffix(_SUFFIX)}{_SUFFIX}"
    return candidate if candidate.is_file() else None


def _rank(layer: Layer) -> int:
    return _RANKS.get(layer.owner, len(_RANKS))


def _united(lists: list[tuple[str, ...]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for texts in lists for text in texts))


def _aircraft_type(layers: list[Layer], problems: Problems) -> str:
    agreed = ""
    for layer in layers:
        kind = layer.aircraft_type
        if kind and agreed and kind != agreed:
            problems.add(
                layer.place, f"is for a {kind}, but what it is built on for a {agreed}"
            )
        agreed = agreed or kind
    return agreed


def _both(fits: Fits, layer: Layer, problems: Problems) -> Fits:
    boards = _common(fits.board_types, layer.fits.board_types)
    firmware = _common(fits.firmware, layer.fits.firmware)
    if boards is None or firmware is None:
        _disagree(layer.place, fits, layer.fits, problems)
        return fits
    return Fits(board_types=boards, firmware=firmware)


def _disagree(place: Place, above: Fits, own: Fits, problems: Problems) -> None:
    problems.add(
        place, f"fits {own}, but what it is built on fits {above}: no board fits both"
    )


def _common(ones: tuple[str, ...], others: tuple[str, ...]) -> tuple[str, ...] | None:
    """Patterns that both lists accept; None when there are none."""
    if not ones or not others:
        return ones or others
    kept = [
        narrow for one in ones for other in others for narrow in _narrower(one, other)
    ]
    return tuple(dict.fromkeys(kept)) or None


def _narrower(one: str, other: str) -> tuple[str, ...]:
    if _covers(one, other):
        return (other,)
    return (one,) if _covers(other, one) else ()


def _covers(wide: str, narrow: str) -> bool:
    # A `?` of the wide one stands for one character, so never for a `*`.
    return fnmatchcase(narrow.replace("*", "\0"), wide.replace("?", "[!\0]"))
