"""Descriptions of made-up consoles, written from their neutral data alone."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final

from benchlink.console.description import Description
from benchlink.console.schema import describe
from benchlink.store.strict_yaml import load
from mocks.generated_description import description_data

Data = Mapping[str, Any]
Block = dict[str, Any]

RESET_S: Final = 0.05
"""From the answer to a restart until the board goes down."""
ENDS: Final = {"CR": "CR", "LF": "LF", "CR LF": "CRLF"}
STATUSES: Final = {"status line", "status line, then prompt"}
ECHOES: Final = {
    "none": "none",
    "plain": "plain",
    "redrawn with backspaces": "plain",
    "folded": "folded",
}
SERVO: Final = ("centre_us", "aft_us", "fore_us", "direction")


def described(seed: int, *, pages: bool = False) -> Description:
    """The description of a made-up console, read like any file."""
    return describe(load(text_of(data_of(seed), pages=pages), f"made-up-{seed}.yaml"))


def data_of(seed: int) -> Data:
    """What `--about` prints, as it comes out of its JSON."""
    data: Data = json.loads(json.dumps(description_data(seed)))
    return data


def text_of(data: Data, *, pages: bool = False) -> str:
    """The text of a description; with `pages` the pager is answered, not turned off."""
    values = data["values"]
    file: Block = {
        "benchlink-console": "1",
        "name": f"made-up-{data['seed']}",
        "title": f"Made-up console {data['seed']}",
        "boards": ["generated"],
        "opening": _opening(data, pages=pages),
        "line": _line(data),
        "answer": _answer(data),
        "values": {"separator": values["numbers_between"]}
        | ({"quote": values["text_quote"]} if values["text_quote"] else {}),
        "spelling": list(_spelling(data)),
        "settings": [_source(data)],
        "volatile": [_named(data, "board.uptime_s")],
        "kept": _kept(data),
        "verbs": _verbs(data),
        "outputs": {"live": "live", "resting": "resting"},
        "moving": _moving(data),
    }
    if data["listing"]["shape"] != "fixed columns":
        file |= _owners(data)
    return "\n".join(_lines(file)) + "\n"


def _lines(node: object, indent: str = "") -> Iterator[str]:
    """YAML in blocks; every text in double quotes."""
    if isinstance(node, dict):
        for key, value in node.items():
            yield from _entry(f"{indent}{json.dumps(key)}:", value, indent)
    elif isinstance(node, list):
        for value in node:
            yield from _entry(f"{indent}-", value, indent)


def _entry(head: str, value: object, indent: str) -> Iterator[str]:
    if isinstance(value, dict | list) and value:
        yield head
        yield from _lines(value, indent + "  ")
    else:
        yield f"{head} {json.dumps(value)}"


def _opening(data: Data, *, pages: bool) -> Block:
    opening: Block = {"wake": "abandon"} if data["prompt"] else {"wake": "nothing"}
    if not data["prompt"]:
        opening["hello"] = "identify"
    if data["pager"] and not pages:
        opening["setup"] = [data["pager"]["off"]]
    boot = data["boot"]
    if boot["lines"]:
        return opening | {"banner": boot["lines"]}
    return opening | {"restart-pause-s": str(RESET_S + boot["deaf_ms"] / 1000 + 0.01)}


def _line(data: Data) -> Block:
    return {
        "ends-with": ENDS[data["line_end_to_board"]],
        "board-ends-with": "CR" if data["line_end_from_board"] == "CR" else "LF",
        "longest": str(data["longest_line"]),
        "abandon": f"0x{data['abandon_byte']:02x}",
        "window-bytes": "200",
    }


def _answer(data: Data) -> Block:
    echo = data["echo"]
    answer: Block = {"echo": ECHOES[echo["kind"]]}
    if echo["fold_columns"]:
        answer["folds-at"] = str(echo["fold_columns"])
    if data["prompt"]:
        answer["prompt"] = data["prompt"].replace("{n}", "{count}")
    if data["chatter"]["line"]:
        line = data["chatter"]["line"]
        answer["chatter"] = [line.replace("{seconds}", "{count}.{fraction}")]
    if data["pager"]:
        answer["pager"] = {"shows": data["pager"]["text"], "key": " "}
    return answer | _ending(data["framing"]) | _outcome(data)


def _ending(framing: Data) -> Block:
    endings: dict[str, Block] = {
        "closing line": {"ends": "closing", "closing": framing["closing_line"]},
        "count of lines first": {
            "ends": "count",
            "header": (framing["count_line"] or "").replace("{n}", "{count}"),
        },
        "only quiet": {"ends": "quiet"},
        "prompt": {"ends": "prompt"},
        "counted prompt": {"ends": "prompt"},
        "status line": {"ends": "status", "ok": framing["status_good"]},
        "status line, then prompt": {"ends": "status", "ok": framing["status_good"]},
    }
    return endings[framing["kind"]]


def _outcome(data: Data) -> Block:
    """How success and refusal show."""
    # Where the reason stands on the next line, that line needs no form.
    outcome: Block = {
        "refused": data["refusal"]["lines"][0].replace("{reason}", "{remark}")
    }
    if data["framing"]["kind"] in STATUSES:
        return outcome
    if data["success"]["line"]:
        return outcome | {"ok": data["success"]["line"]}
    return outcome | {"success": "silence"}


def _spelling(data: Data) -> Iterator[Block]:
    values = data["values"]
    rules: list[tuple[Callable[[Data], bool], Block]] = [
        (lambda s: s["kind"] == "switch", {"on": values["yes"], "off": values["no"]}),
        (lambda s: s["kind"] == "choice", {"kind": "word"}),
        (lambda s: s["kind"] == "text", _texts(values)),
        (lambda s: s["hex"], _hex(values["hex"])),
        (lambda s: s["milli"], {"suffix": "m", "scale": "0.001", "places": "0"}),
    ]
    for suits, changes in rules:
        names = [s["name"] for s in data["settings"] if suits(s)]
        if names and changes:
            yield {"names": names} | changes


def _texts(values: Data) -> Block:
    unset = {"unset": values["unset_text"]} if values["unset_text"] else {}
    return unset | ({} if values["text_quote"] else {"kind": "text"})


def _hex(form: Data | None) -> Block:
    if form is None:
        return {}
    spelled = {"prefix": form["before"], "suffix": form["after"]}
    return spelled | {"radix": "16", "digits": str(form["digits"])}


def _source(data: Data) -> Block:
    commands, listing = data["commands"], data["listing"]
    if commands["list"] is None:
        return {
            "list": _reading(data),
            "each": [s["name"] for s in data["settings"]],
            "forms": [{"pair": data["read_answer"]["line"]}],
        }
    ends = (listing["first_line"], listing["last_line"])
    furniture = [line.replace("{n}", "{count}") for line in ends if line]
    if listing["shape"] == "fixed columns":
        furniture += _table_head(listing["columns"])
    return {
        "list": {"line": commands["list"], "success": "words"},
        "furniture": furniture,
        "forms": list(FORMS[listing["shape"]](data)),
    }


def _table_head(columns: Sequence[Data]) -> list[str]:
    ruler = " ".join("-" * column["width"] for column in columns)
    return ["{ }".join(column["name"] for column in columns), ruler]


def _reading(data: Data) -> Block:
    """How one setting is asked for; a bare value may look like a status."""
    reading: Block = {"line": data["commands"]["read"], "success": "words"}
    bare = data["read_answer"]["kind"] == "bare value"
    if bare and data["framing"]["kind"] in STATUSES:
        reading["at-least"] = "1"
        if len(data["refusal"]["lines"]) > 1:
            reading["refused"] = "  {remark}"
    return reading


def _pairs(data: Data) -> Iterator[Block]:
    marks, line = data["listing"]["marks"], data["listing"]["line"]
    # The mark of ordinary lines may be none at all: it comes last.
    for kind in ("fixed", "own", "ordinary"):
        yield {"pair": line.replace("{mark}", marks[kind])}


def _columns(data: Data) -> Iterator[Block]:
    columns: list[Block] = []
    first = 1
    for column in data["listing"]["columns"]:
        name = "marks" if column["name"] == "note" else column["name"]
        last = first + column["width"] - 1
        columns.append({"is": name, "first": str(first), "last": str(last)})
        first = last + 2
    notes = data["listing"]["notes"]
    meant = {None: "writable", "fixed": "read-only", "own": "board-owned"}
    yield {
        "columns": columns,
        "marks": {note or "": meant[note] for note in notes.values()},
    }


def _fields(data: Data) -> Iterator[Block]:
    listing = data["listing"]
    yield {
        "row": listing["line"].replace("{fields}", "{cells}"),
        "cells": "pairs",
        "between": listing["between_fields"],
        "equals": _within(listing["field"], "{field}", "{value}"),
        "join": _within(listing["full_name"], "{thing}", "{field}"),
        "quote": data["values"]["text_quote"],
    } | _beside(data)


def _letters(data: Data) -> Iterator[Block]:
    listing = data["listing"]
    yield {
        "row": listing["line"].replace("{fields}", "{cells}"),
        "cells": "letters",
        "join": _within(listing["full_name"], "{thing}", "{field}"),
        "quote": data["values"]["text_quote"],
        "whole": "{letter}{value}",
    }


def _beside(data: Data) -> Block:
    """How a setting stands in a statement, where there are statements."""
    writing = data["writing"]
    if writing["field"] is None:
        return {}
    cell = writing["field"].replace("{field}", "{key}")
    return {"whole" if writing["all_fields"] else "some": cell}


def _write(data: Data, told: Block) -> Block:
    commands, writing = data["commands"], data["writing"]
    if commands["write"] is not None:
        return {"line": commands["write"].replace("{fields}", "{cells}")} | told
    lines = (writing["opening"], "{cell}", writing["closing"])
    return {
        "steps": [{"line": line} | told for line in lines],
        "give-up": {"line": writing["leaving"]} | told,
    }


def _within(text: str, before: str, after: str) -> str:
    return text.removeprefix(before).removesuffix(after)


def _sentences(data: Data) -> Iterator[Block]:
    listing = data["listing"]
    # The units first: a value may be followed by more words.
    for unit in dict.fromkeys(s["unit"] for s in data["settings"] if s["unit"]):
        yield {"pair": listing["line_with_unit"].replace("{unit}", unit)}
    yield {"pair": listing["line_without_unit"]}


def _headings(data: Data) -> Iterator[Block]:
    listing = data["listing"]
    yield {"heading": listing["heading"].replace("{thing}", "{part}")}
    yield {
        "pair": listing["line"].lstrip().replace("{field}", "{name}"),
        "headed": "yes",
        "join": _within(listing["full_name"], "{thing}", "{field}"),
    } | _beside(data)


FORMS: Final[Mapping[str, Callable[[Data], Iterator[Block]]]] = {
    "pairs": _pairs,
    "fixed columns": _columns,
    "fields of one thing a line": _fields,
    "sentences": _sentences,
    "headings": _headings,
    "letters of one thing a line": _letters,
}


def _owners(data: Data) -> Block:
    settings = data["settings"]
    return {
        "read-only": [s["name"] for s in settings if not s["writable"]],
        "board-owned": [s["name"] for s in settings if s["own"]],
    }


def _kept(data: Data) -> list[Block]:
    persistence = data["persistence"]
    if persistence["kind"] == "everything that was written":
        return [{"names": ["*"], "when": "at-once"}]
    group = persistence["never_kept_group"]
    if group is None:
        return []
    names = [s["name"] for s in data["settings"] if _group(s) == group]
    return [{"names": names, "when": "never"}]


def _group(setting: Data) -> str:
    group: str = setting["meaning"].partition(".")[0]
    return group


def _verbs(data: Data) -> Block:
    commands = data["commands"]
    silent = data["framing"]["kind"] == "only quiet" and not data["success"]["line"]
    told: Block = {"answer-within-s": "0.2"} if silent else {}
    verbs: Block = {
        "identify": {
            "line": commands["identify"],
            "success": "words",
            "gives": [commands["identify_answer"]],
        },
        "readiness": {
            "line": commands["ready"],
            "success": "words",
            "gives": ["outputs {outputs}", "{reason}"],
        },
        "write": _write(data, told),
        "restart": {"line": commands["restart"]} | told,
        "stop": {"line": commands["halt"]} | told,
        "blink": {"line": commands["lamp"].replace("{ms}", "300")} | told,
    }
    if commands["keep"]:
        verbs["keep"] = {"line": commands["keep"]} | told
    if commands["read"]:
        answer = data["read_answer"]["line"]
        told_one = {} if answer == "one line of the list" else {"gives": [answer]}
        verbs["read"] = _reading(data) | told_one
    return verbs


def _moving(data: Data) -> list[Block]:
    def of(suits: Callable[[str], bool]) -> list[str]:
        return [s["name"] for s in data["settings"] if suits(s["meaning"])]

    servo = of(lambda m: m.startswith("tilt.") and m.endswith(SERVO))
    motor = of(lambda m: m.startswith(("output.", "motor.")))
    rules = ((servo, "servo"), (motor, "motor"))
    return [{"names": names, "what": what} for names, what in rules if names]


def _named(data: Data, meaning: str) -> str:
    (name,) = (s["name"] for s in data["settings"] if s["meaning"] == meaning)
    return str(name)
