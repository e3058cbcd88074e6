"""Every choice of a made-up console as plain data, for whoever describes it."""

from typing import Final

from .fleet import fit_out
from .generated import AT_ONCE_US, DOT_US, KEEP_US, LOG_US, LONGEST_LINE
from .generated_paper import PAGE_LINES
from .generated_plan import (
    USUAL_BOARD,
    Chatter,
    Echo,
    Framing,
    Listing,
    Persistence,
    Plan,
    ReadOne,
    Refusal,
    Success,
    Writing,
    draw,
)
from .generated_sheet import (
    COLUMNS,
    NOTES,
    column_order,
    full_name,
    is_hex,
    is_milli,
    name_join,
    thing_and_field,
)
from .generated_statement import takes_lines
from .generated_typing import ABANDON, FOLD_COLUMNS
from .quantities import Choice, Fraction, Row, Whole
from .settings import Owner, Setting
from .spelling import part

_ENDS: Final = {"\r": "CR", "\n": "LF", "\r\n": "CR LF"}
_STATUS: Final = (Framing.STATUS, Framing.STATUS_PROMPT)


def description_data(seed: int) -> dict[str, object]:
    """The choices of a seed as JSON-like data; an absent thing is null.

    `{name}`, `{value}`, `{unit}`, `{thing}`, `{field}`, `{n}` stand in templates for
    what changes. `settings` tells name, meaning (the aircraft's own name) and kind.
    """
    plan = draw(seed)
    board = {s.name: s for s in fit_out(count=USUAL_BOARD, seed=seed)}
    return {
        "seed": seed,
        "framing": _framing(plan),
        "prompt": plan.prompt or None,
        "echo": _echo(plan),
        "line_end_to_board": _ENDS[plan.line_end_in],
        "line_end_from_board": _ENDS[plan.line_end_out],
        "longest_line": LONGEST_LINE,
        "abandon_byte": ABANDON,
        "boot": {"lines": list(plan.boot_lines), "deaf_ms": plan.boot_us // 1000},
        "commands": _commands(plan),
        "writing": _writing(plan),
        "listing": _listing(plan),
        "read_answer": _read_answer(plan),
        "success": _success(plan),
        "refusal": _refusal(plan),
        "values": _values(plan),
        "persistence": _persistence(plan),
        "trust": plan.trust.value,
        "chatter": _chatter(plan),
        "pager": _pager(plan),
        "settings": [_setting(plan, board[name]) for name in plan.names],
    }


def _framing(plan: Plan) -> dict[str, object]:
    framing = plan.framing
    return {
        "kind": framing.value,
        "status_good": plan.statuses[0] if framing in _STATUS else None,
        "status_bad": plan.statuses[1] if framing in _STATUS else None,
        "closing_line": plan.closing if framing is Framing.CLOSING else None,
        "count_line": plan.count if framing is Framing.COUNT else None,
        "prompt_counts_from": 1 if framing is Framing.COUNTED_PROMPT else None,
    }


def _echo(plan: Plan) -> dict[str, object]:
    folded = plan.echo is Echo.FOLDED
    return {
        "kind": plan.echo.value,
        "fold_columns": FOLD_COLUMNS if folded else None,
        "fold_counts_prompt": folded or None,
    }


def _commands(plan: Plan) -> dict[str, object]:
    reads = plan.read_one is not ReadOne.NONE
    keeps = plan.persistence is not Persistence.AT_ONCE
    verbs = plan.verbs
    return {
        "list": verbs["list"] if plan.lists else None,
        "read": plan.read if reads else None,
        "write": _write(plan),
        "keep": verbs["keep"] if keeps else None,
        "restart": verbs["restart"],
        "identify": verbs["identify"],
        "identify_answer": "{type} {layout} {firmware} {number}",
        "ready": verbs["ready"],
        "ready_answer": ["outputs live|resting", "{reason} (none to some lines)"],
        "lamp": f"{verbs['lamp']} {{ms}}",
        "halt": verbs["halt"],
    }


def _write(plan: Plan) -> str | None:
    """The form of the line that writes; null where it takes several."""
    if plan.writing is Writing.LETTERS:
        return f"{plan.statement.letters} {{thing}}{plan.thing_end}{{fields}}"
    return plan.write if plan.writing is Writing.ONE_LINE else None


def _writing(plan: Plan) -> dict[str, object]:
    words, lines = plan.statement, takes_lines(plan)
    return {
        "kind": plan.writing.value,
        "all_fields": plan.writing in {Writing.WHOLE_STATEMENT, Writing.LETTERS},
        "opening": words.opening if lines else None,
        "field": f"{{field}}{words.between}{{value}}" if lines else None,
        "closing": words.closing if lines else None,
        "leaving": words.leaving if lines else None,
    }


def _listing(plan: Plan) -> dict[str, object]:
    first, last = plan.list_ends
    return {
        "shape": plan.listing.value,
        "first_line": (first or None) if plan.lists else None,
        "last_line": (last or None) if plan.lists else None,
        **_SHAPES[plan.listing](plan),
    }


def _pairs(plan: Plan) -> dict[str, object]:
    ordinary, fixed, own = plan.marks
    return {
        "line": f"{{mark}}{{name}}{plan.separator}{{value}}",
        "marks": {"ordinary": ordinary, "fixed": fixed, "own": own},
    }


def _columns(plan: Plan) -> dict[str, object]:
    order = column_order(plan)
    return {
        "columns": [
            {
                "name": name,
                "width": COLUMNS[name] - 1,
                "right": name == "value" and plan.value_right,
            }
            for name in order
        ],
        "between_columns": " ",
        "heading_line": True,
        "ruler": "-",
        "notes": {owner.value: note or None for owner, note in NOTES.items()},
        "trailing_blanks": "removed",
    }


def _fields(plan: Plan) -> dict[str, object]:
    return {
        "line": f"{{thing}}{plan.thing_end}{{fields}}",
        "field": f"{{field}}{plan.assign}{{value}}",
        "between_fields": plan.field_joiner,
        "full_name": f"{{thing}}{name_join(plan)}{{field}}",
    }


def _sentences(plan: Plan) -> dict[str, object]:
    return {"line_with_unit": plan.sentence[0], "line_without_unit": plan.sentence[1]}


def _headings(plan: Plan) -> dict[str, object]:
    return {
        "heading": plan.heading,
        "line": f"{plan.indent}{{field}}{plan.separator}{{value}}",
        "full_name": f"{{thing}}{name_join(plan)}{{field}}",
    }


def _unlisted(_plan: Plan) -> dict[str, object]:
    return {}


_SHAPES: Final = {
    Listing.PAIRS: _pairs,
    Listing.COLUMNS: _columns,
    Listing.FIELDS: _fields,
    Listing.LETTERS: _fields,
    Listing.SENTENCES: _sentences,
    Listing.HEADINGS: _headings,
    Listing.NONE: _unlisted,
}


def _one(plan: Plan) -> dict[str, object]:
    """The form of one setting outside the list."""
    if plan.listing in {Listing.PAIRS, Listing.HEADINGS, Listing.NONE}:
        return {"line": f"{{name}}{plan.separator}{{value}}"}
    return {"line": "one line of the list", "fields": "only the one"}


def _read_answer(plan: Plan) -> dict[str, object]:
    shapes: dict[ReadOne, dict[str, object]] = {
        ReadOne.BARE: {"line": "{value}"},
        ReadOne.LISTED: _one(plan),
        ReadOne.NONE: {},
    }
    return {"kind": plan.read_one.value, **shapes[plan.read_one]}


def _success(plan: Plan) -> dict[str, object]:
    words = plan.success is Success.WORDS and plan.framing not in _STATUS
    return {
        "kind": plan.success.value,
        "line": plan.success_word if words else None,
        "write_answer": _one(plan) if plan.success is Success.VALUE else None,
    }


def _refusal(plan: Plan) -> dict[str, object]:
    word = plan.statuses[1] if plan.framing in _STATUS else plan.refusal_word
    same = plan.refusal is Refusal.SAME_LINE
    lines = [f"{word}: {{reason}}"] if same else [word, "  {reason}"]
    return {"kind": plan.refusal.value, "lines": lines}


def _values(plan: Plan) -> dict[str, object]:
    return {
        "yes": plan.switch[0],
        "no": plan.switch[1],
        "text_quote": '"' if plan.quotes else None,
        "unset_text": plan.unset,
        "numbers_between": ",",
        "hex": _hex(plan.hex_form),
        "milli": "{value}m" if plan.milli_volts else None,
    }


def _hex(form: str | None) -> dict[str, object] | None:
    if form is None:
        return None
    digits = form.index("{"), form.index("}") + 1
    return {
        "before": form[: digits[0]],
        "after": form[digits[1] :],
        "capitals": "X" in form,
        "digits": 4 if "04" in form else 1,
    }


def _persistence(plan: Plan) -> dict[str, object]:
    part_only = plan.persistence is Persistence.PART
    at_once = plan.persistence is Persistence.AT_ONCE
    return {
        "kind": plan.persistence.value,
        "never_kept_group": plan.lost_group if part_only else None,
        "takes_ms": (AT_ONCE_US if at_once else KEEP_US) // 1000,
    }


def _chatter(plan: Plan) -> dict[str, object]:
    lines = {
        Chatter.LOG: (f"{plan.log_mark}{{seconds}} {{text}}", LOG_US // 1000),
        Chatter.DOTS: (".", DOT_US // 1000),
    }
    line, every_ms = lines.get(plan.chatter, (None, None))
    return {"kind": plan.chatter.value, "line": line, "every_ms": every_ms}


def _pager(plan: Plan) -> dict[str, object] | None:
    if plan.pager is None:
        return None
    return {
        "text": plan.pager,
        "lines": PAGE_LINES,
        "next_key": " ",
        "leave_key": "q",
        "erased_by": "CR, blanks, CR" if plan.pager_wiped else "a line end",
        "off": plan.verbs["pager_off"],
        "off_until": "restart",
    }


def _setting(plan: Plan, setting: Setting) -> dict[str, object]:
    thing, field = thing_and_field(plan, setting.name)
    told: dict[str, object] = {
        "name": full_name(plan, setting.name),
        "thing": thing,
        "field": field,
        "meaning": setting.name,
        "kind": type(setting.kind).__name__.lower(),
        "unit": part(setting.name).unit or None,
        "writable": setting.owner is not Owner.MAKER,
        "own": setting.owner is Owner.CALIBRATION,
        "hex": is_hex(plan, setting),
        "milli": is_milli(plan, setting),
    }
    match setting.kind:
        case Whole(low=low, high=high):
            told |= {"low": str(low), "high": str(high)}
        case Fraction(low=least, high=most, step=step):
            told |= {"low": least, "high": most, "step": step}
        case Choice(words=words):
            told["words"] = list(words)
        case Row(count=count, low=low, high=high):
            told |= {"count": count, "low": str(low), "high": str(high)}
        case _:
            pass
    return told
