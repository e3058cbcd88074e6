"""How many settings each owner has in each state."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchlink.core.difference import Difference, Finding, State
from benchlink.core.intent import Owner


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Counts by owner and state; only those above zero are in it."""

    counts: Mapping[tuple[Owner, State], int]

    @property
    def owners(self) -> tuple[Owner, ...]:
        """Owners that have any settings, the least special first."""
        return tuple(o for o in Owner if any(own is o for own, _ in self.counts))

    @property
    def states(self) -> tuple[State, ...]:
        """States that any setting is in."""
        return tuple(s for s in State if any(state is s for _, state in self.counts))

    def of(self, owner: Owner, state: State) -> int:
        """How many settings of an owner are in a state."""
        return self.counts.get((owner, state), 0)


def tally(difference: Difference) -> Tally:
    """Count all findings."""
    return Tally(counts=Counter((f.owner, f.state) for f in difference.findings))


def by_bank(findings: Iterable[Finding]) -> Mapping[str, tuple[Finding, ...]]:
    """Findings by their bank, those of no bank first, each in its order."""
    banks: dict[str, tuple[Finding, ...]] = {"": ()}
    for finding in findings:
        banks[finding.bank] = (*banks.get(finding.bank, ()), finding)
    return {bank: found for bank, found in banks.items() if found}
