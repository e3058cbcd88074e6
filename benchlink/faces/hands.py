"""What a person does at the bench of a simulated aircraft, in words of the bench.

One table for the panel of the full screen, where each deed has a key, and for a served
aircraft, where its words are typed. What is done are orders of the aircraft's own.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Protocol

Told = Mapping[str, object]
"""What the aircraft answers to an order; `error` where it cannot be carried out."""

SIDES: Final = ("left", "right")
SINCE_LOOK: Final = "since you last looked"
"""In what is told of movements; whoever looks for the first time has never looked."""
_TRANSMITS: Final = "; the transmitter is on for that, if it was not"


class Hands(Protocol):
    """Whatever carries out orders on a simulated aircraft."""

    def order(self, text: str) -> Told:
        """Carry out one order; blocks until it is answered.

        Raises:
            RigError: the aircraft is gone, or does not answer.
        """
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One thing that a person can do."""

    words: str
    meaning: str
    orders: tuple[str, ...]
    result: Callable[[Told], str]
    """What came of it, from the answer to the last order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What came of a deed."""

    sentence: str
    reading: str = ""
    """What the jig showed of an arm at rest, as the answer to a question for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """What stands to see on the bench."""

    pack: bool = False
    supply: bool = False
    usb: bool = True
    props: bool = False
    radio: bool = False
    stick: str = "free"

    def __str__(self) -> str:
        return (
            f"pack {_in(on=self.pack)}, supply {_on(on=self.supply)}, cable"
            f" {_in(on=self.usb)}, props {_on(on=self.props)}, radio"
            f" {_on(on=self.radio)}, stick {self.stick}"
        )


def look(hands: Hands) -> Look:
    """How the bench stands now.

    Raises:
        RigError: the aircraft is gone, or does not answer.
    """
    told = hands.order("look")
    seen = {
        name: told.get(name) is True
        for name in ("pack", "supply", "usb", "props", "radio")
    }
    return Look(**seen, stick=str(told.get("stick", "")))


def do(deed: Deed, hands: Hands) -> Done:
    """Carry a deed out; the first order that cannot be ends it.

    Raises:
        RigError: the aircraft is gone, or does not answer.
    """
    told: Told = {}
    for order in deed.orders:
        told = hands.order(order)
        if "error" in told:
            return Done(sentence=f"That cannot be done: {told['error']}.")
    reading = "" if told.get("moving") else _reading(told)
    return Done(sentence=deed.result(told), reading=reading)


def deed_of(words: str) -> Deed | None:
    """The deed that is called so."""
    return DEEDS.get(" ".join(words.casefold().split()))


def _in(*, on: bool) -> str:
    return "in" if on else "out"


def _on(*, on: bool) -> str:
    return "on" if on else "off"


def _volts(told: Told) -> str:
    pack_v, rail_v = _number(told["pack-volts"]), _number(told["rail-volts"])
    return f"Pack {pack_v:.1f} V, servo rail {rail_v:.1f} V."


def _pack_in(told: Told) -> str:
    return (
        f"The pack is in. {_volts(told)} Whatever turns or moves now has its power:"
        " keep clear of arms and discs."
    )


def _reading(told: Told) -> str:
    return str(told.get("reads", "")).replace("fore", "forward")


def _jig(side: str) -> Callable[[Told], str]:
    def told_words(told: Told) -> str:
        still = " It still moves: read once more." if told.get("moving") else ""
        return f"The jig on the {side} arm shows {_reading(told)}.{still}"

    return told_words


def _moved(told: Told) -> str:
    if not told:
        return f"Nothing has moved {SINCE_LOOK}."
    seen = (_went(what, how) for what, how in told.items() if isinstance(how, dict))
    return f"Moved {SINCE_LOOK}: {'; '.join(seen)}."


def _went(what: str, how: Mapping[str, object]) -> str:
    kind, _, side = what.partition("-")
    if kind == "motor":
        return f"the {side} motor turned {how['way']}, {how['rev_min']} rev/min"
    way = "forward" if how["way"] == "fore" else "aft"
    other = "aft" if way == "forward" else "forward"
    far, back = sorted((_number(how["fore_deg"]), _number(how["aft_deg"])))[::-1]
    and_back = f", and {back:.1f} {other}" if back else ""
    return f"the {side} arm went {far:.1f} deg {way}{and_back}"


def _number(value: object) -> float:
    return float(str(value))


def _plugs(told: Told) -> str:
    where = ", ".join(f"{what} on {_pad(pad)}" for what, pad in told.items())
    return f"Plugged in now: {where}."


def _pad(pad: object) -> str:
    return "nothing" if pad is None else f"p{pad}"


def _port(told: Told) -> str:
    return f"The cable is in; the port is called {told['port']} now."


def _props(told: Told) -> str:
    if told["props"] == "off":
        return "The props are off, and away from the bench."
    return (
        "The props are ON. The tool cannot see that: a motor that runs now cuts, and"
        " `props off` would be a lie."
    )


def _always(sentence: str) -> Callable[[Told], str]:
    return lambda _told: sentence


def _deed(
    words: str, meaning: str, *orders: str, result: Callable[[Told], str] | str
) -> Deed:
    return Deed(
        words=words,
        meaning=meaning,
        orders=orders,
        result=_always(result) if isinstance(result, str) else result,
    )


def _of_a_side(side: str) -> tuple[Deed, ...]:
    return (
        _deed(
            f"{side} jig",
            "read the jig on that arm",
            f"jig {side}",
            result=_jig(side),
        ),
        _deed(
            f"{side} horn forward",
            "horn off, on again a tooth nearer to the nose",
            f"horn {side} +1",
            result=f"The {side} horn sits one tooth further forward, screw in.",
        ),
        _deed(
            f"{side} horn aft",
            "horn off, on again a tooth nearer to the tail",
            f"horn {side} -1",
            result=f"The {side} horn sits one tooth further aft, screw in.",
        ),
        _deed(
            f"{side} motor leads",
            "exchange two of the three leads of that motor",
            f"leads {side}",
            result=f"Two leads of the {side} motor have changed places.",
        ),
    )


_ALL: Final = (
    _deed("pack in", "connect the flight pack", "connect pack", result=_pack_in),
    _deed("pack out", "take the flight pack out", "disconnect pack", result=_volts),
    _deed(
        "supply on",
        "a bench supply of 5 V on the servo rail",
        "connect rail",
        result=_volts,
    ),
    _deed("supply off", "take it off again", "disconnect rail", result=_volts),
    _deed("cable out", "pull the USB cable", "unplug", result="The cable is out."),
    _deed("cable in", "put the USB cable in", "replug", result=_port),
    _deed(
        "power cycle",
        "everything off and on again",
        "power-cycle",
        result="Off and on again: the board starts.",
    ),
    _deed(
        "nose down",
        "tip the aircraft nose down by 10 degrees",
        "tip roll 0",
        "tip pitch -10",
        result="The nose points down by 10 degrees.",
    ),
    _deed(
        "right side down",
        "tip it right side down by 10 degrees",
        "tip pitch 0",
        "tip roll 10",
        result="The right side is down by 10 degrees.",
    ),
    _deed(
        "level",
        "set it level",
        "tip roll 0",
        "tip pitch 0",
        result="It stands level.",
    ),
    *_of_a_side("left"),
    *_of_a_side("right"),
    _deed("what moved", "what moved since you last looked", "moved", result=_moved),
    _deed(
        "swap tilt plugs",
        "exchange the plugs on p3 and p4",
        "swap p3 p4",
        result=_plugs,
    ),
    _deed(
        "swap motor plugs",
        "exchange the plugs on p1 and p2",
        "swap p1 p2",
        result=_plugs,
    ),
    _deed("props on", "fit the props", "props on", result=_props),
    _deed("props off", "take the props off", "props off", result=_props),
    _deed(
        "radio on",
        "switch the transmitter on",
        "radio on",
        result="The transmitter is on, and the receiver hears it.",
    ),
    _deed(
        "radio off",
        "switch the transmitter off",
        "radio off",
        result="The transmitter is off.",
    ),
    _deed(
        "stick forward",
        "hold the pitch stick full forward, nose down",
        "stick forward",
        result=f"You hold the pitch stick full forward{_TRANSMITS}.",
    ),
    _deed(
        "stick back",
        "hold the pitch stick full back, nose up",
        "stick back",
        result=f"You hold the pitch stick full back{_TRANSMITS}.",
    ),
    _deed(
        "stick free",
        "let go of the stick",
        "stick free",
        result=f"The stick is back in its middle{_TRANSMITS}.",
    ),
    _deed(
        "late answer",
        "the next answer of the board is late",
        "fault late answer at=1 by_ms=2000",
        result="The next answer will be 2 s late.",
    ),
    _deed(
        "lost answer",
        "the next answer of the board is lost",
        "fault missing answer at=1",
        result="The next answer will not come.",
    ),
    _deed(
        "noisy wire",
        "one byte in 2,000 of what the board says is damaged",
        "fault flipped byte way=sent rate=0.0005",
        result="From now on one byte in 2,000 comes damaged.",
    ),
    _deed(
        "loose cable",
        "the cable comes out in 3 s, for 3 s",
        "fault unplugged after_ms=3000 back_ms=3000",
        result="In 3 s the cable comes out; 3 s later it is in again.",
    ),
    _deed(
        "own restart",
        "the board restarts by itself in 3 s",
        "fault restart by itself after_ms=3000",
        result="In 3 s the board restarts by itself.",
    ),
    _deed(
        "lost keep",
        "the next keep keeps nothing",
        "fault keep of nothing at=1",
        result="The next keep will keep nothing, and say that it did.",
    ),
    _deed("all well", "no more of these faults", "heal", result="No faults any more."),
)

DEEDS: Final[Mapping[str, Deed]] = {deed.words: deed for deed in _ALL}
"""Everything that can be done, by its words."""
