"""Banks that the line of a list names, and the verb that reads one kind of setting."""

from benchlink.console.description import Description
from benchlink.console.explaining import explain
from benchlink.console.grammar import Grammar
from benchlink.console.listing import Listing, names_in_order
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.settings import Snapshot
from benchlink.core.utterance import require_done
from benchlink.core.values import Number, decimal_or_none
from tests.console.talking import command, console, mistakes_of, replied

BANKS = """[{list: {line: "show bay {bank}"},
 banks: {names: ["1", "2"], of: ["*"], named: "bay {bank} {name}"%s},
 forms: [{pair: "{name}: {value}"}]}]"""
WRITE = '{write: {line: "put bay {bank} {own}: {value}"}}'
SHOWN = ', shown: ["Bay {bank}"]'


def bays(more: str = "") -> Description:
    return console(settings=BANKS % more, verbs=WRITE)


def said(*lines: str) -> Answer:
    return Answer(command=command("any"), verdict=Verdict.OK, lines=lines)


def read(description: Description, *answers: Answer) -> Snapshot:
    listing = Listing(description)
    (source,) = description.sources
    for answer, name in zip(answers, names_in_order(source), strict=True):
        listing.take(source, require_done(replied(answer)), name)
    return listing.finish()


def values(snapshot: Snapshot) -> dict[str, str]:
    return {name: setting.raw for name, setting in snapshot.settings.items()}


def test_each_bank_is_asked_for_by_the_line_of_the_list() -> None:
    grammar = Grammar(bays())
    (source,) = grammar.description.sources
    assert [said.commands[0].line for said in grammar.asks(source)] == [
        "show bay 1",
        "show bay 2",
    ]
    snapshot = read(grammar.description, said("heat: 5"), said("heat: 6"))
    assert values(snapshot) == {"bay 1 heat": "5", "bay 2 heat": "6"}


def test_a_setting_of_a_bank_is_written_without_selecting_it() -> None:
    snapshot = read(bays(), said("heat: 5"), said("heat: 6"))
    number = decimal_or_none("7")
    assert number is not None
    utterance = Grammar(bays()).write(snapshot.settings["bay 2 heat"], Number(number))
    assert [c.line for c in utterance.commands] == ["put bay 2 heat: 7"]
    assert (utterance.bank, utterance.home) == ("", "")


def test_a_list_that_shows_another_bank_than_was_asked_for_is_not_understood() -> None:
    snapshot = read(bays(SHOWN), said("Bay 1", "heat: 5"), said("Bay 1", "heat: 6"))
    assert snapshot.not_understood == ("Bay 1",)
    assert read(bays(SHOWN), said("Bay 1"), said("Bay 2")).complete


def test_settings_that_all_banks_share_may_come_again_with_each() -> None:
    description = console(
        settings=(BANKS % "").replace('of: ["*"]', 'of: ["b.*"]'), verbs=WRITE
    )
    snapshot = read(description, said("b.a: 1", "all: 5"), said("b.a: 2", "all: 5"))
    assert values(snapshot) == {"bay 1 b.a": "1", "all": "5", "bay 2 b.a": "2"}
    snapshot = read(description, said("all: 5"), said("all: 6"))
    assert snapshot.not_understood == ("all: 6 (a second all)",)


def test_a_kept_copy_tells_the_banks_by_their_lines_or_their_order() -> None:
    told = {"bay 1 heat": "5", "bay 2 heat": "6"}
    shown = explain(bays(SHOWN), b"Bay 1\nheat: 5\nBay 2\nheat: 6\n", bare=True)
    assert (values(shown.snapshot), shown.good) == (told, True)
    same = explain(bays(), b"lamp: 1\nheat: 5\nlamp: 1\nheat: 6\n", bare=True)
    assert same.good
    assert values(same.snapshot).items() >= told.items()


def test_a_session_tells_the_banks_by_what_was_sent() -> None:
    text = b"> show bay 1\nheat: 5\nfine\n> show bay 2\nheat: 6\nfine\n> "
    snapshot = explain(bays(), text).snapshot
    assert values(snapshot) == {"bay 1 heat": "5", "bay 2 heat": "6"}


def test_a_bank_in_a_line_needs_its_names_and_no_selecting() -> None:
    lonely = '[{list: {line: "show {bank}"}, forms: [{pair: "{name}: {value}"}]}]'
    assert "cannot fill {bank}" in mistakes_of(settings=lonely)
    selected = BANKS % ', select: "bank {bank}", shown: ["Bay {bank}"]'
    assert "does not know `select:`" in mistakes_of(settings=selected)
    each = (BANKS % "").replace("banks:", "each: [a], banks:")
    assert "does not go with `each:`" in mistakes_of(settings=each)


# A verb that reads


READS = """{write: {line: "put {name} {value}"}, read: {line: "ask {name}"},
 read-lamp: {line: "lamp {name}?", gives: ["lamp is {value}"]}}"""


def test_a_source_is_read_by_the_verb_that_it_names() -> None:
    settings = """[{each: [a], forms: [{pair: "{value}"}]},
     {each: [b], read: read-lamp, forms: [{pair: "lamp is {value}"}]}]"""
    grammar = Grammar(console(settings=settings, verbs=READS))
    asked = [said for s in grammar.description.sources for said in grammar.asks(s)]
    assert [said.commands[0].line for said in asked] == ["ask a", "lamp b?"]


def test_a_form_tells_which_verb_reads_one_of_its_settings() -> None:
    settings = """[{list: {line: all}, forms: [{pair: "{name} lamp {value}", read: read-lamp},
     {pair: "{name} {value}"}]}]"""
    description = console(settings=settings, verbs=READS)
    setting = read(description, said("b lamp 5", "a 6")).settings["b"]
    assert setting.read_by == "read-lamp"
    number = decimal_or_none("7")
    assert number is not None
    answer = replied(said("lamp is 7"))
    assert Grammar(description).value(setting, answer) == Number(number)


def test_a_verb_that_is_not_there_reads_nothing() -> None:
    settings = '[{list: {line: all}, read: read-x, forms: [{pair: "{name}: {value}"}]}]'
    assert "`read:` names no verb: 'read-x'" in mistakes_of(settings=settings)
