"""From the nodes of a description file to a `Description`, every mistake at once."""

from collections.abc import Mapping
from typing import Final

from benchlink.console.codec import Codec
from benchlink.console.description import (
    Description,
    LineEnd,
    ListedLine,
    Manner,
    MovingSettings,
    Outputs,
    Verb,
    Wake,
)
from benchlink.console.template import Template, TemplateError, template
from benchlink.console.window import UNDECLARED_BYTES
from benchlink.core.document import Node, Problems, Scalar, TableReader
from benchlink.core.plan import Moves
from benchlink.units import Seconds

VERSION: Final = "1"
YES_NO: Final = {"yes": True, "no": False}
MOVES: Final = {moves.value: moves for moves in Moves}

FIELDS: Final[Mapping[str, frozenset[str]]] = {
    "identify": frozenset(),
    "readiness": frozenset(),
    "list": frozenset(),
    "read": frozenset({"name"}),
    "write": frozenset({"name", "value"}),
    "keep": frozenset(),
    "drop": frozenset(),
    "restart": frozenset(),
    "stop": frozenset(),
    "blink": frozenset(),
}
"""The verbs, and which fields the line of each must have."""

ALONE: Final = frozenset({"keep", "drop", "restart"})
"""Verbs that are sent alone whether the file says so or not."""


def describe(document: Node) -> Description:
    """Read a whole description.

    Raises:
        FileError: with every mistake and its place.
    """
    problems = Problems()
    reader = TableReader(document, problems, "a console description")
    version = reader.need_text("benchlink-console")
    if version not in {"", VERSION}:
        problems.add(
            reader.place, f"this benchlink reads version {VERSION}, not {version}"
        )
    verbs = _verbs(reader)
    description = Description(
        name=reader.need_text("name"),
        title=reader.need_text("title"),
        board_types=_plain(reader, "boards"),
        manner=_manner(reader),
        codec=_codec(reader.table("values", "values")),
        listed=_listed(reader),
        verbs=verbs,
        outputs=_outputs(reader),
        volatile=_plain(reader, "volatile"),
        moving=_moving(reader),
    )
    reader.finish()
    problems.stop_if_any("the console description")
    return description


def _manner(reader: TableReader) -> Manner:
    opening = reader.table("opening", "opening")
    line = reader.table("line", "line")
    answer = reader.table("answer", "answer")
    if answer is None:
        reader.problems.add(reader.place, "a console description needs `answer:`")
    manner = Manner(
        prompt=answer.need_text("prompt") if answer else "",
        ok=_templates(answer, "ok"),
        noted=_templates(answer, "noted"),
        refused=_templates(answer, "refused"),
        banner=_templates(opening, "banner"),
        line_end=_choice(line, "ends-with", LineEnd, LineEnd.CR),
        longest_line=line.whole("longest", 80, least=8) if line else 80,
        abandon=_byte(line, "abandon"),
        wake=_wake(opening),
        patience=Seconds(opening.number("patience-s", 3.0) if opening else 3.0),
        back_within=Seconds(opening.number("back-within-s", 10.0) if opening else 10.0),
        window_bytes=(
            line.whole("window-bytes", UNDECLARED_BYTES, least=1)
            if line
            else UNDECLARED_BYTES
        ),
    )
    if answer and not manner.ok:
        answer.problems.add(answer.place, "answer needs `ok:`, the words of success")
    if manner.wake is Wake.ABANDON and not manner.abandon:
        reader.problems.add(
            reader.place, "`wake: abandon` needs `abandon:` under `line:`"
        )
    for part in (opening, line, answer):
        if part:
            part.finish()
    return manner


def _wake(opening: TableReader | None) -> Wake:
    words = {
        "abandon": Wake.ABANDON,
        "line-end": Wake.LINE_END,
        "nothing": Wake.NOTHING,
    }
    return opening.choice("wake", words, Wake.LINE_END) if opening else Wake.LINE_END


def _choice(
    reader: TableReader | None, key: str, kinds: type[LineEnd], default: LineEnd
) -> LineEnd:
    return reader.choice(key, kinds.__members__, default) if reader else default


def _byte(reader: TableReader | None, key: str) -> bytes:
    node = reader.take(key) if reader else None
    if reader is None or node is None:
        return b""
    text = node.text if isinstance(node, Scalar) else ""
    try:
        return bytes([int(text.removeprefix("0x"), 16)])
    except ValueError:
        reader.problems.add(node.place, f"`{key}:` is one byte in hex, such as 0x15")
        return b""


def _codec(values: TableReader | None) -> Codec:
    if values is None:
        return Codec()
    codec = Codec(
        on=values.text("on", "on"),
        off=values.text("off", "off"),
        quote=values.text("quote"),
        escape=values.text("escape"),
        separator=values.text("separator"),
        reserved=values.text("reserved"),
    )
    for key, text in (("quote", codec.quote), ("escape", codec.escape)):
        if len(text) > 1:
            values.problems.add(
                values.place, f"`{key}:` is one character, not {text!r}"
            )
    values.finish()
    return codec


def _listed(reader: TableReader) -> tuple[ListedLine, ...]:
    rows = reader.tables("settings", "a listed line")
    if not rows:
        reader.problems.add(reader.place, "a console description needs `settings:`")
    listed: list[ListedLine] = []
    for row in rows:
        form = _template(row, row.need("line"), {"name", "value"})
        writable = row.choice("writable", YES_NO, default=True)
        board_owned = row.choice("board-owned", YES_NO, default=False)
        row.finish()
        if form:
            listed.append(
                ListedLine(template=form, writable=writable, board_owned=board_owned)
            )
    return tuple(listed)


def _verbs(reader: TableReader) -> Mapping[str, Verb]:
    table = reader.table("verbs", "verbs")
    if table is None:
        reader.problems.add(reader.place, "a console description needs `verbs:`")
        return {}
    verbs: dict[str, Verb] = {}
    for name, fields in FIELDS.items():
        verb = table.table(name, f"verb {name}")
        if verb is not None:
            made = _verb(verb, name, fields)
            if made:
                verbs[name] = made
    table.finish()
    return verbs


def _verb(reader: TableReader, name: str, fields: frozenset[str]) -> Verb | None:
    line = _template(reader, reader.need("line"), fields, exactly=True)
    gives = _templates(reader, "gives")
    answer_within = Seconds(reader.number("answer-within-s", 1.0))
    alone = reader.choice("alone", YES_NO, default=name in ALONE) or name in ALONE
    moves = reader.choice("moves", MOVES, Moves.NOTHING)
    reader.finish()
    if line is None:
        return None
    return Verb(
        line=line, gives=gives, answer_within=answer_within, alone=alone, moves=moves
    )


def _outputs(reader: TableReader) -> Outputs | None:
    table = reader.table("outputs", "outputs")
    if table is None:
        return None
    outputs = Outputs(live=table.need_text("live"), resting=table.need_text("resting"))
    table.finish()
    return outputs


def _moving(reader: TableReader) -> tuple[MovingSettings, ...]:
    rules: list[MovingSettings] = []
    for row in reader.tables("moving", "a rule of `moving:`"):
        names = _plain(row, "names")
        rules.append(
            MovingSettings(names=names, what=row.choice("what", MOVES, Moves.SERVO))
        )
        row.finish()
    return tuple(rules)


def _plain(reader: TableReader, key: str) -> tuple[str, ...]:
    return tuple(scalar.text for scalar in reader.texts(key))


def _templates(reader: TableReader | None, key: str) -> tuple[Template, ...]:
    if reader is None:
        return ()
    made = (_template(reader, scalar, frozenset()) for scalar in reader.texts(key))
    return tuple(form for form in made if form)


def _template(
    reader: TableReader,
    node: Node | None,
    needed: frozenset[str] | set[str],
    *,
    exactly: bool = False,
) -> Template | None:
    if not isinstance(node, Scalar):
        if node is not None:
            reader.problems.add(node.place, f"{reader.what}: a line is text")
        return None
    try:
        form = template(node.text)
    except TemplateError as exc:
        place = f"at character {exc.column} of {node.text!r}"
        reader.problems.add(node.place, f"{reader.what}: {exc} ({place})")
        return None
    missing = sorted(needed - set(form.fields))
    extra = sorted(set(form.fields) - needed) if exactly else []
    for name in missing:
        reader.problems.add(
            node.place, f"{reader.what} needs {{{name}}} in {node.text!r}"
        )
    for name in extra:
        reader.problems.add(node.place, f"{reader.what} cannot fill {{{name}}}")
    return form
