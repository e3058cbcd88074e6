"""Talking to a board line by line: each is looked at, held or sent, and shown.

Whoever talks may have changed anything. So the board is read before and after, and what
is another value than before is said, with what of it the next restart would undo.
"""

from dataclasses import replace
from typing import Final, final

from benchlink.console.description import Kept
from benchlink.console.offers import Offers, offers_of
from benchlink.console.overheard import Overheard
from benchlink.console.talking import (
    NOTHING_SENT,
    Deed,
    Need,
    Passed,
    Refused,
    Standing,
    Usher,
)
from benchlink.core.doors import Ears, Person
from benchlink.core.exchange import ACTED, Answer, Command, Ending
from benchlink.core.may_move import spins
from benchlink.core.restart_leave import RESTART_MOVES
from benchlink.core.settings import Snapshot, moved
from benchlink.core.utterance import Reply, Utterance
from benchlink.errors import RefusedError, SafetyRefusalError
from benchlink.workflows.agreement import confirm_hands_clear
from benchlink.workflows.clear_hands import leave_of
from benchlink.workflows.read import read_settled
from benchlink.workflows.session import (
    Session,
    ask_readiness,
    meet_again,
    require_at_rest,
)
from benchlink.workflows.talk_outcome import (
    AGAIN,
    Changed,
    Fate,
    Outcome,
    Page,
    Parting,
    not_sent,
)


@final
class Talk:
    """One talk with a described board; used on the work thread."""

    def __init__(
        self,
        session: Session,
        person: Person,
        page: Page,
        ears: Ears | None = None,
        *,
        attended: bool = True,
    ) -> None:
        """Read the board and listen along.

        Without `ears` only whole answers are shown. Where it is not `attended`, lines
        pass that only tell something.

        Raises:
            BenchError: the board cannot be read.
        """
        self.session = session
        self._person: Final = person
        self._page: Final = page
        self._ears: Final = ears
        self._attended: Final = attended
        self._before: Final = _read(session, person)
        self._usher: Final = Usher(session.grammar, self._before)
        self._standing = Standing()
        self._heard: Final = Overheard(session.grammar.description.manner)
        self._epoch = session.board.epoch
        self._offers: Offers | None = None
        self._deaf()

    @property
    def read(self) -> bool:
        """Whether the settings were read: not while the outputs are live."""
        return self._before is not None

    @property
    def offers(self) -> Offers:
        """What can be typed; worked out when first asked for."""
        if self._offers is None:
            self._offers = offers_of(self.session.grammar, self._before)
        return self._offers

    def line(self, text: str) -> Outcome:
        """Take one typed line: refuse it, hold it, or send it and show what comes back.

        Raises:
            LinkError: the port went away or the board fell silent for good.
            BoardError: the board's answer has no end.
        """
        self.listen()
        self._notice_a_start()
        looked = self._usher.look(text, self._standing)
        if isinstance(looked, Refused):
            return not_sent(text, Fate.REFUSED, looked.sentence, looked.hint)
        if not self._attended and looked.deed not in {Deed.TELLS, Deed.STOPS}:
            why = f"`{text}` does more than tell something, and nobody is asked here"
            return not_sent(text, Fate.REFUSED, why, NOTHING_SENT)
        held = self._against(text, looked)
        return held or self._sent(text, looked)

    def listen(self) -> None:
        """Show what the board said unasked; to be called while nobody asks."""
        if self._ears is not None:
            self._show(self._ears.overheard())

    def stop(self) -> None:
        """Stop whatever moves, past everything; a console without a stop has none.

        Raises:
            LinkError: its bytes did not leave: pull the pack.
        """
        grammar = self.session.grammar
        if grammar.can("stop"):
            command = grammar.single("stop")
            self._page.sent(command.line)
            self.session.board.stop(command)

    def abandon(self) -> Outcome:
        """Have the board give up a line that was begun, by the key it has for that.

        Raises:
            LinkError: the port went away or the board fell silent for good.
        """
        manner = self.session.grammar.description.manner
        if not manner.abandon:
            why = "nobody has described a key that gives a line up on this console"
            return not_sent("", Fate.REFUSED, why)
        self._page.sent(f"0x{manner.abandon.hex()}")
        form = replace(manner.answer, ends=Ending.QUIET, needs_word=False)
        key = Command(
            line=manner.abandon.decode("ascii"),
            answer_within=form.quiet,
            form=form,
            key=True,
        )
        answers = self.session.board.ask([key], self._progress)
        self._heed_the_rest(answers)
        return Outcome(line="", fate=Fate.SENT)

    def enter(self) -> Outcome:
        """Refuse a line end alone: nothing needs one here, and it may repeat a line."""
        why = "a line end alone is for a board whose console nobody has described"
        return not_sent("", Fate.REFUSED, why)

    def leave(self) -> Parting:
        """Read the board again, and say what is not as it was.

        Raises:
            BenchError: it could not be read: nobody knows what was changed.
        """
        self.listen()
        session = self.session
        if self._standing.mode:
            _, out = session.grammar.mode(self._standing.mode)
            session.board.ask(out.commands)
        self.session = session = meet_again(session)
        self._notice_a_start()
        after = _read(session, self._person)
        if self._before is None or after is None:
            return Parting(changed=(), unkept=(), compared=False)
        changed = tuple(
            _changed(name, self._before, after, session.grammar.kept(name))
            for name in moved(self._before, after)
        )
        unkept = tuple(
            one.name
            for one in changed
            if one.kept is Kept.NEVER
            or (one.kept is Kept.ON_KEEP and self._standing.unkept)
        )
        return Parting(changed=changed, unkept=unkept)

    def _against(self, line: str, passed: Passed) -> Outcome | None:
        """What keeps a line from being sent; None where all that it needs was typed."""
        for caution in passed.cautions:
            self._person.tell(caution)
        if Need.AGAIN in passed.needs and self._person.types(AGAIN) != line:
            return not_sent(line, Fate.HELD, f"`{line}` was not typed again")
        try:
            self._ask_for_hands(passed)
            if passed.at_rest:
                self.session = ask_readiness(self.session)
                # Whoever repeats the last line now repeats that question.
                self._standing = replace(self._standing, last=None)
                if self.session.grammar.can("readiness"):
                    require_at_rest(self.session)
        except (SafetyRefusalError, RefusedError) as refusal:
            hint = refusal.hint or NOTHING_SENT
            return not_sent(line, Fate.HELD, str(refusal), hint)
        finally:
            self._deaf()
        return None

    def _ask_for_hands(self, passed: Passed) -> None:
        session, moving = self.session, passed.moving
        if Need.LEAVE in passed.needs and (moving or leave_of(session) is None):
            moving = (*moving, RESTART_MOVES)
        if not moving:
            return
        # A motor each time: nobody looked at the pack and the hubs between two lines.
        if session.hands_clear and not spins(moving):
            self._person.tell("Hands clear of the tilt arms and the discs.")
            return
        hands = confirm_hands_clear(moving, self._person, session, so_far=NOTHING_SENT)
        self.session = replace(session, hands=hands)

    def _sent(self, line: str, passed: Passed) -> Outcome:
        self._page.sent(line)
        self._heard.sent(line)
        if passed.deed is Deed.STOPS:
            self.session.board.stop(passed.commands[-1])
            return Outcome(line=line, fate=Fate.SENT)
        # Until the answer tells, nobody knows what the board was told last.
        before, self._standing = self._standing, _doubtful(self._standing, passed)
        answers = self._answers(passed)
        reply = Reply(utterance=Utterance(commands=passed.commands), answers=answers)
        self._standing = self._usher.after(before, line, passed, reply.verdict)
        self._heed_the_rest(answers)
        if passed.deed is Deed.RESTARTS:
            self._epoch = self.session.board.epoch
            self.session = meet_again(self.session)
            self._standing = Standing()
            self._deaf()
        return Outcome(
            line=line, fate=Fate.SENT, verdict=reply.verdict, remark=reply.remark
        )

    def _answers(self, passed: Passed) -> tuple[Answer, ...]:
        """One answer after the other, as far as they go well."""
        board = self.session.board
        answers: list[Answer] = []
        *first, last = (self._allowed(command) for command in passed.commands)
        for command in first:
            answers += board.ask([command], self._progress)
            if answers[-1].verdict not in ACTED:
                return tuple(answers)
        if passed.deed is Deed.RESTARTS:
            within = self.session.grammar.description.manner.back_within
            answers.append(board.restart(last, within))
        else:
            answers += board.ask([last], self._progress)
        return tuple(answers)

    def _allowed(self, command: Command) -> Command:
        """A write that may move something, with what was confirmed about hands."""
        return (
            replace(command, hands=self.session.hands) if command.hazards else command
        )

    def _progress(self, _received: int, _answered: int) -> None:
        self.listen()

    def _heed_the_rest(self, answers: tuple[Answer, ...]) -> None:
        if self._ears is None:
            self._page.said([line for answer in answers for line in answer.lines])
            return
        self.listen()
        rest = self._heard.rest()
        if rest:
            self._page.said(rest)

    def _show(self, data: bytes) -> None:
        lines = self._heard.feed(data)
        if lines:
            self._page.said(lines)

    def _deaf(self) -> None:
        """Let pass what was said to our own questions."""
        if self._ears is not None:
            self._heard.feed(self._ears.overheard())
        self._heard.forget()

    def _notice_a_start(self) -> None:
        epoch = self.session.board.epoch
        if epoch == self._epoch:
            return
        self._epoch, self._standing = epoch, Standing()
        self._person.tell(
            "The board has started anew: what it had not kept is as before, and hands"
            " clear has to be typed again."
        )


def _read(session: Session, person: Person) -> Snapshot | None:
    """The settings; None while the outputs are live: then only what must be is asked."""
    if session.readiness is not None and session.readiness.armed:
        person.tell("The outputs are LIVE: settings are not read, nothing is written.")
        return None
    return read_settled(session, person)


def _doubtful(standing: Standing, passed: Passed) -> Standing:
    changes = passed.deed in {Deed.WRITES, Deed.ACTS}
    return replace(standing, last=None, unkept=standing.unkept or changes)


def _changed(name: str, before: Snapshot, after: Snapshot, kept: Kept) -> Changed:
    was, now = before.settings.get(name), after.settings.get(name)
    return Changed(
        name=name,
        before=was.raw if was else "",
        now=now.raw if now else "",
        kept=kept,
    )
