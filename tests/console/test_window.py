from hypothesis import given
from hypothesis import strategies as st

from benchlink.console.window import UNDECLARED_BYTES, Window
from tests.console.talking import MANY


def test_it_starts_with_one_command_at_a_time() -> None:
    window = Window(200)
    assert window.admits(150)
    window.sent(10)
    assert not window.admits(1)


def test_it_grows_with_each_proof_up_to_the_declared_bytes() -> None:
    window = Window(100)
    grown: list[int] = []
    for _ in range(5):
        window.sent(10)
        window.answered(10, trusted=True)
        grown.append(window.allowed)
    assert grown == [20, 40, 80, 100, 100]


def test_an_undeclared_board_gets_the_smallest_buffer() -> None:
    window = Window()
    for _ in range(9):
        window.answered(40, trusted=True)
    assert window.allowed == UNDECLARED_BYTES == 64


def test_one_doubt_means_one_command_at_a_time_for_good() -> None:
    window = Window(200)
    window.answered(50, trusted=True)
    window.answered(5, trusted=False)
    for _ in range(9):
        window.answered(50, trusted=True)
    assert window.allowed == 0
    window.sent(1)
    assert not window.admits(1)


def test_a_restart_empties_it_and_keeps_the_loss_of_trust() -> None:
    window = Window(200)
    window.sent(50)
    window.answered(5, trusted=False)
    window.emptied()
    assert window.unanswered == 0
    assert window.allowed == 0
    assert window.admits(50)


@MANY
@given(st.lists(st.tuples(st.integers(1, 90), st.booleans()), max_size=40))
def test_more_than_one_command_never_exceeds_the_declared_bytes(
    steps: list[tuple[int, bool]],
) -> None:
    window = Window(128)
    flying: list[int] = []
    for count, trusted in steps:
        while window.admits(count):
            window.sent(count)
            flying.append(count)
            assert len(flying) == 1 or sum(flying) <= 128
        assert window.unanswered == sum(flying)
        window.answered(flying.pop(0), trusted=trusted)
