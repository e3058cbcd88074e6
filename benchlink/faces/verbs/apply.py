"""`benchlink apply`: bring the board to a profile and prove that it took."""

from benchlink.core.intent import Intent
from benchlink.core.leaving import with_only, without
from benchlink.faces.arguments import Given
from benchlink.faces.asked import asked_of, read_named
from benchlink.faces.at_board import AtBoard, at_board
from benchlink.faces.changing import carry_out
from benchlink.faces.hangar import listed
from benchlink.faces.named_files import AskedOf


def run(given: Given) -> int:
    """Apply the profile, or the layers of the aircraft where none is named."""
    named = read_named(given.profile)
    with at_board(given) as at:
        return _apply(at, named, given)


def at_work(at: AtBoard, given: Given) -> int:
    """The same at a board that is open."""
    return _apply(at, read_named(given.profile), given)


def _apply(at: AtBoard, named: AskedOf | None, given: Given) -> int:
    asked = asked_of(at, named)
    intent = _part_of(asked, given)
    left = [name for name in asked.wanted if name not in intent.wanted]
    if left:
        words = _left_words(left, given)
        at.person.tell(f"{words}.")
        given.note = "; ".join(filter(None, (given.note, words)))
    return carry_out(at, intent, given)


def _part_of(asked: Intent, given: Given) -> Intent:
    """What is left of it for this run.

    Raises:
        UsageError: a name that was left or picked is none that it asks for.
    """
    if given.only:
        return with_only(asked, given.only)
    return without(asked, given.left) if given.left else asked


def _left_words(left: list[str], given: Given) -> str:
    """What is left as it is, for the person and for the backup taken before."""
    if not given.only:
        return f"Left as the board has it, as you said: {listed(left)}"
    only = listed(list(dict.fromkeys(given.only)))
    count = len(left)
    others = "1 other is" if count == 1 else f"{count} others are"
    them = "it" if count == 1 else "them"
    return f"Only {only}, as you said; {others} left as the board has {them}"
