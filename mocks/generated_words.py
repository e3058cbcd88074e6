"""The words and marks from which made-up consoles are drawn; none means anything."""

from typing import Final

VERBS: Final = {
    "list": ("roster", "tally", "unroll", "lay out", "all values"),
    "read": ("peek", "ask", "query", "look at"),
    "write": ("place", "lodge", "enter", "make"),
    "keep": ("stow", "file", "lock in", "hold on"),
    "restart": ("anew", "once more", "cycle"),
    "identify": ("label", "nameplate", "origin"),
    "ready": ("posture", "poise", "may fly"),
    "lamp": ("glow", "wink", "shine"),
    "halt": ("ease", "stand down", "calm"),
    "pager_off": ("no pages", "long paper"),
}
READS: Final = (
    ("{verb} {name}", True),
    ("{verb}({name})", True),
    ("{name}?", True),
    ("{verb} <{name}>", True),
)
"""Form, and whether it suits names with blanks inside."""
WRITES: Final = (
    ("{verb} {name} {value}", False),
    ("{verb} {name} = {value}", True),
    ("{name}={value}", True),
    ("{verb} {name} as {value}", True),
    ("{verb}({name}, {value})", True),
)
STATEMENTS: Final = (
    ("attend to {thing}", "that is all", "never mind"),
    ("{thing} (", ")", "strike it"),
    ("about {thing}:", "over", "as you were"),
)
"""Opening, closing, and what leaves without closing."""
BETWEENS: Final = (" = ", ": ", "=")
"""Between field and value inside a statement."""
LETTER_VERBS: Final = ("cast", "set down")
SEPARATORS: Final = (
    (": ", True),
    (" = ", True),
    (" -> ", True),
    (" := ", True),
    ("=", True),
    ("  ", False),
    (" ", False),
)
ASSIGNS: Final = (("=", True), (":", True), (" ", False))
MARKS: Final = (
    ("", "", ""),
    ("  ", "f ", "o "),
    ("", "(fixed) ", "(own) "),
    ("- ", "x ", "+ "),
)
LAST_LINES: Final = (
    ("", ""),
    ("{n} values", ""),
    ("", "that was all: {n}"),
    ("begin {n}", "end {n}"),
)
THING_ENDS: Final = (": ", " | ", " > ")
FIELD_JOINERS: Final = (", ", " | ", " / ")
SENTENCES: Final = (
    ("The {name} is now {value} {unit}.", "The {name} is now {value}."),
    ("{name} stands at {value} {unit}", "{name} stands at {value}"),
    ("I have {value} {unit} for {name}", "I have {value} for {name}"),
)
HEADINGS: Final = ("{thing}:", "[{thing}]", "about {thing}", "-- {thing}")
SWITCHES: Final = (("yes", "no"), ("on", "off"), ("1", "0"), ("enabled", "disabled"))
UNSET_WORDS: Final = (None, None, "none", "(empty)", "unset")
HEX_FORMS: Final = (None, "0x{:X}", "0x{:04x}", "{:X}h")
PROMPTS: Final = ("% ", "~> ", "-: ", "|> ", "bench? ")
COUNTED_PROMPTS: Final = ("[{n}] ", "{n}: ", "{n}~ ")
STATUSES: Final = (("ready", "fault"), ("+", "-"), ("yes", "no"), ("= 0", "= 1"))
CLOSINGS: Final = ("--", "end.", "*", "")
COUNTS: Final = ("{n} lines", "lines {n}", "<{n}>")
SUCCESSES: Final = ("taken", "good", "so be it", "accepted")
REFUSALS: Final = ("refused", "cannot", "not so", "wrong")
LOG_MARKS: Final = ("; ", "log ", "@@ ")
PAGERS: Final = ("(any key)", "<more?>", "-- turn --")
PART_GROUPS: Final = ("pack", "mount", "level")
BOOT_LINES: Final = (
    "waking",
    "sensors found",
    "store read",
    "radio waiting",
    "made at the estuary",
)
