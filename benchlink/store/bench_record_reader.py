"""A record of bench work, from its text back to what it was made from."""

from datetime import UTC, datetime
from hashlib import sha256
from typing import Final

from benchlink.core.angles import Degrees, Estimate, Way
from benchlink.core.bench_record import (
    BenchRecord,
    Held,
    Override,
    Said,
    SideWork,
    Taken,
    Work,
)
from benchlink.core.document import Problems, TableReader
from benchlink.core.identity import Identity
from benchlink.core.play import Play
from benchlink.core.roles import OwnSide
from benchlink.core.throw_ends import End
from benchlink.errors import FileError
from benchlink.store.bench_record_text import (
    CAME,
    PURPOSES,
    SEAL,
    VERDICTS,
    VERSION,
    VERSION_KEY,
)
from benchlink.store.fit_reader import fit_of, reading_of
from benchlink.store.record_fields import (
    angle,
    maybe_angle,
    maybe_pulse,
    pulse,
    real,
    word,
    yes,
)
from benchlink.store.strict_yaml import load_bytes

_HEX_DIGITS: Final = 64
_HINT: Final = (
    "It was left as it is. Take another copy of this file, or do that work at the bench"
    " again. If somebody edited it: records are evidence, not settings."
)
_WORKS: Final = {work: work.value for work in Work}
_WAYS: Final = {way: way.value for way in Way}
_SIDES: Final = {side.value: side for side in OwnSide}


def parse(data: bytes, name: str) -> BenchRecord:
    """Read a record.

    Raises:
        FileError: damaged, cut short, edited, or not a record at all.
    """
    body = _believed(data, name)
    problems = Problems()
    reader = TableReader(load_bytes(body, name), problems, "a record")
    record = _record(reader)
    reader.finish()
    problems.stop_if_any(f"the record {name}")
    return record


def _believed(data: bytes, name: str) -> bytes:
    # `git` on some systems ends lines otherwise; no text of ours holds a bare CR.
    data = data.replace(b"\r\n", b"\n")
    if f"{VERSION_KEY}: ".encode() not in data[:1024]:
        msg = f"{name} is not a record of bench work"
        raise FileError(msg, hint="It was left as it is. Name another file.")
    body, seal, rest = data.rpartition(SEAL)
    if not seal or not body.endswith(b"\n") or len(rest) != _HEX_DIGITS + 1:
        msg = f"the record {name} is cut short or damaged: its last line is not whole"
        raise FileError(msg, hint=_HINT)
    if rest != sha256(body).hexdigest().encode() + b"\n":
        msg = f"the record {name} is damaged or was edited: its content hash differs"
        raise FileError(msg, hint=_HINT)
    return body


def _record(reader: TableReader) -> BenchRecord:
    version = reader.need_text(VERSION_KEY)
    if version != VERSION:
        reader.problems.add(
            reader.place, f"this benchlink reads records of version {VERSION}"
        )
    return BenchRecord(
        work=word(reader, "work", _WORKS),
        about=reader.text("about"),
        number=reader.whole("number", 0, least=1),
        made_at=_moment(reader),
        operator=reader.need_text("operator"),
        aircraft=reader.text("aircraft"),
        board=_board(reader),
        settings=reader.need_text("settings"),
        tool_version=reader.need_text("tool"),
        datum=reader.need_text("datum"),
        result=reader.need_text("result"),
        right=reader.choice("right", {"yes": True, "no": False}, default=True),
        broken_off=reader.text("broken_off"),
        reason=reader.text("reason"),
        sides=_sides(reader),
        said=tuple(map(_said, reader.tables("said", "an answer"))),
        remarks=tuple(scalar.text for scalar in reader.texts("remarks")),
        overrides=tuple(map(_override, reader.tables("overrides", "an override"))),
        held=tuple(map(_held, reader.tables("held", "a setting"))),
    )


def _moment(reader: TableReader) -> datetime:
    text = reader.need_text("made")
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        moment = datetime.min  # noqa: DTZ901  (told apart by its missing offset)
    if moment.tzinfo is None:
        reader.problems.add(
            reader.place, f"`made:` must be a time with its offset, not {text!r}"
        )
        return moment.replace(tzinfo=UTC)
    return moment


def _board(reader: TableReader) -> Identity:
    table = reader.table("board", "`board:`")
    if table is None:
        return Identity()
    board = Identity(
        board_type=table.text("type"),
        firmware=table.text("firmware"),
        number=table.text("number"),
    )
    table.finish()
    return board


def _said(table: TableReader) -> Said:
    said = Said(
        about=table.need_text("about"),
        done=table.text("done"),
        asked=table.need_text("asked"),
        answer=table.text("answer"),
    )
    table.finish()
    return said


def _override(table: TableReader) -> Override:
    override = Override(what=table.need_text("what"), reason=table.need_text("reason"))
    table.finish()
    return override


def _held(table: TableReader) -> Held:
    held = Held(table.need_text("name"), table.text("value"))
    table.finish()
    return held


def _sides(reader: TableReader) -> tuple[SideWork, ...]:
    sides = reader.table("sides", "`sides:`")
    if sides is None:
        return ()
    found = [
        _side(table, _SIDES[name])
        for name in sides.names_like("")
        if name in _SIDES and (table := sides.table(name, f"`{name}:`")) is not None
    ]
    sides.finish()
    return tuple(found)


def _side(table: TableReader, side: OwnSide) -> SideWork:
    work = SideWork(
        side=side,
        centre_us=maybe_pulse(table, "centre_us"),
        was_centre_us=maybe_pulse(table, "was_centre_us"),
        by_deg=maybe_angle(table, "by"),
        angle=_angle(table),
        play=_play(table),
        ends=tuple(map(_end, table.tables("ends", "an end"))),
        taken=tuple(map(_taken, table.tables("readings", "a reading"))),
        fit=fit_of(table),
        horn_moved=yes(table, "horn_moved"),
    )
    table.finish()
    return work


def _angle(reader: TableReader) -> Estimate | None:
    table = reader.table("angle", "`angle:`")
    if table is None:
        return None
    found = _estimate(table)
    table.finish()
    return found


def _estimate(table: TableReader) -> Estimate:
    return Estimate(mean_deg=angle(table, "deg"), sd_deg=real(table, "sd_deg"))


def _play(reader: TableReader) -> Play | None:
    table = reader.table("play", "`play:`")
    if table is None:
        return None
    play = Play(
        size=Estimate(
            mean_deg=Degrees(real(table, "size_deg")), sd_deg=real(table, "sd_deg")
        ),
        lost_us=real(table, "lost_us"),
        verdict=word(table, "verdict", VERDICTS),
    )
    table.finish()
    return play


def _end(table: TableReader) -> End:
    end = End(
        way=word(table, "way", _WAYS),
        pulse_us=pulse(table, "pulse_us"),
        angle=_estimate(table),
        readings=table.whole("readings", 0),
    )
    table.finish()
    return end


def _taken(table: TableReader) -> Taken:
    taken = Taken(
        reading=reading_of(table),
        came=word(table, "came", CAME),
        purpose=word(table, "for", PURPOSES),
        buzzed=yes(table, "buzzed"),
        earlier=yes(table, "earlier"),
    )
    table.finish()
    return taken
