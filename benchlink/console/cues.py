"""Questions that a board shows before it listens, and what replies to each, once."""

from collections import Counter
from collections.abc import Mapping
from typing import Final, final

from benchlink.console.description import Cue, Manner

LOGINS: Final = 2
"""How often one question is answered in one opening with what the person told, where a
login was not finished, or the board was starting when it was woken and may have taken a
key for an answer. Else a whole login goes out once: boards lock out whoever guesses."""


@final
class Cues:
    """Finds them in what is shown, and keeps count of the replies."""

    def __init__(self, manner: Manner, told: Mapping[str, str]) -> None:
        self._manner: Final = manner
        self._told: Final = told
        self._cued = ""
        self._replied = 0
        """So many characters of the unfinished line are questions that were answered."""
        self._doubted = False
        """Whether something was said since it last came up, and may stand open."""
        self._logins: Counter[Cue] = Counter()
        self._let_in: Counter[Cue] = Counter()
        """Those of them that the board took."""
        self._order: Final = tuple(
            dict.fromkeys(f for cue in manner.cues if cue.line for f in cue.line.fields)
        )
        self._given: set[str] = set()
        """What of a login was told since its first question."""
        self.refused = False
        """Whether a whole login was asked for anew."""
        self._in_step = True
        """Whether no key of ours may have answered a question before the reply did."""
        self._passed_on = False
        """Whether a login that somebody else had begun was ended."""

    def restart(self) -> None:
        """The board starts afresh."""
        self.line_ended()
        self._logins.clear()
        self._let_in.clear()
        self._begin()
        self._doubted = self._passed_on = False

    def listened(self) -> None:
        """The board listens: what it was told was right."""
        self._let_in = self._logins.copy()
        self._begin()

    def _begin(self) -> None:
        """Nothing of a login was told yet."""
        self._given.clear()
        self.refused = False
        self._in_step = True

    def out_of_step(self) -> None:
        """A board that starts has yet to read what was sent to wake it."""
        self._in_step = False

    def begun_elsewhere(self, cue: Cue) -> bool:
        """Whether it belongs to a login of which the beginning was never seen: true once.

        An empty line ends that one. What the person told would be a guess at it.
        """
        fields = cue.line.fields if cue.line else ()
        if self._passed_on or not fields or self._logins:
            return False
        self._passed_on = min(map(self._order.index, fields)) > 0
        return self._passed_on

    @property
    def turned_away(self) -> int:
        """How often what the person told was sent since the board last listened.

        Of its parts the one that was sent least counts: a name alone lets nobody in.
        """
        return min((self._logins - self._let_in).values(), default=0)

    def without_told(self, heard: bytes) -> bytes:
        """What the board said, and for what the person told only its name."""
        for name, told in self._told.items():
            spelled = self._manner.charset.encode(told)
            heard = heard.replace(spelled, f"<{name}>".encode()) if spelled else heard
        return heard

    def doubt(self) -> None:
        """What was said may have been cut short: a way out of what it opened is a cue."""
        self._doubted = True

    def line_ended(self) -> None:
        """What is shown next is shown anew."""
        self._cued = ""
        self._replied = 0

    def fresh(self, shown: str, *, last: bool) -> Cue | None:
        """A cue that has had no reply yet, once for each that is shown.

        What the person told answers only what was shown `last`, and only once.
        """
        if not shown or shown == self._cued:
            return None
        if len(shown) < self._replied:
            self._replied = 0
        found = self._cue_in(shown)
        if found is None:
            return None
        start, cue = found
        self._cued = shown
        if cue.wait or cue.line is None:
            return cue
        if not last or start < self._replied:
            return None
        self._replied = len(shown)
        return cue

    def may_reply(self, cue: Cue) -> bool:
        """Whether a reply stays within bounds; if so it counts as sent."""
        fields = cue.line.fields if cue.line else ()
        if not fields:
            return True
        sent = self._logins[cue]
        again = self._given.issuperset(self._order) and sent > self._let_in[cue]
        if again and self._in_step:
            self.refused = True
        if self.refused or sent >= LOGINS:
            return False
        self._logins[cue] += 1
        # What comes before it and was not told, was told by nobody to this login.
        before = self._order[: min(map(self._order.index, fields))]
        self._given.intersection_update(before)
        self._given.update(fields)
        return True

    def reply(self, cue: Cue) -> bytes:
        """The bytes that answer a cue."""
        if cue.line is None:
            return cue.key
        fields = {name: self._told.get(name, "") for name in cue.line.fields}
        line = self._manner.charset.encode(cue.line.render(fields))
        return line + self._manner.line_end.value

    def _cue_in(self, shown: str) -> tuple[int, Cue] | None:
        """The last question of a line, and where it begins.

        Where answers are not echoed, questions stand one behind the other. The last one
        begins where those before it end: the same words behind any others ask for
        something else.
        """
        ways_out = self._manner.ways_out if self._doubted else ()
        cues = (*self._manner.cues, *ways_out)
        starts = {0, self._replied}
        fresh = list(starts)
        while fresh:
            start = fresh.pop()
            rest = shown[start:]
            behind = {
                len(shown) - len(after)
                for cue in cues
                if cue.line is not None and (after := cue.shows.rest_after(rest))
            }
            fresh += behind - starts
            starts |= behind
        for start in sorted(starts, reverse=True):
            for cue in cues:
                if shown[start:] and cue.shows.match(shown[start:]) is not None:
                    return start, cue
        return None
