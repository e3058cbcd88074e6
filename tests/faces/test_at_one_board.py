"""Verbs one after the other at a board that is open once, with no terminal in reach."""

import ast
import sys
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from typing import Final, final

import pytest

from benchlink.core.advance import Advance
from benchlink.core.confirmation import HANDS_CLEAR
from benchlink.core.plan import Plan
from benchlink.errors import LinkError, UsageError
from benchlink.faces import at_board, changing, output, tilt_work
from benchlink.faces.arguments import VERBS, Given, defaults, parser
from benchlink.faces.at_board import at_opened
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.wiring import Bench, Choice, open_bench
from benchlink.units import Seconds
from tests.faces.running import Aircraft, Workshop, aircraft
from tests.support.people import StillPerson

BOARDLESS: Final = {"ports", "unfinished", "lint", "rehearse"}
"""Verbs that open no board."""
AT_BOARD: Final = [name for name, _ in VERBS if name not in BOARDLESS | {"talk"}]
"""`talk` is a terminal itself; the full screen has a page of its own for it."""
NEEDED: Final = {
    "change": ("pack.cells", "4", "--reason", "another pack"),
    "waive": ("pack.cells",),
    "restore": ("marsh.backup.yaml",),
    "hold": ("pack.cells=4",),
    "centre": ("left",),
    "throw": ("both",),
    "draft": ("marsh", "--title", "Marsh"),
    "lint": ("marsh.yaml",),
}
"""The least that these have to be told."""
TERMINAL: Final = {"sys", "print", "input", "shutil", "PlainPerson", "require_terminal"}


@final
class PagePerson(StillPerson):
    """Agrees, types hands clear, and remembers what came out."""

    columns = 100

    def __init__(self) -> None:
        self.told: list[str] = []
        self.results: list[str] = []

    def tell(self, sentence: str) -> None:
        self.told.append(sentence)

    def result(self, text: str, /) -> None:
        self.results += text.split("\n")

    def progress(self, advance: Advance) -> None:
        pass

    def done(self) -> None:
        pass

    def pause(self, for_s: Seconds, /) -> None:
        pass

    def show_plan(self, plan: Plan) -> None:
        self.told += [change.name for change in plan.changes]

    def agrees(self, question: str) -> bool:
        self.told.append(question)
        return True

    def types(self, prompt: str) -> str:
        self.told.append(prompt)
        return HANDS_CLEAR

    def whispers(self, prompt: str) -> str:
        raise NotImplementedError

    def waits_for(
        self, word: str, within: Seconds, prompt: object, meanwhile: object
    ) -> bool:
        raise NotImplementedError


@final
class Page:
    """A board that stays open, and what verbs do at it."""

    def __init__(self, bench: Bench, craft: Aircraft) -> None:
        self.bench: Final = bench
        self.craft: Final = craft
        self.person = PagePerson()

    def does(self, verb: str, *words: str) -> int:
        self.person = PagePerson()
        given = defaults(verb, *words)
        module = import_module(f"benchlink.faces.verbs.{verb}")
        code: int = module.at_work(at_opened(self.bench, self.person, given), given)
        return code


@pytest.fixture
def page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Page]:
    workshop = Workshop(tmp_path)
    for name in ("HOME", "BENCHLINK_HOME"):
        monkeypatch.setenv(name, workshop.environment[name])
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", None)
    with aircraft(workshop) as craft:
        bench = open_bench(Choice(port=craft.port), PagePerson())
        try:
            yield Page(bench, craft)
        finally:
            bench.close()


def test_the_whole_of_a_change_is_done_verb_by_verb(
    page: Page, capsys: pytest.CaptureFixture[str]
) -> None:
    assert page.does("compare", "lapwing") == ExitCode.DIFFERS
    assert "differ" in page.person.results[-1]
    assert page.does("apply", "lapwing", "--yes") == ExitCode.SAME
    assert page.person.results[0].startswith("Done: ")
    assert "craft.mass_g" in page.person.told
    # It was restarted meanwhile: the next verb meets it anew.
    assert page.does("compare", "lapwing") == ExitCode.SAME
    assert page.does("hold", "craft.mass_g=1500") == ExitCode.SAME
    assert page.person.results == ["Put back, read again and equal."]
    assert page.does("backup") == ExitCode.SAME
    kept = page.person.results[0].removeprefix("backup    ")
    words = ("craft.mass_g", "1500", "--reason", "weighed", "--yes")
    assert page.does("change", *words) == ExitCode.SAME
    assert page.does("restore", kept, "--yes") == ExitCode.SAME
    assert page.does("undo") == page.does("resume") == ExitCode.SAME
    assert capsys.readouterr() == ("", "")


def test_what_is_told_is_what_the_board_says_now(page: Page) -> None:
    page.craft.order("connect pack")
    assert page.does("identify") == ExitCode.SAME
    assert "          held back: no pack" not in page.person.results
    page.craft.order("disconnect pack")
    assert page.does("identify") == ExitCode.SAME
    assert "          held back: no pack" in page.person.results


def test_a_new_aircraft_gets_its_folder_and_is_known_from_then_on(page: Page) -> None:
    assert page.does("aircraft", "LW-03") == ExitCode.SAME
    assert page.person.results[0] == "aircraft  LW-03"
    assert page.does("readings") == ExitCode.SAME
    assert "This is LW-03." in page.person.told
    assert page.person.results[0].startswith("LW-03: wader")


def test_a_setting_is_left_and_waived_and_lifted(
    page: Page, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(UsageError, match="nobody has said which aircraft"):
        page.does("waive", "craft.mass_g")
    assert page.does("aircraft", "LW-03", "--uses", "lapwing") == ExitCode.SAME
    assert page.does("apply", "--leave", "craft.mass_g", "--yes") == ExitCode.SAME
    assert "craft.mass_g" not in page.person.told
    left = "Left as the board has it, as you said: craft.mass_g."
    assert page.person.told.count(left) == 1
    assert page.does("compare") == ExitCode.DIFFERS
    # The page asks for the reason.
    assert page.does("waive", "craft.mass_g") == ExitCode.SAME
    assert page.person.results[0] == f"waived    craft.mass_g: {HANDS_CLEAR}"
    assert page.does("compare") == ExitCode.SAME
    assert page.does("waive", "craft.mass_g", "--lift") == ExitCode.SAME
    assert page.does("compare") == ExitCode.DIFFERS
    with pytest.raises(UsageError, match="not allowed with"):
        page.does("apply", "--leave", "craft.mass_g", "--only", "craft.mass_g")
    assert capsys.readouterr() == ("", "")


def test_who_works_is_typed_once_and_offered_at_the_next_step(page: Page) -> None:
    asks = "Who works here, for the record? "
    flag = ("job", "changed", "battery", "--note", "new strap", "--operator", "builder")
    assert page.does(*flag) == ExitCode.SAME
    assert page.does(*flag[:-2]) == ExitCode.SAME
    assert asks in page.person.told
    assert page.does(*flag[:-2]) == ExitCode.SAME
    assert f"{asks}(Enter: {HANDS_CLEAR}) " in page.person.told


def test_a_board_that_went_away_is_told_before_the_work(page: Page) -> None:
    page.craft.order("unplug")
    with pytest.raises(LinkError):
        page.does("identify")
    assert page.person.results == []


# What a verb is given, and where it may look


@pytest.mark.parametrize("verb", [name for name, _ in VERBS])
def test_a_page_gives_what_the_command_line_gives(verb: str) -> None:
    words = (verb, *NEEDED.get(verb, ()))
    typed = parser().parse_args(words, namespace=Given())
    assert vars(defaults(*words)) == vars(typed)


def test_words_with_a_dash_stand_behind_two_dashes() -> None:
    given = defaults("change", "--reason=-2 by the jig", "--", "mount.note", "-x")
    assert (given.name, given.value) == ("mount.note", "-x")
    assert given.reason == "-2 by the jig"


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("centre",), "SIDE"),
        (("spin", "--ceiling", "80"), "not a number of percent"),
        (("fly",), "invalid choice: 'fly'"),
    ],
)
def test_wrong_words_are_refused_and_end_nothing(
    words: tuple[str, ...], why: str
) -> None:
    with pytest.raises(UsageError, match=why):
        defaults(*words)


@pytest.mark.parametrize("verb", AT_BOARD)
def test_a_verb_at_a_board_uses_no_terminal(verb: str) -> None:
    module = import_module(f"benchlink.faces.verbs.{verb}")
    assert callable(module.at_work)
    assert at_terminal(Path(module.__file__ or "")) <= {"run", "_require_terminal"}


@pytest.mark.parametrize("module", [changing, output, tilt_work, at_board])
def test_what_verbs_share_uses_no_terminal(module: object) -> None:
    file = getattr(module, "__file__", "")
    assert at_terminal(Path(file)) <= {"require_terminal", "at_board"}


def at_terminal(file: Path) -> set[str]:
    """Functions of a file that name anything of a terminal."""
    tree = ast.parse(file.read_text("utf-8"))
    functions = [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    return {
        function.name
        for function in functions
        if any(
            isinstance(node, ast.Name) and node.id in TERMINAL
            for node in ast.walk(function)
        )
    }
