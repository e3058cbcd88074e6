"""Saying things to a board that has modes and banks, and getting the replies back.

Utterances that need the same mode and bank go out together, through the window; those
whose steps depend on each other go step by step. Whatever was entered is left again,
and the bank that was selected before is selected again.
"""

from collections.abc import Sequence
from itertools import groupby
from typing import Final

from benchlink.console.grammar import Grammar
from benchlink.core.doors import Board, Progress
from benchlink.core.exchange import Answer, Verdict
from benchlink.core.utterance import Reply, Utterance, require_done

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
        LinkError: the port went away or the board fell silent for good.
    """
    replies: list[Reply] = []
    for (mode, bank), group in groupby(utterances, key=lambda u: (u.mode, u.bank)):
        together = list(group)
        _enter(board, grammar, mode, bank)
        try:
            replies += _all(board, together, progress)
        finally:
            _leave(board, grammar, mode, together[0])
    return tuple(replies)


def _all(
    board: Board, utterances: Sequence[Utterance], progress: Progress | None
) -> list[Reply]:
    replies: list[Reply] = []
    for stepwise, group in groupby(utterances, key=lambda u: u.stepwise):
        if stepwise:
            replies += [_step_by_step(board, utterance) for utterance in group]
        else:
            replies += _at_once(board, list(group), progress)
    return [_asked_again(board, reply) for reply in replies]


def _at_once(
    board: Board, utterances: Sequence[Utterance], progress: Progress | None
) -> list[Reply]:
    commands = [command for u in utterances for command in u.commands]
    answers = iter(board.ask(commands, progress))
    return [
        Reply(utterance=u, answers=tuple(next(answers) for _ in u.commands))
        for u in utterances
    ]


def _step_by_step(board: Board, utterance: Utterance) -> Reply:
    answers: list[Answer] = []
    for command in utterance.commands:
        answers += board.ask([command])
        if answers[-1].verdict not in {Verdict.OK, Verdict.NOTED}:
            break
    return Reply(utterance=utterance, answers=tuple(answers))


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
