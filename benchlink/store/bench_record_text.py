"""A record of bench work as text, sealed by a hash of its bytes.

benchlink-record: 1
work: centre                        centre, throw, spin, outputs, trim, step or changed
about: "meter"                      which step, or what was changed
number: 7                           rises from record to record, whatever the clock does
made: "2026-03-01T10:20:30+00:00"
operator: "the builder"
aircraft: LW-03
board: {type: wader, firmware: 1.4.2, number: 7F3A-0192}
settings: 3fa9...                   fingerprint of what the board holds afterwards
tool: 0.1.0
datum: "0 deg is the rotor axis square to ..."      what all angles count from
result: "left centre 1487 us"
right: no                           not all came out as it should; left out where it did
broken_off: "7 readings of the left arm"            how far it came; it proves nothing
reason: "drifts forward"
sides:
  left:                             the aircraft's own
    centre_us: 1487.0
    was_centre_us: 1500.0
    by: 0.5 aft                     what a trim added, in degrees
    angle: {deg: 0.1 forward, sd_deg: 0.12}
    play: {size_deg: 0.8, sd_deg: 0.2, lost_us: 8.0, verdict: good}
    ends:
      - {way: aft, pulse_us: 1120.0, deg: 36.0 aft, sd_deg: 0.2, readings: 3}
    readings:                       in the order in which they were taken
      - {pulse_us: 1500.0, pulse: longer, came: aft, deg: 7.5 aft, for: first}
        (buzzed: yes; earlier: yes, from work of that day that was broken off)
    horn_moved: yes                 in work that was broken off
    fit:                            what was learned of the servo, forward positive:
      part: {neutral_us: 1500.0, shortest_us: 1000.0, ...}
      reader_sd_deg: 0.25
      log_odds: 7.1                 that a longer pulse tilts forward
      forward:                      what to believe if it does
        mean: [7.4, 9.9, 0.0, 0.8]          angle, slope and bend by 100 us, play
        covariance: [[...], [...], [...], [...]]
      aft: {...}                    and if it does not
      readings: [...]               that the fit rests on
said:
  - {about: motor left, done: "8 % for 0.5 s", asked: "...", answer: "..."}
remarks: ["..."]
overrides:
  - {what: "...", reason: "..."}
held:                               settings that the work rests on
  - {name: "mount.yaw_deg", value: "90"}
content-hash: SHA-256 in hex of all bytes above this line

Keys without anything to say are left out.
"""

from collections.abc import Iterable, Iterator
from hashlib import sha256
from typing import Final

from benchlink.core.angles import Estimate, Side, way_of
from benchlink.core.belief import Belief
from benchlink.core.bench_record import BenchRecord, Said, SideWork, Taken
from benchlink.core.bench_steps import Purpose
from benchlink.core.play import Play, PlayVerdict
from benchlink.core.servo_fit import Reading, ServoFit
from benchlink.core.servo_part import ServoPart, Turns
from benchlink.core.throw_ends import End
from benchlink.store.notation import bare_or_quoted, quoted

VERSION_KEY: Final = "benchlink-record"
VERSION: Final = "1"
SEAL: Final = b"content-hash: "

PULSES: Final = {True: "longer", False: "shorter"}
"""What the last move made of the pulse."""
CAME: Final = {Side.FROM_AFT: "aft", Side.FROM_FORWARD: "forward"}
PURPOSES: Final = {p: p.name.lower().replace("_", "-") for p in Purpose}
VERDICTS: Final = {v: v.name.lower().replace("_", "-") for v in PlayVerdict}
TURNS: Final = {
    Turns.FORWARD: "forward",
    Turns.AFT: "aft",
    Turns.NOT_KNOWN: "not-known",
}

_PLEASE: Final = "# Made to be read, not edited: work at the bench once more instead.\n"
_STEP: Final = "  "


def render(record: BenchRecord) -> bytes:
    """The whole file.

    Raises:
        FileError: a text in it is none that a file can hold.
    """
    body = _PLEASE + "".join(f"{line}\n" for line in _lines(record))
    data = body.encode()
    return data + SEAL + sha256(data).hexdigest().encode() + b"\n"


def _lines(record: BenchRecord) -> Iterator[str]:
    board = record.board
    yield f"{VERSION_KEY}: {VERSION}"
    yield f"work: {record.work.value}"
    if record.about:
        yield f"about: {quoted(record.about)}"
    yield f"number: {record.number}"
    yield f"made: {quoted(record.made_at.isoformat())}"
    yield f"operator: {quoted(record.operator)}"
    yield f"aircraft: {bare_or_quoted(record.aircraft)}"
    identity = {
        "type": board.board_type,
        "firmware": board.firmware,
        "number": board.number,
    }
    yield f"board: {_flow({k: bare_or_quoted(v) for k, v in identity.items()})}"
    yield f"settings: {bare_or_quoted(record.settings)}"
    yield f"tool: {bare_or_quoted(record.tool_version)}"
    yield f"datum: {quoted(record.datum)}"
    yield f"result: {quoted(record.result)}"
    if not record.right:
        yield "right: no"
    told = {"broken_off": record.broken_off, "reason": record.reason}
    yield from (f"{key}: {quoted(text)}" for key, text in told.items() if text)
    if record.sides:
        yield "sides:"
        for work in record.sides:
            # An empty table is told from a forgotten one.
            lines = list(_indented(_side(work), 2))
            yield f"{_STEP}{work.side.value}:{'' if lines else ' {}'}"
            yield from lines
    yield from _list("said", map(_said, record.said))
    yield from _list("remarks", map(quoted, record.remarks))
    overrides = (_texts(what=o.what, reason=o.reason) for o in record.overrides)
    yield from _list("overrides", overrides)
    held = (_texts(name=h.name, value=h.value) for h in record.held)
    yield from _list("held", held)


def _said(said: Said) -> str:
    return _texts(
        about=said.about, done=said.done, asked=said.asked, answer=said.answer
    )


def _side(work: SideWork) -> Iterator[str]:
    for key, pulse in (
        ("centre_us", work.centre_us),
        ("was_centre_us", work.was_centre_us),
    ):
        if pulse is not None:
            yield f"{key}: {number(pulse)}"
    if work.by_deg is not None:
        yield f"by: {angle(work.by_deg)}"
    if work.angle is not None:
        yield f"angle: {_flow(_estimate(work.angle))}"
    if work.play is not None:
        yield f"play: {_flow(_play(work.play))}"
    yield from _list("ends", (_flow(_end(end)) for end in work.ends))
    yield from _list("readings", (_flow(_taken(taken)) for taken in work.taken))
    if work.horn_moved:
        yield "horn_moved: yes"
    if work.fit is not None:
        yield "fit:"
        yield from _indented(_fit(work.fit), 1)


def _fit(fit: ServoFit) -> Iterator[str]:
    forward, aft = fit.ways
    yield f"part: {_flow(_part(fit.part))}"
    yield f"reader_sd_deg: {number(fit.reader_sd_deg)}"
    yield f"log_odds: {number(fit.log_odds)}"
    for key, belief in (("forward", forward), ("aft", aft)):
        yield f"{key}:"
        yield from _indented(_belief(belief), 1)
    yield from _list("readings", (_flow(_reading(r)) for r in fit.readings))


def _belief(belief: Belief) -> Iterator[str]:
    yield f"mean: {_numbers(belief.mean)}"
    yield from _list("covariance", map(_numbers, belief.covariance))


def _part(part: ServoPart) -> dict[str, str]:
    return {
        "neutral_us": number(part.neutral_us),
        "shortest_us": number(part.shortest_us),
        "longest_us": number(part.longest_us),
        "us_per_deg": number(part.us_per_deg),
        "slope_share": number(part.slope_share),
        "bend_deg": number(part.bend_deg),
        "dead_band_us": number(part.dead_band_us),
        "play_deg": number(part.play_deg),
        "play_spread_deg": number(part.play_spread_deg),
        "teeth": str(part.teeth),
        "arms": str(part.arms),
        "s_per_60_deg": number(part.s_per_60_deg),
        "turns": TURNS[part.turns],
    }


def _estimate(estimate: Estimate) -> dict[str, str]:
    return {"deg": angle(estimate.mean_deg), "sd_deg": number(estimate.sd_deg)}


def _play(play: Play) -> dict[str, str]:
    return {
        "size_deg": number(play.size.mean_deg),
        "sd_deg": number(play.size.sd_deg),
        "lost_us": number(play.lost_us),
        "verdict": VERDICTS[play.verdict],
    }


def _end(end: End) -> dict[str, str]:
    return {
        "way": end.way.value,
        "pulse_us": number(end.pulse_us),
        **_estimate(end.angle),
        "readings": str(end.readings),
    }


def _taken(taken: Taken) -> dict[str, str]:
    told = {"buzzed": taken.buzzed, "earlier": taken.earlier}
    return {
        **_reading(taken.reading),
        "came": CAME[taken.came],
        "for": PURPOSES[taken.purpose],
        **{key: "yes" for key, so in told.items() if so},
    }


def _reading(reading: Reading) -> dict[str, str]:
    return {
        "pulse_us": number(reading.pulse_us),
        "pulse": PULSES[reading.rising],
        "deg": angle(reading.angle_deg),
    }


def number(value: float) -> str:
    """All digits that tell it from its neighbours."""
    return repr(float(value))


def angle(deg: float) -> str:
    """An angle with its word, never with a sign."""
    return f"{number(abs(deg))} {way_of(deg).value}"


def _numbers(values: Iterable[float]) -> str:
    return f"[{', '.join(map(number, values))}]"


def _texts(**fields: str) -> str:
    return _flow({key: quoted(text) for key, text in fields.items()})


def _flow(fields: dict[str, str]) -> str:
    return "{" + ", ".join(f"{key}: {text}" for key, text in fields.items()) + "}"


def _list(key: str, items: Iterable[str]) -> Iterator[str]:
    lines = [f"{_STEP}- {item}" for item in items]
    if lines:
        yield f"{key}:"
        yield from lines


def _indented(lines: Iterable[str], steps: int) -> Iterator[str]:
    return (_STEP * steps + line for line in lines)
