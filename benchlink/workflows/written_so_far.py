"""How far a writing has come: what is to be sent is known to the byte beforehand."""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import accumulate
from typing import Final, final

from benchlink.console.description import Manner
from benchlink.core.advance import Advance, Amount
from benchlink.core.utterance import Utterance


@final
class Written:
    """Counts what was answered; only that is on the board."""

    def __init__(self, utterances: Sequence[Utterance], manner: Manner) -> None:
        commands = [command for u in utterances for command in u.commands]
        sizes = (len(manner.bytes_of(command)) for command in commands)
        self._sent: Final = list(accumulate(sizes, initial=0))
        self._ends: Final = list(accumulate(len(u.commands) for u in utterances))
        self._settings: Final = list(
            accumulate((len(u.names) for u in utterances), initial=0)
        )

    def after(self, answered: int) -> Advance:
        """Once so many commands were answered; a setting counts when its last one was."""
        answered = min(answered, len(self._sent) - 1)
        through = bisect_right(self._ends, answered)
        return Advance(
            what="writing",
            settings=Amount(done=self._settings[through], total=self._settings[-1]),
            size=Amount(done=self._sent[answered], total=self._sent[-1]),
        )
