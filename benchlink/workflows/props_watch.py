"""Props off between two pieces of work: it counts only while somebody goes on looking.

Nothing is driven meanwhile, yet a pack may be taken out, a propeller put on, and the pack
put back. So the board is looked at again and again, as during the work itself; where
nobody looked for too long, the confirmation is over for good.
"""

from dataclasses import dataclass
from typing import final

from benchlink.core.confirmation import PropsOff
from benchlink.workflows.bench_watch import BenchWatch


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A confirmation, and why it counts no more; empty while it counts."""

    props: PropsOff
    void: str = ""


@final
class PropsWatch:
    """What the last piece of work had confirmed; used on one thread, but for `standing`."""

    def __init__(self) -> None:
        self._watch: BenchWatch | None = None
        self.standing: Standing | None = None
        """For whoever shows it; a value that is replaced whole."""

    def rest(self, watch: BenchWatch) -> None:
        """A piece of work is over."""
        self._watch = watch
        self._judge(watch.props_void)

    def look(self) -> None:
        """Ask the board again, as long as there is something to keep.

        Raises:
            LinkError: it does not answer.
        """
        watch = self._watch
        if watch is None:
            return
        watch.look()
        self._judge(watch.props_void)

    def hand_to(self, watch: BenchWatch) -> None:
        """Another piece of work begins, and goes on with what still counts.

        Raises:
            LinkError: the board does not answer.
        """
        self.look()
        if self._watch is not None:
            watch.go_on_from(self._watch.confirmed)

    def drop(self, why: str) -> None:
        """Whatever was confirmed counts no more."""
        self._judge(why)

    def _judge(self, void: str) -> None:
        watch = self._watch
        if watch is None:
            return
        props = watch.props_off
        self.standing = Standing(props=props, void=void) if props else None
        if void or props is None:
            self._watch = None
