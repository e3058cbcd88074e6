"""What becomes of a typed line: sent, held with which question, or refused."""

from dataclasses import dataclass, replace
from functools import cache

import pytest

from benchlink.console.description import Description
from benchlink.console.grammar import Grammar
from benchlink.console.hazard_rules import Held
from benchlink.console.schema import describe
from benchlink.console.talking import Deed, Need, Passed, Refused, Standing, Usher
from benchlink.console.template import template
from benchlink.core.exchange import Ending, Verdict
from benchlink.core.hazard import Hazard
from benchlink.core.settings import Snapshot
from benchlink.errors import Place
from benchlink.store.descriptions import find_console, node_of
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import meet
from mocks.options import ConsoleKind, Options
from tests.support.people import ScriptedPerson
from tests.support.virtual_board import VirtualBoard

AGAIN, HANDS, LEAVE = Need.AGAIN, Need.HANDS, Need.LEAVE
KNOWN = Standing(last="plate")
TOLD = {"user": "bench", "word": "reed"}


@cache
def grammar(console: str) -> Grammar:
    _, path, data = find_console(console)
    return Grammar(describe(node_of(data, path)))


@cache
def snapshot(console: str) -> Snapshot:
    spoken = grammar(console)
    options = Options(console=ConsoleKind(console), settings=90)
    told = TOLD if console == "dunlin" else None
    board = VirtualBoard(spoken.description, options, told=told)
    return read_settled(meet(board, spoken), ScriptedPerson())


def usher(console: str) -> Usher:
    return Usher(grammar(console), snapshot(console))


@dataclass(frozen=True)
class Line:
    console: str
    line: str
    deed: Deed | None
    """None where it is refused."""
    needs: tuple[Need, ...] = ()
    says: str = ""
    """Part of a caution, of what may move, or of the refusal."""
    last: str | None = "plate"


LINES = (
    Line("wader", "plate", Deed.TELLS),
    Line("wader", "plate; state", Deed.TELLS),
    Line("wader", "recite tilt.left.centre_us", Deed.TELLS),
    Line("wader", "halt", Deed.STOPS),
    Line("wader", "keep", Deed.KEEPS),
    Line("wader", "let tilt.left.rate_hz be 60", Deed.WRITES),
    Line("wader", "let tilt.left.rate_hz be fast", Deed.WRITES, (AGAIN,), "kind"),
    Line("wader", "let tilt.left.centre_us be 1510", Deed.WRITES, (HANDS,), "servo"),
    Line("wader", "let motor.left.idle_pct be 5", Deed.WRITES, (HANDS,), "motor"),
    Line("wader", "restart", Deed.RESTARTS, (AGAIN, LEAVE), "restarts"),
    Line("wader", "plate;restart", Deed.RESTARTS, (AGAIN, LEAVE), "restarts"),
    Line("wader", "forget", Deed.ACTS, (AGAIN, HANDS), "loses settings"),
    Line("wader", "blorp", Deed.ACTS, (AGAIN,), "not known"),
    Line("wader", "let nobody.knows be 3", Deed.ACTS, (AGAIN,), "not known"),
    Line("wader", "whirl left at 5 for 100", None, says="benchlink spin"),
    Line("wader", "plate;whirl left at 5 for 100", None, says="spin a motor"),
    Line("wader", "swing p1 to 1500 for 500", None, says="benchlink centre"),
    Line("wader", "let tilt.left.centre_us be 1510;plate;blorp", None, says="servo"),
    Line(
        "wader",
        "let tilt.left.rate_hz be 60;let tilt.left.centre_us be 1500",
        None,
        says="written alone",
    ),
    Line("wader", "", None, says="empty"),
    Line("wader", "plate\x15restart", None, says="U+0015"),
    Line("wader", "plate\rrestart", None, says="U+000D"),
    Line("wader", "plaᴛe", None, says="character 4"),
    Line("wader", "x" * 121, None, says="121 bytes"),
    Line("scoter", "*idn?", Deed.TELLS),
    Line("scoter", ":tilt:left:centre?", Deed.TELLS),
    Line("scoter", "TILT:LEFT:RATE 60", Deed.WRITES),
    Line("scoter", "*CLS;:TILT:LEFT:RATE 60;:SYST:ERR?", Deed.WRITES),
    Line("scoter", ":tilt:left:centre 1500", Deed.WRITES, (HANDS,), "servo"),
    Line("scoter", ":TILT:LEFT:RATE 60;RATE 50", Deed.ACTS, (AGAIN,), "not known"),
    Line("scoter", "TILT:LEFT:CENT 1500", None, says="servo"),
    Line("scoter", "OUTP:SPIN LEFT,0.05,0.5", None, says="motor"),
    Line("scoter", "OUTP:STAT?;SPIN LEFT,0.05,0.5", None, says="motor"),
    Line("scoter", "*IDN?;:outp:driv 1,0.0015,1", None, says="servo"),
    Line("scoter", "*OPC?;SYST:REB", Deed.RESTARTS, (AGAIN, LEAVE)),
    Line("scoter", "*rst", Deed.ACTS, (AGAIN, HANDS), "loses"),
    Line("avocet", "AT+GMR", Deed.TELLS),
    Line("avocet", "at +tlr = 60", Deed.WRITES),
    Line("avocet", "AT+TLR=60", Deed.WRITES),
    Line("avocet", "AT+TLC=1500", Deed.WRITES, (HANDS,), "servo"),
    Line("avocet", "AT+LIVE?;+WHRL=1,50,5", None, says="motor"),
    Line("avocet", "ATE0", Deed.ACTS, (AGAIN,), "cut the link"),
    Line("avocet", "A/", Deed.TELLS, last="AT+GMR"),
    Line("avocet", "A/", None, says="spin a motor", last="AT+WHRL=1,50,5"),
    Line("avocet", "a/", None, says="may move a servo", last="AT+TLC=1500"),
    Line("avocet", "A/", None, says="not known", last=None),
    Line("knot", "able?", Deed.TELLS),
    Line("knot", "tilt-L hz 60", Deed.WRITES),
    Line("knot", "tilt-L mid 1500", Deed.WRITES, (HANDS,), "servo"),
    Line("knot", "log-rate hz 0", None, says="never be written"),
    Line("knot", "log-rate  hz 00", None, says="never be written"),
    Line("turnstone", "who", Deed.TELLS),
    Line("turnstone", "store", Deed.KEEPS, (AGAIN,), "gets `y`"),
    Line("turnstone", "restart", Deed.RESTARTS, (AGAIN, LEAVE), "gets `y`"),
    Line("turnstone", "y", Deed.ACTS, (AGAIN,), "not known"),
    Line("turnstone", "put tilt left centre 1500", Deed.WRITES, (HANDS,)),
    Line("turnstone", "pager on", Deed.ACTS, (AGAIN,), "cut the link"),
    Line("dunlin", "edit", Deed.TELLS),
    Line("dunlin", "lay tilt/left/rate 60", Deed.WRITES),
    Line("dunlin", "lay tilt/left/rate <<", Deed.WRITES, (AGAIN,), "kind"),
    Line("dunlin", "lay note <<", None, says="several lines"),
    Line("dunlin", "wear steady-on", Deed.WRITES, (HANDS,), "servo"),
)


@pytest.mark.parametrize("case", LINES, ids=lambda c: f"{c.console} {c.line[:40]!r}")
def test_each_line_is_sent_held_or_refused(case: Line) -> None:
    looked = usher(case.console).look(case.line, Standing(last=case.last))
    if case.deed is None:
        assert isinstance(looked, Refused), looked
        assert case.says in f"{looked.sentence} {looked.hint}"
        assert "Nothing was sent." in looked.hint
        return
    assert isinstance(looked, Passed), looked
    assert (looked.deed, looked.needs) == (case.deed, case.needs)
    assert case.says in " ".join((*looked.cautions, *map(str, looked.moving)))
    assert looked.commands[0].line == case.line
    assert looked.at_rest is (case.deed not in {Deed.TELLS, Deed.STOPS})


@pytest.mark.parametrize(
    "console", [c.value for c in ConsoleKind if c.value != "generated"]
)
def test_every_write_of_ours_is_known_as_that_write(console: str) -> None:
    spoken, seen = grammar(console), snapshot(console)
    checked = 0
    for setting in seen.settings.values():
        if not setting.writable or spoken.unwritable(setting, setting.value, seen):
            continue
        (utterance,) = spoken.writes({setting.name: setting.value}, seen)
        if len(utterance.commands) > 1:
            continue
        (command,) = utterance.commands
        looked = usher(console).look(command.line, KNOWN)
        assert isinstance(looked, Passed), command.line
        assert looked.deed is Deed.WRITES
        assert looked.commands[0].hazards == command.hazards
        moves = bool(command.hazards & {Hazard.SERVO, Hazard.MOTOR})
        assert (HANDS in looked.needs) is moves
        checked += 1
    assert checked > 20


def test_without_hazards_every_line_is_typed_again() -> None:
    wader = grammar("wader").description
    bare = Grammar(_without_hazards(wader))
    for line in ("plate", "let tilt.left.centre_us be 1500", "recite"):
        looked = Usher(bare, snapshot("wader")).look(line, KNOWN)
        assert isinstance(looked, Passed)
        assert AGAIN in looked.needs


def test_what_acts_by_a_row_goes_with_no_write_however_plain_its_verb() -> None:
    wader = grammar("wader").description
    assert wader.hazards is not None
    row = Held(
        what=Hazard.SERVO, lines=(template("lamp {anything}"),), place=Place("x", 1)
    )
    rules = replace(wader.hazards, held=(*wader.hazards.held, row))
    told = Usher(Grammar(replace(wader, hazards=rules)), snapshot("wader"))
    assert isinstance(told.look("let tilt.left.rate_hz be 60;plate", KNOWN), Passed)
    line = "let tilt.left.centre_us be 1500;lamp 300"
    assert isinstance(told.look(line, KNOWN), Refused)


def test_a_board_that_was_not_read_has_no_known_writes() -> None:
    unread = Usher(grammar("wader"), None)
    assert isinstance(unread.look("plate", KNOWN), Passed)
    looked = unread.look("let tilt.left.centre_us be 1500", KNOWN)
    assert isinstance(looked, Refused)
    looked = unread.look("let tilt.left.rate_hz be 60", KNOWN)
    assert isinstance(looked, Passed)
    assert looked.needs == (AGAIN,)


def test_the_end_of_an_answer_is_the_verbs_own_or_prompt_or_quiet() -> None:
    ends = {
        ("wader", "recite"): Ending.STATUS,
        ("wader", "blorp"): Ending.PROMPT,
        ("knot", "blorp"): Ending.QUIET,
        ("scoter", "TILT:LEFT:RATE 60"): Ending.NOTHING,
        ("scoter", "TILT:LEFT:RATE?"): Ending.QUIET,
        ("turnstone", "show"): Ending.CLOSING,
    }
    for (console, line), end in ends.items():
        looked = usher(console).look(line, KNOWN)
        assert isinstance(looked, Passed)
        assert looked.commands[0].form.ends is end, line


def test_what_is_not_kept_is_remembered_until_it_is() -> None:
    talk = usher("wader")

    def told(standing: Standing, line: str, verdict: Verdict = Verdict.OK) -> Standing:
        looked = talk.look(line, standing)
        assert isinstance(looked, Passed)
        return talk.after(standing, line, looked, verdict)

    standing = told(Standing(), "plate")
    assert standing == Standing(last="plate")
    written = told(standing, "let tilt.left.rate_hz be 60")
    assert written.unkept
    assert told(written, "plate").unkept
    assert told(written, "keep", Verdict.REFUSED).unkept
    assert not told(written, "keep").unkept
    assert told(standing, "blorp").unkept, "nobody knows what it did"
    assert told(written, "restart") == Standing(), "the rest is gone"
    assert told(written, "restart", Verdict.REFUSED).unkept


def test_a_mode_that_was_entered_is_remembered_until_it_is_left() -> None:
    talk = usher("dunlin")
    enter, leave = (talk.look(line, KNOWN) for line in ("edit", "done"))
    assert isinstance(enter, Passed)
    assert isinstance(leave, Passed)
    inside = talk.after(KNOWN, "edit", enter, Verdict.OK)
    assert inside.mode == "edit"
    assert talk.after(KNOWN, "edit", enter, Verdict.REFUSED).mode == ""
    assert talk.after(inside, "done", leave, Verdict.OK).mode == ""


def _without_hazards(description: Description) -> Description:
    return replace(description, hazards=None)
