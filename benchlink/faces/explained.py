"""What a console description makes of a text, for a person and for a program."""

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final

from benchlink.console.answer_reading import Role
from benchlink.console.explaining import Explained, Explanation
from benchlink.console.round_trip import RoundTrip
from benchlink.console.takers import Taker
from benchlink.core.values import Number, Series, Switch, Text, Unset, Value, Word
from benchlink.faces.output import Json

WIDTH: Final = 80
MOST: Final = 20
"""Single cases shown of each kind, where not every line was asked for."""
MOST_SAMPLES: Final = 8
"""Lines shown that would be written."""
SHOWN: Final = 8
"""Settings named with one reason."""
TAKER_WIDTH: Final = 22
KINDS: Final[dict[type[Value], str]] = {
    Number: "number",
    Switch: "switch",
    Word: "word",
    Text: "text",
    Series: "list",
    Unset: "unset",
}


def report_lines(explanation: Explanation, *, every: bool) -> list[str]:
    """Numbers first, then what wants mending, each with its place."""
    most = len(explanation.lines) if every else MOST
    lines = [
        *textwrap.wrap(_numbers(explanation), WIDTH),
        *textwrap.wrap(_kinds(explanation), WIDTH),
        *textwrap.wrap(_written_back(explanation), WIDTH),
        *_part(
            "Written back, one of each form and spelling",
            map(sample_line, explanation.samples),
            len(explanation.trips) if every else MOST_SAMPLES,
        ),
        *_part("Lines that none took", _strange(explanation), most),
        *_part("Lines that two could take", _ambiguous(explanation), most),
        *_part("Lines typed that nothing here sends", _typed(explanation), most),
        *_part("Wrong with a listing as a whole", explanation.troubles, most),
        *_part("Settings that cannot be written back", _unwritable(explanation), most),
        *_part(
            "Templates that took no line (dead, or their case is not in this text)",
            (_with_place(taker) for taker in explanation.idle),
            most,
        ),
    ]
    if explanation.unsaid:
        words = f"Not in this text: {', '.join(explanation.unsaid)}"
        lines += ["", *textwrap.wrap(words, WIDTH)]
    if every:
        lines += _part("Lines taken by each template", _counts(explanation), most)
        lines += _part("Every line", map(_line, explanation.lines), most)
    return lines


def report_data(explanation: Explanation, *, every: bool) -> dict[str, Json]:
    """The same for a program."""
    data: dict[str, Json] = {
        "good": explanation.good,
        "lines": len(explanation.lines),
        "understood": len(explanation.lines) - len(explanation.strange),
        "not_understood": [_line_data(line) for line in explanation.strange],
        "two_could_take": [_line_data(line) for line in explanation.ambiguous],
        "wrong_as_a_whole": list(explanation.troubles),
        "templates": [
            {**_taker_data(taker), "lines": count}
            for taker, count in explanation.counts.items()
        ],
        "not_in_this_text": list(explanation.unsaid),
        "settings": [_trip_data(trip) for trip in explanation.trips],
    }
    if every:
        data["every_line"] = [_line_data(line) for line in explanation.lines]
    return data


def sample_line(trip: RoundTrip) -> str:
    """What was listed, what that means, and what would be sent to write it."""
    said = " / ".join(trip.lines)
    setting = trip.setting
    return f"{setting.name}: {setting.raw} is {setting.value}, written `{said}`"


def _numbers(explanation: Explanation) -> str:
    total, missed = len(explanation.lines), len(explanation.strange)
    ambiguous = len(explanation.ambiguous)
    return (
        f"{total - missed:,} of {total:,} lines understood;"
        f" {_counted(len(explanation.trips), 'setting')};"
        f" {_counted(missed, 'line')} none took;"
        f" {_counted(ambiguous, 'line')} two could take"
    )


def _kinds(explanation: Explanation) -> str:
    """What the values were read as: all words, where nobody told their spelling."""
    kinds = Counter(KINDS[type(trip.setting.value)] for trip in explanation.trips)
    told = ", ".join(f"{kind} {count}" for kind, count in kinds.most_common())
    return f"values read as: {told}" if told else ""


def _written_back(explanation: Explanation) -> str:
    trips = explanation.trips
    if not trips:
        return ""
    proven = sum(trip.proven for trip in trips)
    failed = sum(bool(trip.why_not) for trip in trips)
    return (
        f"{_counted(proven, 'setting')} would be written back as listed;"
        f" {len(trips) - proven - failed} never written (read-only or volatile);"
        f" {failed} cannot be written back"
    )


def _counted(count: int, noun: str) -> str:
    return f"{count:,} {noun}{'' if count == 1 else 's'}"


def _part(title: str, rows: Iterable[str], most: int) -> list[str]:
    """A title and its rows, cut to the width; nothing where there are no rows."""
    found = list(rows)
    if not found:
        return []
    left = len(found) - most
    more = [f"  ... and {left} more (`--every` shows all)"] if left > 0 else []
    cut = [row if len(row) <= WIDTH - 2 else row[: WIDTH - 5] + "..." for row in found]
    return ["", title, *(f"  {row}" for row in cut[:most]), *more]


def _strange(explanation: Explanation) -> Iterator[str]:
    several = len({line.label for line in explanation.strange}) > 1
    for line in explanation.strange:
        answers = f"  [answers {line.label}]" if line.label and several else ""
        room = max(WIDTH - 10 - len(answers), 10)
        text = line.text if len(line.text) <= room else line.text[: room - 3] + "..."
        yield f"{line.number:>5}  {text}{answers}"


def _typed(explanation: Explanation) -> Iterator[str]:
    for line in explanation.lines:
        if line.taken.role is Role.TYPED:
            yield f"{line.number:>5}  {line.text}"


def _ambiguous(explanation: Explanation) -> Iterator[str]:
    for line in explanation.ambiguous:
        yield f"{line.number:>5}  {line.text}"
        for taker in line.taken.took:
            yield f"       taken by {_with_place(taker)}"
        for taker in line.taken.rivals:
            yield f"       or by    {_with_place(taker)}"


def _unwritable(explanation: Explanation) -> Iterator[str]:
    """Settings by why not; each with the value that it has."""
    reasons: dict[str, list[str]] = {}
    for trip in explanation.trips:
        if trip.why_not:
            listed = f"{trip.setting.name} = {trip.setting.raw}"
            reasons.setdefault(trip.why_not, []).append(listed)
    for why, settings in reasons.items():
        yield from textwrap.wrap(why, WIDTH - 4)
        left = len(settings) - SHOWN
        more = f", and {left} more" if left > 0 else ""
        names = ", ".join(settings[:SHOWN]) + more
        yield from (f"    {part}" for part in textwrap.wrap(names, WIDTH - 8))


def _with_place(taker: Taker) -> str:
    """The place first: it is what a person clicks on, and never cut."""
    return f"{taker.place}  {taker}" if taker.place else str(taker)


def _counts(explanation: Explanation) -> Iterator[str]:
    for taker, count in explanation.counts.items():
        yield f"{count:>5}  {_with_place(taker)}"


def _line(line: Explained) -> str:
    taken = line.taken
    by = taken.took[-1] if taken.took else None
    what = taken.role.value
    if by is not None and taken.role is not Role.TYPED:
        what = f"{by.part} :{by.place.line}" if by.place else by.part
    return f"{line.number:>5}  {what:<{TAKER_WIDTH}}  {line.text}"


def _taker_data(taker: Taker) -> dict[str, Json]:
    place = str(taker.place) if taker.place else ""
    return {"part": taker.part, "template": taker.text, "place": place}


def _line_data(line: Explained) -> Json:
    return {
        "number": line.number,
        "text": line.text,
        "is": line.taken.role.value,
        "answers": line.label,
        "taken_by": [_taker_data(taker) for taker in line.taken.took],
        "also": [_taker_data(taker) for taker in line.taken.others],
        "settings": list(line.taken.names),
    }


def _trip_data(trip: RoundTrip) -> Json:
    return {
        "name": trip.setting.name,
        "listed": trip.setting.raw,
        "value": str(trip.setting.value),
        "written_by": list(trip.lines),
        "why_not": trip.why_not,
    }
