"""Every place in the package that hands bytes to something, by what it hands them to.

Only the link thread's engine gives bytes to an open board, and it gives what the
conversation gave out. A new place that writes has to be entered here, and thought about.
"""

import ast
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from benchlink.console import conversation

PACKAGE = Path(conversation.__file__).parents[1]
WRITING = frozenset(
    [
        "write",
        "writelines",
        "send",
        "sendall",
        "sendto",
        "sendmsg",
        "writev",
        "pwrite",
        "pwritev",
        "ioctl",
        "tcsendbreak",
        "send_break",
        "sendfile",
    ]
)
OPENING = frozenset(
    [
        "open_wire",
        "open_tty",
        "open_tcp",
        "open_rfc2217",
        "Serial",
        "serial_for_url",
        "create_connection",
        "socket",
    ]
)

DOOR = {("link/engine.py", "Engine._write", "self._wire.write")}
"""What gives bytes to an open board."""
UNDESCRIBED = {("link/capture.py", "send_whole", "wire.write")}
"""One line to a board that nobody has described, typed twice; see `faces/raw_line` and
`workflows/bare_talk`."""
WIRES = {
    ("link/tty_wire.py", "TtyWire.write", "os.write"),
    ("link/tcp_wire.py", "TcpWire.write", "self._socket.send"),
    ("link/bridged_wire.py", "BridgedWire.write", "self._port.write"),
    ("link/recorded_wire.py", "RecordedWire.write", "self._wire.write"),
}
NO_BYTES = {
    ("link/tty_wire.py", "TtyWire.settle", "fcntl.ioctl"),
    ("link/tty_wire.py", "TtyWire.close", "fcntl.ioctl"),
}
"""Locks of the port."""
TO_OURSELVES = {
    ("link/bridged_wire.py", "BridgedWire._pass_on", "self._far.sendall"),
    ("link/bell.py", "Bell.ring", "self._far.send"),
}
NOT_A_BOARD = {
    ("link/recorder.py", "Recorder._write", "os.write"),
    ("faces/plain_person.py", "PlainPerson._say", "self._stderr.write"),
    ("faces/shell/history.py", "LineHistory.store_string", "os.write"),
    ("faces/verbs/draft.py", "_write", "write"),
    ("faces/screen/threads/output.py", "Output._put", "os.write"),
    ("faces/screen/threads/terminal.py", "Terminal.write", "self._output.write"),
    ("faces/screen/station/said_log.py", "SaidLog._write_late", "self.write"),
    ("faces/simulated.py", "SimulatedAircraft._say", "self.process.stdin.write"),
}
"""Files, the person's terminal, and the other hand on a simulated aircraft."""
INSIDE = frozenset({"core", "console", "workflows"})
"""What holds no wire: `test_import_hygiene` and the import contracts keep it so."""


@dataclass(frozen=True, order=True)
class Call:
    file: str
    place: str
    what: str

    @property
    def key(self) -> tuple[str, str, str]:
        return self.file, self.place, self.what


def calls(text: str, file: str) -> Iterator[Call]:
    """Every call of the text, with the function it stands in."""

    def within(node: ast.AST, place: tuple[str, ...]) -> Iterator[Call]:
        for child in ast.iter_child_nodes(node):
            inside = place
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                inside = (*place, child.name)
            if isinstance(child, ast.Call):
                yield Call(file, ".".join(place), ast.unparse(child.func))
            yield from within(child, inside)

    yield from within(ast.parse(text), ())


@cache
def all_calls() -> tuple[Call, ...]:
    return tuple(_all_calls())


def _all_calls() -> Iterator[Call]:
    for path in sorted(PACKAGE.rglob("*.py")):
        file = path.relative_to(PACKAGE)
        if "_aircraft" not in file.parts:
            yield from calls(path.read_text("utf-8"), file.as_posix())


def writers(found: Iterable[Call]) -> set[Call]:
    """Those that hand bytes over; a widget's own `self.write` shows a text."""
    return {
        call
        for call in found
        if call.what.rpartition(".")[2] in WRITING
        and call.file.partition("/")[0] not in INSIDE
        and not (call.what == "self.write" and call.file.startswith("faces/screen/"))
    }


def test_every_place_that_writes_is_known() -> None:
    found = writers(all_calls())
    assert sorted(c for c in found if c.key not in known() and not is_file(c)) == []


def test_every_known_place_is_still_there() -> None:
    there = {call.key for call in writers(all_calls())}
    assert there >= DOOR | UNDESCRIBED | WIRES


def known() -> set[tuple[str, str, str]]:
    return DOOR | UNDESCRIBED | WIRES | NO_BYTES | TO_OURSELVES | NOT_A_BOARD


def is_file(call: Call) -> bool:
    """The store writes files, and can reach no wire: it does not know the link."""
    return call.file.startswith("store/")


@pytest.mark.parametrize(
    "line",
    ["os.write(fd, b'x')", "self._wire.write(b'x')", "port.sendall(b'x')"],
)
@pytest.mark.parametrize("file", ["link/pump.py", "link/board.py", "faces/entry.py"])
def test_a_new_place_would_be_found(file: str, line: str) -> None:
    (call,) = writers(calls(f"def quick(): {line}", file))
    assert call.key not in known()
    assert not is_file(call)


def test_wires_are_opened_by_the_link_alone() -> None:
    opened = {
        call.key[:2]
        for call in all_calls()
        if call.what.rpartition(".")[2] in OPENING and not call.file.startswith("link/")
    }
    assert opened == {
        ("faces/doorway.py", "Doorway.open_wire"),
        ("faces/undescribed.py", "open_undescribed"),
    }


def test_an_undescribed_board_is_sent_a_line_only_after_it_was_held() -> None:
    path = PACKAGE / "faces/verbs/backup.py"
    names = [c.what for c in calls(path.read_text("utf-8"), "backup.py")]
    assert names.index("require_harmless") < names.index("capture")
    using = {
        call.file
        for call in all_calls()
        if call.what.rpartition(".")[2] == "capture" and call.file != "link/capture.py"
    }
    assert using == {"faces/verbs/backup.py"}


def test_a_bare_line_leaves_from_one_place_where_it_was_typed_again() -> None:
    saying = {(c.file, c.place) for c in all_calls() if c.what.endswith("bare.say")}
    assert saying == {("workflows/bare_talk.py", "BareTalk._held")}
    path = PACKAGE / "workflows/bare_talk.py"
    text = ast.unparse(ast.parse(path.read_text("utf-8")))
    held = text[text.index("def _held") :]
    assert held.index("types(AGAIN) != again") < held.index("bare.say(")


# What the conversation gives out

SOURCES = {
    "outgoing": {
        "self._send(stop, now)",
        "replies",
        "b''",
        "self._wake(now)",
        "self._waiting(now) if self.phase is Phase.READY else b''",
    },
    "_waiting": {"data", "b''"},
    "_wake": {
        "b''",
        "self._send(self._orders.own(question), now)",
        "reply",
        "waking.push(now)",
    },
    "_send": {"b''", "pending.data"},
}
"""What each of these may return: lines past the last look, and what answers a cue,
a pager or a login, or wakes the prompt (bytes of the description and of the person)."""


def functions() -> dict[str, ast.FunctionDef]:
    tree = ast.parse(Path(conversation.__file__).read_text("utf-8"))
    nodes = ast.walk(tree)
    return {node.name: node for node in nodes if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("name", SOURCES)
def test_what_leaves_is_looked_at_or_answers_the_board(name: str) -> None:
    returned = {
        ast.unparse(node.value)
        for node in ast.walk(functions()[name])
        if isinstance(node, ast.Return) and node.value is not None
    }
    assert returned == SOURCES[name]


def test_what_is_sent_was_looked_at_first() -> None:
    body = functions()["_send"].body
    assert ast.unparse(body[1]) == "against = self._look.against(pending, now)"
    held = body[2]
    assert isinstance(held, ast.If)
    assert ast.unparse(held.test) == "against"
    assert ast.unparse(held.body[-1]) == "return b''"


def test_what_waited_leaves_past_the_last_look() -> None:
    given = {
        ast.unparse(node.value)
        for node in ast.walk(functions()["_waiting"])
        if isinstance(node, ast.NamedExpr) and ast.unparse(node.target) == "data"
    }
    assert given == {"self._send(pending, now)"}


def test_replies_come_from_the_cues_alone() -> None:
    added = {
        ast.unparse(node.value)
        for function in functions().values()
        for node in ast.walk(function)
        if isinstance(node, ast.AugAssign) and "_replies" in ast.unparse(node.target)
    }
    assert added == {
        "self._waking.reply(self._manner.pager)",
        "self._waking.cue(partial, now)",
        "self._waking.cue(line.text, now, last=last)",
    }


# Who makes permits and confirmations


def test_permits_are_asked_for_in_one_place_with_all_conditions() -> None:
    asking = {
        (call.file, call.place)
        for call in all_calls()
        if call.what in {"gate.permit", "permit"}
    }
    assert asking == {("workflows/mover.py", "Mover._permit")}
    text = (PACKAGE / "workflows/mover.py").read_text("utf-8")
    assert "gate.permit(motion, world, self._props, self._clock())" in text
    assert not [c for c in all_calls() if c.what.rpartition(".")[2] == "Permit"][1:]


def test_what_was_typed_alone_makes_a_confirmation() -> None:
    def users(name: str) -> set[tuple[str, str]]:
        return {(c.file, c.place) for c in all_calls() if c.what == name}

    assert users("confirm_props_off") == {
        ("workflows/bench_watch.py", "BenchWatch.confirm_props_off")
    }
    assert users("typed_hands_clear") == {
        ("workflows/agreement.py", "confirm_hands_clear")
    }
    for seal in ("PropsOff", "HandsClear"):
        assert {file for file, _ in users(seal)} == {"core/confirmation.py"}
