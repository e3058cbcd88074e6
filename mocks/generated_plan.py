"""One made-up console: independent choices, all drawn from one seed."""

from dataclasses import dataclass, replace
from enum import Enum
from random import Random
from typing import Final

from .fleet import fit_out
from .generated_words import (
    ASSIGNS,
    BETWEENS,
    BOOT_LINES,
    CLOSINGS,
    COUNTED_PROMPTS,
    COUNTS,
    FIELD_JOINERS,
    HEADINGS,
    HEX_FORMS,
    LAST_LINES,
    LETTER_VERBS,
    LOG_MARKS,
    MARKS,
    PAGERS,
    PART_GROUPS,
    PROMPTS,
    READS,
    REFUSALS,
    SENTENCES,
    SEPARATORS,
    STATEMENTS,
    STATUSES,
    SUCCESSES,
    SWITCHES,
    THING_ENDS,
    UNSET_WORDS,
    VERBS,
    WRITES,
)

FEWEST: Final = 60
MOST: Final = 150
USUAL_BOARD: Final = 612
"""Settings from which a console takes its own."""


class Framing(Enum):
    """How an answer ends."""

    PROMPT = "prompt"
    COUNTED_PROMPT = "counted prompt"
    STATUS_PROMPT = "status line, then prompt"
    STATUS = "status line"
    CLOSING = "closing line"
    COUNT = "count of lines first"
    QUIET = "only quiet"


class Echo(Enum):
    """What a typed character makes the board say."""

    NONE = "none"
    PLAIN = "plain"
    DRAWN = "redrawn with backspaces"
    FOLDED = "folded"


class Naming(Enum):
    """How names are spelled."""

    DOTTED = "dotted"
    SLASHED = "slashed"
    SPACED = "spaced words"
    UPPER = "upper snake"


class Listing(Enum):
    """The shape of the list."""

    PAIRS = "pairs"
    COLUMNS = "fixed columns"
    FIELDS = "fields of one thing a line"
    SENTENCES = "sentences"
    HEADINGS = "headings"
    NONE = "none"
    LETTERS = "letters of one thing a line"


DRAWN_LISTINGS: Final = tuple(s for s in Listing if s is not Listing.LETTERS)
"""Letters are drawn afterwards, among the lists of fields."""


class Writing(Enum):
    """How a setting is written."""

    ONE_LINE = "one line"
    STATEMENT = "a statement, with what changes"
    WHOLE_STATEMENT = "a statement, with all fields of the thing"
    LETTERS = "one line, with all letters of the thing"


WRITINGS: Final = {
    Listing.HEADINGS: (Writing.ONE_LINE, Writing.STATEMENT, Writing.WHOLE_STATEMENT),
    Listing.FIELDS: (Writing.ONE_LINE, Writing.STATEMENT, Writing.LETTERS),
}
"""The others name no thing."""


class ReadOne(Enum):
    """What reading one setting answers."""

    LISTED = "as listed"
    BARE = "bare value"
    NONE = "none"


class Success(Enum):
    """What a write that worked answers."""

    WORDS = "words"
    SILENCE = "silence"
    VALUE = "the setting, as listed"


class Refusal(Enum):
    """Where the reason of a refusal stands."""

    SAME_LINE = "same line"
    LATER_LINE = "next line"


class Persistence(Enum):
    """What a restart brings back."""

    KEEP = "what was kept"
    AT_ONCE = "everything that was written"
    PART = "what was kept, but one group"


class Trust(Enum):
    """How far an answer can be believed."""

    HONEST = "honest"
    SAYS_OK = "says that everything worked"
    DROPS_UNKNOWN = "says nothing to an unknown word or name"


class Chatter(Enum):
    """What is said unasked."""

    NONE = "none"
    LOG = "log lines"
    DOTS = "keep-alive dots"


@dataclass(frozen=True, slots=True, kw_only=True)
class StatementWords:
    """What stands in the lines of a statement."""

    opening: str
    """With `{thing}` in it."""
    closing: str
    leaving: str
    between: str
    """Between field and value."""
    letters: str
    """Before a thing and all its letters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """All choices of one console."""

    seed: int
    framing: Framing
    prompt: str
    """With `{n}` where the number of the command stands; empty without a prompt."""
    statuses: tuple[str, str]
    """Good and bad."""
    closing: str
    count: str
    echo: Echo
    line_end_in: str
    line_end_out: str
    naming: Naming
    listing: Listing
    list_ends: tuple[str, str]
    """First and last line of the list, with `{n}` or empty for none."""
    separator: str
    marks: tuple[str, str, str]
    """Before an ordinary, a fixed and a calibration line of a list of pairs."""
    value_right: bool
    unit_first: bool
    thing_end: str
    assign: str
    field_joiner: str
    sentence: tuple[str, str]
    """With and without unit."""
    heading: str
    indent: str
    switch: tuple[str, str]
    """Yes and no."""
    quotes: bool
    unset: str | None
    hex_form: str | None
    milli_volts: bool
    read_one: ReadOne
    read: str
    write: str
    writing: Writing
    statement: StatementWords
    verbs: dict[str, str]
    success: Success
    success_word: str
    refusal: Refusal
    refusal_word: str
    persistence: Persistence
    lost_group: str
    trust: Trust
    chatter: Chatter
    log_mark: str
    pager: str | None
    pager_wiped: bool
    boot_lines: tuple[str, ...]
    boot_us: int
    names: tuple[str, ...]
    """Canonical names of the settings that this console has."""

    @property
    def lists(self) -> bool:
        """There is a list at all."""
        return self.listing is not Listing.NONE


def draw(seed: int) -> Plan:
    """The console of a seed, always the same."""
    random = Random(f"console {seed}")
    pick = random.choice
    framing = pick(list(Framing))
    naming = pick(list(Naming))
    listing = pick(DRAWN_LISTINGS)
    spaced = naming is Naming.SPACED
    reads = [ReadOne.LISTED, ReadOne.BARE]
    if listing is not Listing.NONE:
        reads.append(ReadOne.NONE)
    quotes = pick([True, False]) or listing is Listing.FIELDS
    unset = pick(UNSET_WORDS)
    verbs = {meaning: pick(words) for meaning, words in VERBS.items()}
    trust = pick([Trust.HONEST, Trust.HONEST, Trust.SAYS_OK, Trust.DROPS_UNKNOWN])
    line_end_out = pick(["\r", "\n", "\r\n", "\r\n"])
    read, write = (_form(random, forms, spaced=spaced) for forms in (READS, WRITES))
    apart = Random(f"statements {seed}")
    writing = apart.choice(WRITINGS.get(listing, (Writing.ONE_LINE,)))
    plan = Plan(
        seed=seed,
        framing=framing,
        prompt=_prompt(random, framing),
        statuses=pick(STATUSES),
        closing=pick(CLOSINGS),
        count=pick(COUNTS),
        echo=pick(list(Echo)),
        line_end_in=pick(["\r", "\n", "\r\n"]),
        line_end_out=line_end_out,
        naming=naming,
        listing=listing,
        list_ends=pick(LAST_LINES),
        separator=_form(random, SEPARATORS, spaced=spaced),
        marks=pick(MARKS),
        value_right=pick([True, False]),
        unit_first=pick([True, False]),
        thing_end=pick(THING_ENDS),
        assign=_form(random, ASSIGNS, spaced=spaced),
        field_joiner=pick(FIELD_JOINERS),
        sentence=pick(SENTENCES),
        heading=pick(HEADINGS),
        indent=pick(["  ", "    ", "\t"]),
        switch=pick(SWITCHES),
        quotes=quotes,
        unset=unset if quotes else unset or UNSET_WORDS[-1],
        hex_form=pick(HEX_FORMS),
        milli_volts=pick([True, False]),
        read_one=pick(reads),
        read=read.replace("{verb}", pick(VERBS["read"])),
        write=write.replace("{verb}", pick(VERBS["write"])),
        writing=writing,
        statement=_statement(apart),
        verbs=verbs,
        success=_success(random, trust),
        success_word=pick(SUCCESSES),
        refusal=_refusal(random, framing),
        refusal_word=pick(REFUSALS),
        persistence=pick(list(Persistence)),
        lost_group=pick(PART_GROUPS),
        trust=trust,
        chatter=pick(list(Chatter)),
        log_mark=pick(LOG_MARKS),
        pager=pick([None, None, *PAGERS]),
        pager_wiped=pick([True, False]) and line_end_out != "\r",
        boot_lines=tuple(random.sample(BOOT_LINES, random.randint(0, 3))),
        boot_us=random.randint(2, 9) * 100_000,
        names=_names(random, seed),
    )
    if writing is not Writing.LETTERS:
        return plan
    return replace(plan, listing=Listing.LETTERS, assign="", field_joiner=" ")


def _statement(random: Random) -> StatementWords:
    opening, closing, leaving = random.choice(STATEMENTS)
    return StatementWords(
        opening=opening,
        closing=closing,
        leaving=leaving,
        between=random.choice(BETWEENS),
        letters=random.choice(LETTER_VERBS),
    )


def _prompt(random: Random, framing: Framing) -> str:
    plain, counted = random.choice(PROMPTS), random.choice(COUNTED_PROMPTS)
    prompts = {
        Framing.PROMPT: plain,
        Framing.STATUS_PROMPT: plain,
        Framing.COUNTED_PROMPT: counted,
    }
    return prompts.get(framing, "")


def _success(random: Random, trust: Trust) -> Success:
    # A console that lies has no value to show for what it did not take.
    drawn = random.choice(list(Success))
    lies = trust is Trust.SAYS_OK and drawn is Success.VALUE
    return Success.WORDS if lies else drawn


def _refusal(random: Random, framing: Framing) -> Refusal:
    # Where the status line ends the answer, nothing of it can come later.
    drawn = random.choice(list(Refusal))
    return Refusal.SAME_LINE if framing is Framing.STATUS else drawn


def _form(random: Random, forms: tuple[tuple[str, bool], ...], *, spaced: bool) -> str:
    """One of the forms; some do not suit names with blanks inside."""
    return random.choice([text for text, suits in forms if suits or not spaced])


def _names(random: Random, seed: int) -> tuple[str, ...]:
    board = fit_out(count=USUAL_BOARD, seed=seed)
    others = [s.name for s in board if not s.first and s.name != "craft.remark"]
    extra = random.sample(others, random.randint(FEWEST, MOST) - FEWEST)
    chosen = {s.name for s in board if s.first} | set(extra)
    return tuple(s.name for s in board if s.name in chosen)
