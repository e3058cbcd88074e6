"""How a made-up console frames and pages what it answers."""

from typing import TYPE_CHECKING, Final, final

from .generated_plan import Framing, Refusal

if TYPE_CHECKING:
    from .generated_plan import Plan

PAGE_LINES: Final = 20
LEAVE_KEY: Final = ord("q")

_WITH_STATUS: Final = frozenset({Framing.STATUS, Framing.STATUS_PROMPT})


@final
class Paper:
    """Turns lines into bytes; keeps the pages that were not shown yet."""

    def __init__(self, plan: "Plan") -> None:
        self.pages = plan.pager is not None
        """Whether long answers stop at the pager."""
        self.number = 1
        """Of the next command, as the prompt counts them."""
        self._plan = plan
        self._rest: list[str] | None = None
        self._tail = b""

    @property
    def waits(self) -> bool:
        """The pager waits for a key."""
        return self._rest is not None

    def wipe(self) -> None:
        """As after power-up."""
        self.pages = self._plan.pager is not None
        self.number = 1
        self._rest = None

    def prompt(self) -> bytes:
        """The prompt, empty where there is none."""
        return self._plan.prompt.replace("{n}", str(self.number)).encode()

    def answer(self, lines: list[str]) -> bytes:
        """The answer to a command that worked."""
        return self._framed(lines, self._status(self._plan.statuses[0]))

    def refusal(self, reason: str) -> bytes:
        """The answer to a command that did not."""
        plan = self._plan
        status = plan.framing in _WITH_STATUS
        word = plan.statuses[1] if status else plan.refusal_word
        if plan.refusal is Refusal.SAME_LINE:
            told = [f"{word}: {reason}"]
        else:
            told = [word, f"  {reason}"]
        return self._framed([], self.text(*told)) if status else self._framed(told)

    def key(self, key: int) -> bytes:
        """A key at the pager: the next page, or the end."""
        rest, self._rest = self._rest or [], None
        pager = self._plan.pager or ""
        wiped = b"\r" + b" " * len(pager) + b"\r"
        said = wiped if self._plan.pager_wiped else self.text("")
        if key == LEAVE_KEY:
            return said + self._tail
        return said + self._page(rest)

    def text(self, *lines: str) -> bytes:
        """Lines as bytes."""
        end = self._plan.line_end_out
        return "".join(f"{line}{end}" for line in lines).encode("ascii")

    def _status(self, word: str) -> bytes:
        return self.text(word) if self._plan.framing in _WITH_STATUS else b""

    def _framed(self, lines: list[str], status: bytes = b"") -> bytes:
        plan = self._plan
        self.number += 1
        head = b""
        if plan.framing is Framing.COUNT:
            head = self.text(plan.count.replace("{n}", str(len(lines))))
        closing = self.text(plan.closing) if plan.framing is Framing.CLOSING else b""
        self._tail = status + closing + self.prompt()
        return head + self._page(lines)

    def _page(self, lines: list[str]) -> bytes:
        if not self.pages or len(lines) <= PAGE_LINES:
            return self.text(*lines) + self._tail
        self._rest = lines[PAGE_LINES:]
        pager = self._plan.pager or ""
        return self.text(*lines[:PAGE_LINES]) + pager.encode()
