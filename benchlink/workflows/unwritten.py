"""The time before the first byte of a change: a wire that fails then has changed nothing."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from benchlink.errors import LinkError, SilentBoardError, UnansweredError

NOTHING: Final = "Nothing was written."
NOTHING_MORE: Final = "Nothing more was written."


@contextmanager
def unwritten(so_far: str = NOTHING) -> Iterator[None]:
    """Nothing is written inside; a board that gets out of reach there is told so.

    `so_far` is what was written until then, in words.
    """
    try:
        yield
    except (LinkError, UnansweredError) as exc:
        # The hint of a silent board says it already.
        if not isinstance(exc, SilentBoardError):
            exc.hint = f"{exc.hint} {so_far}".strip()
        raise
