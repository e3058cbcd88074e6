"""From the nodes of a description file to a `Description`, every mistake at once."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from benchlink.console.charset import Charset
from benchlink.console.description import (
    BACK_WITHIN,
    NO_PAUSE,
    PATIENCE,
    Asked,
    Cue,
    Description,
    Echo,
    Kept,
    LineEnd,
    Manner,
    Mode,
    Outputs,
    Poison,
    Step,
    Verb,
    Wake,
)
from benchlink.console.forms import Heading
from benchlink.console.schema_hazards import hazards_of
from benchlink.console.schema_lines import (
    byte,
    plain,
    seconds,
    template_of,
    templates,
    words,
    yes,
)
from benchlink.console.schema_live import live_of
from benchlink.console.schema_pads import pads_of
from benchlink.console.schema_readings import readings_of
from benchlink.console.schema_roles import roles_of
from benchlink.console.schema_settings import sources_of
from benchlink.console.schema_values import spelling_of
from benchlink.console.schema_verbs import (
    MOVES,
    answer_form,
    bare_step,
    verbs_of,
    ways_out,
)
from benchlink.console.window import UNDECLARED_BYTES
from benchlink.core.document import Node, Problems, TableReader
from benchlink.core.exchange import AnswerForm, Ending
from benchlink.core.plan import Moves

VERSION: Final = "1"
WAKES: Final = {
    "abandon": Wake.ABANDON,
    "line-end": Wake.LINE_END,
    "nothing": Wake.NOTHING,
}
BOARD_ENDS: Final = {"LF": False, "CR": True}
CHARSETS: Final = {c.value: c for c in Charset if c is not Charset.UNSAID}
ECHOES: Final = {echo.value: echo for echo in Echo}
KEPT: Final = {kept.value: kept for kept in Kept}


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
    answer = reader.table("answer", "answer")
    base = answer_form(answer, AnswerForm())
    verbs = verbs_of(reader, base)
    asks = _asks(reader)
    manner = _manner(reader, answer, base, _Known(asks, verbs))
    aliases = words(reader, "aliases")
    live = live_of(reader, base, stops="stop" in verbs)
    description = Description(
        name=reader.need_text("name"),
        title=reader.need_text("title"),
        board_types=plain(reader, "boards"),
        asks=asks,
        manner=manner,
        spelling=spelling_of(reader, manner.charset),
        sources=sources_of(reader, base, verbs),
        verbs=verbs,
        modes=_modes(reader, base),
        outputs=_outputs(reader),
        volatile=plain(reader, "volatile"),
        read_only=plain(reader, "read-only"),
        board_owned=plain(reader, "board-owned"),
        aliases=aliases,
        kept=_kept(reader),
        moving=_moving(reader),
        hazards=hazards_of(reader),
        restart_first=plain(reader, "restart-first"),
        never=_never(reader),
        roles=roles_of(reader, aliases),
        live=live,
        readings=readings_of(reader, base),
        pads=pads_of(reader, live.outputs),
    )
    reader.finish()
    _check_names(description, reader)
    problems.stop_if_any("the console description")
    return description


class _Known:
    """What other parts of the file may refer to."""

    def __init__(self, asks: tuple[Asked, ...], verbs: Mapping[str, Verb]) -> None:
        self.asked: Final = frozenset(ask.name for ask in asks)
        self.verbs: Final = verbs


def _manner(
    reader: TableReader, answer: TableReader | None, base: AnswerForm, known: _Known
) -> Manner:
    opening = reader.table("opening", "opening")
    line = reader.table("line", "line")
    if answer is None:
        reader.problems.add(reader.place, "a console description needs `answer:`")
    hello = _hello(opening, known)
    manner = Manner(
        prompt=template_of(answer, answer.take("prompt")) if answer else None,
        prompt_after_text=(
            yes(answer, "prompt-after-text", default=False) if answer else False
        ),
        echo=answer.choice("echo", ECHOES, Echo.PLAIN) if answer else Echo.PLAIN,
        folds_at=answer.whole("folds-at", 0) if answer else 0,
        answer=base,
        chatter=templates(answer, "chatter"),
        pager=_cue(answer.table("pager", "`pager:`"), known) if answer else None,
        ways_out=ways_out(known.verbs),
        line_end=(
            line.choice("ends-with", LineEnd.__members__, LineEnd.CR)
            if line
            else LineEnd.CR
        ),
        board_ends_with_cr=(
            line.choice("board-ends-with", BOARD_ENDS, default=False) if line else False
        ),
        charset=(
            line.choice("charset", CHARSETS, Charset.UNSAID) if line else Charset.UNSAID
        ),
        longest_line=line.whole("longest", 80, least=8) if line else 80,
        abandon=byte(line, "abandon"),
        window_bytes=(
            line.whole("window-bytes", UNDECLARED_BYTES, least=1)
            if line
            else UNDECLARED_BYTES
        ),
        one_at_a_time=yes(line, "one-at-a-time", default=False) if line else False,
        pause=seconds(line, "pause-s", NO_PAUSE),
        wake=opening.choice("wake", WAKES, Wake.LINE_END) if opening else Wake.LINE_END,
        stuck=plain(opening, "stuck"),
        hello=hello.line.source if hello else "",
        hello_form=hello.form if hello else AnswerForm(),
        hello_gives=hello.gives if hello else (),
        cues=_cues(opening, known),
        setup=plain(opening, "setup"),
        banner=templates(opening, "banner"),
        patience=seconds(opening, "patience-s", PATIENCE),
        listen=seconds(opening, "listen-s", NO_PAUSE),
        back_within=seconds(opening, "back-within-s", BACK_WITHIN),
        restart_pause=seconds(opening, "restart-pause-s", NO_PAUSE),
    )
    _check_manner(reader, manner)
    for part in (opening, line, answer):
        if part:
            part.finish()
    return manner


def _check_manner(reader: TableReader, manner: Manner) -> None:
    wrong = {
        "`wake: abandon` needs `abandon:` under `line:`": (
            manner.wake is Wake.ABANDON and not manner.abandon
        ),
        "`stuck:` needs `abandon:` under `line:`, which undoes a key that was not needed": (
            bool(manner.stuck) and not manner.abandon
        ),
        "answer needs `ok:`, the words of success, or `success: silence`": (
            manner.answer.ends is Ending.STATUS
            and manner.answer.needs_word
            and not manner.answer.ok
        ),
        "without `prompt:`, opening needs `hello:`, a verb that proves that the board"
        " listens": manner.prompt is None and not manner.hello,
        "`prompt-after-text:` needs a `prompt:` that begins with text of its own": (
            manner.prompt_after_text
            and (manner.prompt is None or not manner.prompt.begins_fixed)
        ),
        "`wake: nothing` with `prompt:` and `hello:` needs `listen-s:`, after which the"
        " line of the hello is sent": (
            manner.wake is Wake.NOTHING
            and manner.prompt is not None
            and bool(manner.hello)
            and not manner.listen
        ),
        "`ends: prompt` needs `prompt:`": (
            manner.answer.ends is Ending.PROMPT and manner.prompt is None
        ),
    }
    for text, is_wrong in wrong.items():
        if is_wrong:
            reader.problems.add(reader.place, text)


def _hello(opening: TableReader | None, known: _Known) -> Step | None:
    name = opening.text("hello") if opening else ""
    verb = known.verbs.get(name)
    if opening and name and (verb is None or not verb.steps):
        opening.problems.add(opening.place, f"`hello:` names a verb, not {name!r}")
    if verb is None or not verb.steps:
        return None
    first = verb.steps[0]
    # Where the lines are split first, their forms say nothing of a line as it comes.
    gives = () if verb.split else first.gives or verb.gives
    return replace(first, gives=gives)


def _cues(opening: TableReader | None, known: _Known) -> tuple[Cue, ...]:
    rows = opening.tables("replies", "a reply") if opening else ()
    return tuple(cue for row in rows if (cue := _cue(row, known, may_wait=True)))


def _cue(
    row: TableReader | None, known: _Known, *, may_wait: bool = False
) -> Cue | None:
    if row is None:
        return None
    wait = may_wait and yes(row, "wait", default=False)
    shows = template_of(row, row.need("shows"))
    line = template_of(row, row.take("line"), only=known.asked)
    key = row.text("key")
    row.finish()
    if wait and (line is not None or key):
        row.problems.add(row.place, f"{row.what} either waits or sends something")
    elif line is None and not key and not wait:
        ways = "`line:` or `key:`" + (", or `wait: yes`" if may_wait else "")
        row.problems.add(row.place, f"{row.what} needs {ways}")
    return Cue(shows=shows, line=line, key=key.encode(), wait=wait) if shows else None


def _asks(reader: TableReader) -> tuple[Asked, ...]:
    asks: list[Asked] = []
    for row in reader.tables("asks", "`asks:`"):
        name = row.need_text("name")
        asks.append(
            Asked(
                name=name,
                prompt=row.text("prompt", name),
                secret=yes(row, "secret", default=False),
            )
        )
        row.finish()
    return tuple(asks)


def _modes(reader: TableReader, base: AnswerForm) -> Mapping[str, Mode]:
    table = reader.table("modes", "modes")
    if table is None:
        return {}
    modes: dict[str, Mode] = {}
    for entry in table.entries():
        row = TableReader(entry.value, table.problems, f"mode {entry.key.text}")
        enter = bare_step(row, "enter", base, frozenset())
        leave = bare_step(row, "leave", base, frozenset())
        row.finish()
        if enter and leave:
            modes[entry.key.text] = Mode(enter=enter, leave=leave)
    return modes


def _outputs(reader: TableReader) -> Outputs | None:
    table = reader.table("outputs", "outputs")
    if table is None:
        return None
    outputs = Outputs(
        live=table.need_text("live"),
        resting=table.need_text("resting"),
        reasons=words(table, "reasons"),
    )
    table.finish()
    return outputs


def _moving(reader: TableReader) -> tuple[tuple[tuple[str, ...], Moves], ...]:
    rules: list[tuple[tuple[str, ...], Moves]] = []
    for row in reader.tables("moving", "a rule of `moving:`"):
        rules.append((plain(row, "names"), row.choice("what", MOVES, Moves.SERVO)))
        row.finish()
    return tuple(rules)


def _kept(reader: TableReader) -> tuple[tuple[tuple[str, ...], Kept], ...]:
    rules: list[tuple[tuple[str, ...], Kept]] = []
    for row in reader.tables("kept", "a rule of `kept:`"):
        rules.append((plain(row, "names"), row.choice("when", KEPT, Kept.ON_KEEP)))
        row.finish()
    return tuple(rules)


def _never(reader: TableReader) -> tuple[Poison, ...]:
    found: list[Poison] = []
    for row in reader.tables("never", "a rule of `never:`"):
        poison = Poison(
            name=row.need_text("name"),
            value=row.text("value", "*"),
            why=row.need_text("why"),
        )
        found.append(poison)
        row.finish()
    return tuple(found)


def _check_names(description: Description, reader: TableReader) -> None:
    """What refers to a verb or a mode has to find it."""
    for name, verb in description.all_verbs():
        if verb.mode and verb.mode not in description.modes:
            reader.problems.add(
                reader.place, f"verb {name} names a mode that is not there: {verb.mode}"
            )
    for source in description.sources:
        for form in source.forms:
            if isinstance(form, Heading):
                continue
            for verb_name in form.traits.written_by.values():
                if verb_name not in description.verbs:
                    reader.problems.add(
                        reader.place, f"`written-by:` names no verb: {verb_name!r}"
                    )
