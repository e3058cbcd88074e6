"""Saying things to a board that has modes and banks, and getting the replies back.

Utterances that need the same mode and bank go out together, through the window; those
whose steps depend on each other go step by step. Whatever was entered is left again,
and the bank that was selected before is selected again.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby
from typing import Final, final

from benchlink.console.grammar import Grammar
from benchlink.core.doors import Board, Progress
from benchlink.core.exchange import ACTED, Answer, Verdict
from benchlink.core.utterance import Reply, Utterance, require_an_end, require_done

TRIES: Final = 5
"""How often a board that says "not ready" is asked again."""


def say(
    board: Board,
    grammar: Grammar,
    utterances: Sequence[Utterance],
    progress: Progress | None = None,
) -> tuple[Reply, ...]:
    """One reply to each utterance, in the same order.

    Raises:
        RefusedError: the board would not enter a mode or select a bank.
        BoardError: an answer has no end.
        LinkError: the port went away or the board fell silent for good.
    """
    replies: list[Reply] = []
    so_far = _SoFar(progress) if progress else None
    for (mode, bank), group in groupby(utterances, key=lambda u: (u.mode, u.bank)):
        together = list(group)
        _enter(board, grammar, mode, bank)
        try:
            replies += _all(board, grammar, together, so_far)
        finally:
            _leave(board, grammar, mode, together[0])
    return tuple(replies)


@final
class _SoFar:
    """Adds up over everything that one `say` asks; each question counts from nothing."""

    def __init__(self, progress: Progress) -> None:
        self._progress: Final = progress
        self._bytes = self._commands = 0
        self._heard = 0

    def __call__(self, received_bytes: int, answers: int) -> None:
        self._tell(received_bytes, answers)

    def after(self, commands: int) -> Progress:
        """For the next command of an utterance of which so many are answered."""
        self._bytes += self._heard
        self._heard = 0
        return lambda received, answers: self._tell(received, commands + answers)

    def through(self, *utterances: Utterance) -> None:
        """These are done, whatever became of each command."""
        self._bytes += self._heard
        self._heard = 0
        self._commands += sum(len(utterance.commands) for utterance in utterances)

    def _tell(self, received_bytes: int, answers: int) -> None:
        self._heard = received_bytes
        self._progress(self._bytes + received_bytes, self._commands + answers)


def _all(
    board: Board,
    grammar: Grammar,
    utterances: Sequence[Utterance],
    so_far: "_SoFar | None",
) -> list[Reply]:
    replies: list[Reply] = []
    for stepwise, group in groupby(utterances, key=lambda u: u.stepwise):
        if stepwise:
            for utterance in group:
                replies.append(_step_by_step(board, utterance, so_far))
                if so_far:
                    so_far.through(utterance)
        else:
            together = list(group)
            replies += _at_once(board, together, so_far)
            if so_far:
                so_far.through(*together)
    replies = [_asked_again(board, require_an_end(reply)) for reply in replies]
    alone = len(replies) == 1
    return [_explained(board, grammar, reply, alone=alone) for reply in replies]


def _at_once(
    board: Board, utterances: Sequence[Utterance], progress: Progress | None
) -> list[Reply]:
    commands = [command for u in utterances for command in u.commands]
    answers = iter(board.ask(commands, progress))
    return [
        Reply(utterance=u, answers=tuple(next(answers) for _ in u.commands))
        for u in utterances
    ]


def _step_by_step(
    board: Board, utterance: Utterance, so_far: "_SoFar | None" = None
) -> Reply:
    answers: list[Answer] = []
    try:
        for command in utterance.commands:
            heard = so_far.after(len(answers)) if so_far else None
            answers += board.ask([command], heard)
            if answers[-1].verdict not in ACTED:
                break
    except KeyboardInterrupt:
        _lead_out(board, utterance)
        raise
    reply = Reply(utterance=utterance, answers=tuple(answers))
    if reply.left_open:
        _lead_out(board, utterance)
    return reply


def _lead_out(board: Board, utterance: Utterance) -> None:
    """Leave what a failure left open; a board that was out already says no to it."""
    if not utterance.way_out:
        return
    answers = board.ask(utterance.way_out)
    if not all(answer.trusted for answer in answers):
        require_done(
            Reply(utterance=Utterance(commands=utterance.way_out), answers=answers)
        )


def _explained(board: Board, grammar: Grammar, reply: Reply, *, alone: bool) -> Reply:
    """A refused change with its reason, where that has to be asked for."""
    if not (_is_mute(reply) and grammar.can("why")):
        return reply
    if not alone:
        # The board remembers its last refusal only: that has to be this one.
        reply = _step_by_step(board, reply.utterance)
        if not _is_mute(reply):
            return reply
    reason = grammar.reason(_step_by_step(board, grammar.utter("why")))
    refused = (
        replace(a, remark=reason) if a.verdict is Verdict.REFUSED else a
        for a in reply.answers
    )
    return replace(reply, answers=tuple(refused))


def _is_mute(reply: Reply) -> bool:
    """Whether a change was refused without a word."""
    changes = any(command.changes for command in reply.utterance.commands)
    return changes and reply.verdict is Verdict.REFUSED and not reply.remark


def _asked_again(board: Board, reply: Reply) -> Reply:
    for _ in range(TRIES):
        if reply.verdict is not Verdict.AGAIN:
            break
        reply = _step_by_step(board, reply.utterance)
    return reply


def _enter(board: Board, grammar: Grammar, mode: str, bank: str) -> None:
    if mode:
        enter, _ = grammar.mode(mode)
        require_done(_step_by_step(board, enter))
    if bank:
        _select(board, grammar, bank)


def _leave(board: Board, grammar: Grammar, mode: str, utterance: Utterance) -> None:
    if utterance.bank and utterance.home != utterance.bank:
        _select(board, grammar, utterance.home)
    if mode:
        _, leave = grammar.mode(mode)
        require_done(_step_by_step(board, leave))


def _select(board: Board, grammar: Grammar, bank: str) -> None:
    for source in grammar.description.sources:
        if source.banks and bank in source.banks.names:
            require_done(_step_by_step(board, grammar.bank(source, bank)))
            return
