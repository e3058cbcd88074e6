"""Every line that writes a setting does just what the description says of the setting."""

import pytest

from benchlink.console.description import Description
from benchlink.console.hazards import Classifier
from benchlink.core.hazard import NO_HAZARD, OF_MOVES, Aim, Hazards, Typed
from benchlink.core.settings import Setting
from benchlink.core.utterance import Utterance
from benchlink.workflows.read import read_once
from tests.consoles.consoles import CASES, Case, board_of, described, meet_board
from tests.support.people import ScriptedPerson


def of_lines(description: Description, said: Utterance, aim: Aim) -> Hazards:
    """All that the final bytes of these lines may do."""
    classifier = Classifier(description)
    found, last = NO_HAZARD, None
    for command in said.commands:
        data = description.manner.bytes_of(command)
        found |= classifier.classify(data, Typed(last=last, aim=aim))
        last = command.line
    return found


def aim_at(setting: Setting, said: Utterance) -> Aim:
    return Aim(names=said.names, fields={"name": setting.name, **setting.address})


@pytest.mark.parametrize("case", CASES, ids=str)
def test_each_write_has_the_hazards_of_its_settings_and_no_other(case: Case) -> None:
    session = meet_board(case, board_of(case))
    grammar, description = session.grammar, described(case.kind)
    snapshot = read_once(session, ScriptedPerson())
    looked_at = set()
    for setting in snapshot.settings.values():
        verb = description.verbs.get(setting.written_by.get("*", "write"))
        by_line = verb is not None and verb.by_line
        if not setting.writable or setting.volatile or by_line:
            continue
        if grammar.unwritable(setting, setting.value, snapshot):
            continue
        (said,) = grammar.writes({setting.name: setting.value}, snapshot)
        expected = NO_HAZARD.union(*(OF_MOVES[grammar.moves(n)] for n in said.names))
        found = of_lines(description, said, aim_at(setting, said))
        assert found == expected, [command.line for command in said.commands]
        looked_at.add(expected)
    assert len(looked_at) == 3, "settings that move a servo, a motor, and nothing"
