"""What a plan would do to the map of outputs, told before anything is asked."""

from dataclasses import replace

from benchlink.console.description import Description
from benchlink.core.output_findings import OutputFinding, brought_about, findings
from benchlink.core.plan import Plan
from benchlink.core.settings import Snapshot


def output_warnings(
    description: Description, snapshot: Snapshot, plan: Plan
) -> tuple[str, ...]:
    """A sentence for each finding that the plan brings about, and one for all older ones.

    Nothing where the plan leaves the map as it is, or the console tells of none.
    """
    pads = description.pads
    if pads is None:
        return ()
    before, after = pads.map(snapshot), pads.map(with_plan(snapshot, plan))
    if before == after:
        return ()
    new, old = brought_about(findings(before), findings(after))
    brings = tuple(f"This plan brings about: {in_full(finding)}" for finding in new)
    if not old:
        return brings
    count = len(old)
    were = "one thing was" if count == 1 else f"{count} things were"
    return (
        *brings,
        f"About the outputs {were} to look at before already: `benchlink outputs`.",
    )


def with_plan(snapshot: Snapshot, plan: Plan) -> Snapshot:
    """The settings as they would be."""
    settings = dict(snapshot.settings)
    for change in plan.changes:
        settings[change.name] = replace(settings[change.name], value=change.new)
    return replace(snapshot, settings=settings)


def in_full(finding: OutputFinding) -> str:
    """A finding and what to do about it, as one text."""
    return " ".join((finding.sentence, *finding.remedies))
