"""Which key does what on the panel, as the bench stands: three columns of deeds."""

from collections.abc import Callable
from typing import Final

from benchlink.faces.hands import Look

WATCH: Final = "what moved"
"""What eyes do: told at each opening, begun anew at each closing."""

SIDE_KEY: Final = "s"
"""Changes the side that `left` and `right` deeds are for; a deed of nobody's."""

_Choice = Callable[[Look, str], str]


def _always(words: str) -> _Choice:
    return lambda _look, _side: words


def _of_side(words: str) -> _Choice:
    return lambda _look, side: f"{side} {words}"


COLUMNS: Final[tuple[tuple[tuple[str, _Choice], ...], ...]] = (
    (
        ("p", lambda look, _: "pack out" if look.pack else "pack in"),
        ("b", lambda look, _: "supply off" if look.supply else "supply on"),
        ("u", lambda look, _: "cable out" if look.usb else "cable in"),
        ("o", _always("power cycle")),
        ("g", lambda look, _: "props off" if look.props else "props on"),
        ("t", lambda look, _: "radio off" if look.radio else "radio on"),
        ("up", _always("stick forward")),
        ("down", _always("stick back")),
        ("space", _always("stick free")),
    ),
    (
        (SIDE_KEY, lambda _, side: f"side: {side.upper()}"),
        ("j", _of_side("jig")),
        ("f", _of_side("horn forward")),
        ("a", _of_side("horn aft")),
        ("m", _of_side("motor leads")),
        ("w", _always(WATCH)),
        ("d", _always("nose down")),
        ("r", _always("right side down")),
        ("l", _always("level")),
    ),
    (
        ("x", _always("swap tilt plugs")),
        ("y", _always("swap motor plugs")),
        ("1", _always("late answer")),
        ("2", _always("lost answer")),
        ("3", _always("noisy wire")),
        ("4", _always("loose cable")),
        ("5", _always("own restart")),
        ("6", _always("lost keep")),
        ("0", _always("all well")),
    ),
)
_BY_KEY: Final = dict(pair for column in COLUMNS for pair in column)

PLAIN: Final = "What a step asks for at the bench is done here; then answer it below."
_WRITES: Final = (
    "Trouble to practise with: 4 pulls the cable in the middle of a change."
)
_READS: Final = "j reads the jig; Enter takes that into the answer."
_HINTS: Final = {
    "apply": _WRITES,
    "change": _WRITES,
    "restore": _WRITES,
    "resume": _WRITES,
    "undo": _WRITES,
    "outputs": "Supply on (b). Opened, this shows what moved since it was closed.",
    "centre": f"Supply on (b). {_READS}",
    "throw": f"{_READS} Sticks: up, down.",
    "trim": _READS,
    "spin": "p: the pack. Opened, this shows what turned since it was closed.",
}
"""By the verb that a station works like; one line of the narrowest roomy window."""


def words_of(key: str, look: Look, side: str) -> str:
    """What a key does now; empty for a key that does nothing."""
    choice = _BY_KEY.get(key)
    return "" if choice is None else choice(look, side)


def hint_for(verb: str) -> str:
    """What the hands are for at a station."""
    return _HINTS.get(verb, PLAIN)


def side_in(prompt: str, before: str) -> str:
    """The side that a question is about; the one before where it names none or both."""
    named = [side for side in ("left", "right") if side in prompt.casefold()]
    return named[0] if len(named) == 1 else before
