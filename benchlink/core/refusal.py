"""Values that the board did not take, as findings for the report of a failed change."""

from collections.abc import Mapping
from dataclasses import replace
from typing import final

from benchlink.core.difference import OFF, Difference, Finding, State
from benchlink.errors import MismatchError


@final
class NotTakenError(MismatchError):
    """The board did not hold what was written; `difference` tells it by setting."""

    def __init__(
        self, message: str, *, details: tuple[str, ...], difference: Difference
    ) -> None:
        super().__init__(message, details=details)
        self.difference = difference


def not_taken(
    difference: Difference, *, refused: Mapping[str, str], untaken: Mapping[str, str]
) -> Difference:
    """The findings of a plan after its values were written and put back again.

    `refused` holds the board's words by setting, `untaken` ours for all that went wrong.
    """
    return Difference(
        findings=tuple(_told(f, refused, untaken) for f in difference.findings)
    )


def _told(
    finding: Finding, refused: Mapping[str, str], untaken: Mapping[str, str]
) -> Finding:
    if finding.state not in OFF:
        return finding
    if finding.name in refused:
        return replace(finding, state=State.REFUSED, trouble=refused[finding.name])
    kept_never = finding.trouble if finding.state is State.NEVER_KEPT else ""
    return replace(finding, trouble=untaken.get(finding.name, kept_never))
