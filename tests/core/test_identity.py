import pytest

from benchlink.core.identity import Grade, Identity

FULL = Identity(board_type="wader", firmware="1.4.2", number="44CB")


@pytest.mark.parametrize(
    ("identity", "grade"),
    [
        (FULL, Grade.UNIQUE),
        (Identity(number="44CB"), Grade.UNIQUE),
        (Identity(board_type="wader", firmware="1"), Grade.TYPE_ONLY),
        (Identity(firmware="1"), Grade.NONE),
        (Identity(), Grade.NONE),
    ],
)
def test_an_identity_has_a_grade(identity: Identity, grade: Grade) -> None:
    assert identity.grade is grade


def test_a_firmware_update_leaves_it_the_same_board() -> None:
    newer = Identity(board_type="wader", firmware="1.5.0", number="44CB")
    assert FULL.same_board(newer)


@pytest.mark.parametrize(
    "other",
    [
        Identity(board_type="wader", firmware="1.4.2", number="44CC"),
        Identity(board_type="gull", firmware="1.4.2", number="44CB"),
        Identity(),
    ],
)
def test_another_number_or_type_is_another_board(other: Identity) -> None:
    assert not FULL.same_board(other)


@pytest.mark.parametrize(
    ("identity", "words"),
    [
        (FULL, "wader, firmware 1.4.2, number 44CB"),
        (Identity(board_type="wader"), "wader"),
        (Identity(), "a board that does not say what it is"),
    ],
)
def test_an_identity_reads_as_words(identity: Identity, words: str) -> None:
    assert str(identity) == words
