"""Faults at work in the aircraft: writes, keeps, and what is shown meanwhile.

Only while a command is carried out: whoever else looks at the aircraft or changes it,
the referee above all, meets the true values and an honest store.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, final

from .fault import Running
from .fault_answers import oddly
from .fault_events import BrownOut
from .fault_keeps import Keep, KeepFault
from .fault_writes import Board, Write, WriteFault
from .quantities import RefusalError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from .aircraft import Aircraft
    from .console import Said
    from .settings import Setting
    from .store import Store

Fire = Callable[[Running], None]
"""Counts that a fault came to pass."""


@dataclass(slots=True, kw_only=True)
class _Kept:
    """The last keep, and when the board is done with it."""

    store: "Store"
    keep: Keep
    done_us: int


@final
class ValueFaults:
    """Spoils what one command does to values. Times are integer microseconds."""

    def __init__(self, aircraft: "Aircraft", fire: Fire) -> None:
        self.browned = False
        """The command's keep ended in a brown-out."""
        self.wrote = False
        """The command was a write."""
        self._aircraft = aircraft
        self._fire = fire
        self._writes: list[tuple[WriteFault, Running]] = []
        self._keeps: list[tuple[KeepFault, Running]] = []
        self._brown_outs: list[tuple[BrownOut, Running]] = []
        self._hidden: dict[str, tuple[str, int]] = {}
        """Old values that are still shown, and until when."""
        self._true: dict[str, str] = {}
        """The true values behind them, while they stand among the live ones."""
        self._refused: dict[str, str] = {}
        self._keep: Keep | None = None
        self._kept: _Kept | None = None
        self._now_us = 0

    def use(self, running: "Iterable[Running]") -> None:
        """These faults are at work from now on."""
        pairs = [(run.fault, run) for run in running]
        self._writes = [(f, run) for f, run in pairs if isinstance(f, WriteFault)]
        self._keeps = [(f, run) for f, run in pairs if isinstance(f, KeepFault)]
        self._brown_outs = [
            (f, run) for f, run in pairs if isinstance(f, BrownOut) and f.at_keep
        ]

    def begin(self, now_us: int) -> None:
        """A command begins."""
        self._now_us = now_us
        self.browned = self.wrote = False
        self._keep = None
        self._refused.clear()
        live = self._aircraft.live
        for name, (old, until_us) in list(self._hidden.items()):
            if until_us <= now_us:
                del self._hidden[name]
                continue
            self._true[name], live[name] = live[name], old

    def end(self) -> None:
        """The command is over: the true values are live again."""
        self._aircraft.live.update(self._covered())
        self._true.clear()

    def uncover(self) -> None:
        """Hide nothing any more."""
        self.end()
        self._hidden.clear()

    def true_live(self) -> dict[str, str]:
        """All live values, the hidden ones too."""
        return self._aircraft.live | self._covered()

    def answer(self, said: "Said") -> "Said":
        """The command's answer, with what a keep does to it."""
        keep = self._keep
        if keep is None:
            return said
        said = replace(said, stall_us=said.stall_us + keep.stall_us)
        if self.browned:
            return replace(said, data=b"", restart=False)
        if keep.words is None:
            return said
        odd = oddly(said.data, keep.words)
        if keep.says_ok:
            odd = oddly(b"", keep.words) + said.data
        return replace(said, data=odd)

    def done(self, done_us: int) -> None:
        """When the board is done with the command."""
        if self._kept is not None and self._keep is self._kept.keep:
            self._kept.done_us = done_us

    def write(self, setting: "Setting", given: str) -> str | None:
        """Change a live value, or not. Raises `RefusalError`."""
        self.wrote = True
        name = setting.name
        self._aircraft.live.update(
            {n: true for n, true in self._covered().items() if n == name}
        )
        self._true.pop(name, None)
        self._hidden.pop(name, None)
        taken = setting.kind.take(given)
        write = self._spoiled(
            Write(setting=setting, old=self._aircraft.live[name], new=taken.text)
        )
        if write.refused is not None:
            raise RefusalError(write.refused)
        self._carry_out(write, honest=taken.text)
        return taken.note

    def keep(self, store: "Store", values: dict[str, str]) -> None:
        """Replace the kept values, or not. Raises `StoreError`."""
        keep = Keep(before=store.load() or {}, values=values)
        for fault, run in self._keeps:
            spoiled = fault.spoil(keep)
            if spoiled is not None and run.hits(fault):
                self._fire(run)
                keep = spoiled
        for brown_out, run in self._brown_outs:
            run.seen += 1
            if run.seen == brown_out.at_keep:
                self._fire(run)
                self.browned = run.spent = True
                keep = _torn(keep, brown_out)
        self._keep = keep
        self._kept = _Kept(store=store, keep=keep, done_us=self._now_us)
        if keep.changes:
            store.save(keep.values)

    def tear(self, brown_out: BrownOut, now_us: int) -> None:
        """The supply breaks down: a keep under way is done in part."""
        kept = self._kept
        if kept is not None and now_us < kept.done_us and kept.keep.changes:
            kept.store.save(_torn(kept.keep, brown_out).values)

    def _covered(self) -> dict[str, str]:
        """True values of what still shows the old one."""
        live = self._aircraft.live
        return {
            name: true
            for name, true in self._true.items()
            if live[name] == self._hidden[name][0]
        }

    def _spoiled(self, write: Write) -> Write:
        words = self._refused.get(write.setting.name)
        if words is not None:
            # some consoles try another spelling of a refused value
            return replace(write, refused=words)
        craft = self._aircraft
        board = Board(settings=tuple(craft.settings.values()), live=craft.live)
        for fault, run in self._writes:
            spoiled = fault.spoil(write, board)
            if spoiled is not None and run.hits(fault):
                self._fire(run)
                write = spoiled
        if write.refused is not None:
            self._refused[write.setting.name] = write.refused
        return write

    def _carry_out(self, write: Write, *, honest: str) -> None:
        craft = self._aircraft
        # an honest write of the old value moves what hangs on it, a lost one does not
        if write.changes or write.new == honest:
            craft.change(write.setting, write.new)
        if write.moved is not None:
            name, value = write.moved
            craft.change(craft.settings[name], value)
        if write.hidden_us:
            name = write.setting.name
            self._hidden[name] = (write.old, self._now_us + write.hidden_us)
            self._true[name], craft.live[name] = craft.live[name], write.old


def _torn(keep: Keep, brown_out: BrownOut) -> Keep:
    return keep.cut(0 if brown_out.atomic else brown_out.part)
