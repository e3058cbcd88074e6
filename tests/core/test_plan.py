from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from benchlink.core.difference import compare
from benchlink.core.identity import Identity
from benchlink.core.intent import Owner
from benchlink.core.plan import Change, Moves, Plan, plan_for
from tests.core.making import FEW, HERE, intent, num, setting, snapshot, wanted, written

BOARD = Identity(board_type="wader", number="44CB")
CHANGE = Change(
    name="a",
    old=num("1"),
    new=num("2"),
    owner=Owner.KIT,
    reason="because",
    moves=Moves.SERVO,
    place=HERE,
)


def test_a_plan_holds_old_and_new_values_with_their_reasons() -> None:
    board = snapshot(setting("a", num("1")), setting("b", num("2")))
    asked = intent(
        wanted("a", written("2"), owner=Owner.KIT), wanted("b", written("2"))
    )
    plan = plan_for(compare(board, asked), board, BOARD)
    assert plan.changes == (replace(CHANGE, moves=Moves.NOTHING),)
    assert plan.identity == BOARD
    assert plan.fingerprint == board.fingerprint()


def test_what_cannot_be_written_or_was_waived_is_no_change() -> None:
    board = snapshot(setting("a", num("1"), writable=False), setting("b", num("1")))
    asked = intent(
        *(wanted(name, written("2")) for name in ("a", "b", "gone")), waived="b"
    )
    assert plan_for(compare(board, asked), board, BOARD).changes == ()


def test_a_plan_names_the_changes_that_may_move_something() -> None:
    still = replace(CHANGE, name="still", moves=Moves.NOTHING)
    motor = replace(CHANGE, name="motor", moves=Moves.MOTOR)
    plan = Plan(identity=BOARD, fingerprint="", changes=(still, CHANGE, motor))
    assert plan.moving == (CHANGE, motor)


def test_a_plan_names_the_changes_that_nothing_could_put_back() -> None:
    for_good = replace(CHANGE, name="for good", one_way="the old value is no word")
    plan = Plan(identity=BOARD, fingerprint="", changes=(CHANGE, for_good))
    assert plan.one_way == (for_good,)


@FEW
@given(
    st.dictionaries(st.text("abc", min_size=1), st.tuples(st.integers(), st.integers()))
)
def test_carrying_out_a_plan_leaves_no_difference_and_its_reverse_restores(
    values: dict[str, tuple[int, int]],
) -> None:
    before = snapshot(*(setting(n, num(str(v[0]))) for n, v in values.items()))
    asked = intent(*(wanted(n, written(str(v[1]))) for n, v in values.items()))
    plan = plan_for(compare(before, asked), before, BOARD)
    held = {name: s.value for name, s in before.settings.items()}
    held |= {change.name: change.new for change in plan.changes}
    after = snapshot(*(setting(n, v) for n, v in held.items()))
    assert plan_for(compare(after, asked), after, BOARD).changes == ()
    held |= {change.name: change.old for change in plan.changes}
    again = snapshot(*(setting(n, v) for n, v in held.items()))
    assert again.fingerprint() == before.fingerprint()
