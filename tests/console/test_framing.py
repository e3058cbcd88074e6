import pytest

from benchlink.console.framing import Framing, Status, status_of
from benchlink.core.exchange import Verdict
from tests.console.talking import FORM, MANNER

FRAMING = Framing(MANNER)


@pytest.mark.parametrize(
    ("partial", "is_prompt"),
    [("@ ", True), ("@", False), ("@  ", False), ("x@ ", False), ("", False)],
)
def test_a_prompt_is_the_whole_unfinished_line(
    partial: str, *, is_prompt: bool
) -> None:
    assert FRAMING.is_prompt(partial) is is_prompt


@pytest.mark.parametrize(
    ("line", "echo"),
    [
        ("@ plate", "plate"),
        ("@ ", ""),
        ("@", ""),
        ("@  plate", " plate"),
        ("@plate", None),
        (" @ plate", None),
        ("", None),
        ("  a: @ b", None),
    ],
)
def test_an_echo_stands_behind_a_prompt_at_the_start(
    line: str, echo: str | None
) -> None:
    assert FRAMING.echo_of(line) == echo


@pytest.mark.parametrize(
    ("line", "status"),
    [
        ("done", Status(Verdict.OK, "")),
        ("note: limited to 5", Status(Verdict.NOTED, "limited to 5")),
        ("sorry: no", Status(Verdict.REFUSED, "no")),
        ("sorry: ", Status(Verdict.REFUSED, "")),
        ("done ", None),
        ("donee", None),
        ("  done", None),
        ("notes: 5", None),
        ("", None),
    ],
)
def test_a_status_is_a_whole_line_in_the_declared_words(
    line: str, status: Status | None
) -> None:
    assert status_of(FORM, line) == status
