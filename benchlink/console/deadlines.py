"""When time alone changes something: silence, a prompt that stands, patience."""

from dataclasses import dataclass
from typing import final

from benchlink.console.correlation import Correlation
from benchlink.console.crossing import Crossing
from benchlink.console.dead_hand import DeadHand
from benchlink.console.pace import Pace
from benchlink.console.progress import Progress
from benchlink.console.unfinished import Unfinished
from benchlink.console.waking import Waking
from benchlink.units import Seconds


@final
@dataclass(frozen=True, slots=True)
class Deadlines:
    """Asks each part of a conversation for its time."""

    correlation: Correlation
    crossing: Crossing
    pace: Pace
    progress: Progress
    unfinished: Unfinished
    waking: Waking
    dead_hand: DeadHand

    def next(self, now: Seconds, *, waking: bool, stopping: bool) -> Seconds | None:
        """The first of them, if any; whether the board is waking and a stop waits."""
        due: list[float] = []
        oldest, receiving = self.correlation.oldest, self.correlation.receiving
        if oldest is not None:
            due.append(self.progress.overdue_at(oldest))
        quiet_at = self.progress.quiet_at(receiving)
        if quiet_at is not None:
            due.append(quiet_at)
        unfinished = self.unfinished
        if receiving and unfinished.at_prompt and not self.crossing.prompt_bytes:
            due.append(unfinished.settles_at)
        if waking and oldest is None:
            due += self._waking(now)
        room_at = self.pace.room_at
        if now < room_at:
            due.append(room_at)
        if stopping:
            due.append(self.pace.stop_at)
        if self.dead_hand.due is not None:
            due.append(self.dead_hand.due)
        return Seconds(min(due)) if due else None

    def _waking(self, now: Seconds) -> list[float]:
        waking, unfinished = self.waking, self.unfinished
        due: list[float] = [waking.patience_over]
        if now < waking.patience_used:
            due.append(waking.patience_used)
        if now < waking.deaf_until:
            return [*due, waking.deaf_until]
        if unfinished.at_prompt or waking.greeted:
            return [*due, max(unfinished.settles_at, self.pace.room_at)]
        if not waking.banner_due:
            due.append(max(waking.next_wake, self.pace.room_at))
        return due

    def fell_quiet(self, now: Seconds) -> bool:
        """Whether silence has ended the answer that is being received."""
        quiet_at = self.progress.quiet_at(self.correlation.receiving)
        return quiet_at is not None and now >= quiet_at

    def answer_overdue(self, now: Seconds) -> bool:
        """Whether the oldest command in flight counts as unanswered."""
        oldest = self.correlation.oldest
        return oldest is not None and now >= self.progress.overdue_at(oldest)

    def prompt_stands(self, now: Seconds) -> bool:
        """Whether a prompt stands, after the answer if one is being received."""
        if self.correlation.receiving:
            return self.answer_stands(now)
        return self.unfinished.stands_still(now)

    def answer_stands(self, now: Seconds) -> bool:
        """Whether a prompt stands after the answer; one that crossed, when no other came."""
        if not self.crossing.prompt_bytes:
            return self.unfinished.stands_still(now)
        return self.unfinished.at_prompt and self.answer_overdue(now)
