"""The words around the rows of the values page."""

from typing import TYPE_CHECKING, Final

from textual.content import Content

from benchlink.faces.screen.frame.fitting import fitted
from benchlink.faces.screen.frame.marks import MARKS, NOTHING
from benchlink.faces.screen.frame.safe_text import plain
from benchlink.faces.screen.frame.wording import ends, own_style

if TYPE_CHECKING:
    from benchlink.faces.screen.threads.rows import Row
    from benchlink.faces.screen.threads.values_facts import ValuesFacts
    from benchlink.faces.screen.values.values_state import ValuesState
    from benchlink.faces.screen.values.view import Shown

NOT_READ: Final = "the board has not been read yet"
SETTINGS_ONLY: Final = "no profile: settings only"
EMPTY: Final = (
    "No setting to show. 0 shows all states, o the next owner; escape ends the search."
)


def held(state: "ValuesState", width: int) -> str:
    """What the board is held against, and how many rows are marked."""
    facts = state.facts
    if facts is None:
        return fitted(NOT_READ, width)
    if not facts.compared:
        return fitted(SETTINGS_ONLY, width)
    against = f"held against: {plain(facts.title)} ({plain(facts.source)})"
    return ends(against, state.marked, width)


def counts(shown: "Shown", width: int) -> Content:
    """How many rows are in each state, under the key that shows only those."""
    only = shown.view.only
    chips = [("", _chip("0 all", shown.among, chosen=only is None))]
    for key, mark in enumerate(MARKS, start=1):
        look, count = mark.value, shown.states.get(mark, 0)
        chosen = only is mark
        style = "bold" if chosen else own_style(look.style) if count else "dim"
        label = f"{key} {look.shape} {look.word}"
        chips.append((style, _chip(label, count, chosen=chosen)))
    return _flowed(chips, width)


def owners(shown: "Shown", facts: "ValuesFacts | None", width: int) -> str:
    """How many rows each owner has, and how many changed since the copy."""
    chosen = shown.view.owner
    chips = [
        _chip(
            owner.value if owner else "all",
            shown.owners.get(owner, 0) if owner else shown.total,
            chosen=owner is chosen,
        )
        for owner in shown.choices
    ]
    every = "".join(chips).rstrip()
    # Those that do not show have their turn with the next press.
    only = next(chip for chip in chips if chip.startswith("["))
    long, short = _since(shown, facts)
    for left, right in (
        (f"o owner:{every}", long),
        (f"o{every}", long),
        (f"o{every}", short),
        (f"o owner:{only}", long),
    ):
        if len(left) + len(right) < width:
            return ends(left, right, width)
    return ends(f"o owner:{only}", short, width)


def detail(row: "Row | None", state: "ValuesState", width: int) -> str:
    """Everything about the row under the cursor."""
    facts = state.facts
    if facts is None:
        return ""
    if row is None:
        return EMPTY
    look = row.mark.value
    word = state.choices.word(row)
    owner = f"   owner: {row.owner.value}" if row.owner else ""
    mark = f": {word}" if word else ""
    file = row.place.rpartition("/")[2]
    asked = f" (asked in {file})" if row.place else ""
    wanted = f"   wanted {row.wanted}{asked}" if row.wanted != NOTHING else ""
    lines = [f"{row.name}   {look.shape} {look.word}{mark}{owner}"]
    lines.append(f"now {row.now}{wanted}")
    if facts.copied and row.setting:
        lines.append(_beside(row, facts))
    why = "; ".join(text for text in (row.reason, row.trouble) if text)
    told = f"reason: {why}" if why else look.meaning
    return "\n".join((*(fitted(line, width) for line in lines), told))


def says(state: "ValuesState", cursor: int, width: int) -> str:
    """What was said last, or what is searched for; and where the cursor is."""
    line, count = state.search, len(state.shown.rows)
    left = plain(state.message)
    if line.typing:
        left = f"search: {line.text}_"
    elif line.text:
        left = f"names with {line.text!r}   {left}"
    return ends(left, f"row {cursor + 1 if count else 0} of {count}", width)


def _since(shown: "Shown", facts: "ValuesFacts | None") -> tuple[str, str]:
    """How much changed since the copy, with its time and without."""
    if facts is None or not facts.copied:
        return "", ""
    gone = f", {facts.gone} gone" if facts.gone else ""
    told = f": {shown.changed}{gone}"
    long, short = f"c changed since {facts.copied}{told}", f"c changed{told}"
    return (f"[{long}]", f"[{short}]") if shown.view.changed else (long, short)


def _beside(row: "Row", facts: "ValuesFacts") -> str:
    """What the copy holds, and whether that has changed since."""
    copy = f"copy of {facts.copied}: "
    if row.copy == NOTHING:
        return f"{copy}it had no such setting"
    return (
        f"{copy}{row.copy}, {'changed since' if row.changed else 'not changed since'}"
    )


def _chip(label: str, count: int, *, chosen: bool) -> str:
    return f"[{label} {count}]" if chosen else f" {label} {count} "


def _flowed(chips: list[tuple[str, str]], width: int) -> Content:
    parts: list[tuple[str, str]] = []
    used = 0
    for style, text in chips:
        if used and used + len(text) > width:
            parts.append(("\n", ""))
            used = 0
        parts.append((text, style))
        used += len(text)
    return Content.assemble(*parts)
