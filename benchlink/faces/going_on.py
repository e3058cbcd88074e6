"""Whether work at the jig goes on from readings of work that was broken off."""

from collections import Counter
from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from benchlink.core.bench_record import Work
from benchlink.core.broken_off import Earlier, Present, earlier
from benchlink.faces.wiring import now

if TYPE_CHECKING:
    from benchlink.core.roles import OwnSide
    from benchlink.core.servo_part import ServoPart
    from benchlink.faces.noting import Noting


DOING: Final[Mapping[Work, str]] = {Work.CENTRE: "centring", Work.THROW: "throw"}


def go_on_from(
    noted: "Noting", side: "OwnSide", part: "ServoPart | None" = None
) -> Earlier | None:
    """The earlier readings, where some still count and the person says so; else None."""
    person = noted.at.person
    present = Present(
        today=now(),
        board=noted.at.bench.session.identity,
        held=noted.held(),
        part=part,
    )
    found = earlier(noted.records.kept(), noted.work, side, present)
    if found is None:
        return None
    count = len(found.taken)
    readings = "1 reading" if count == 1 else f"{count} readings"
    without = "".join(f"; {why}" for why in _left_out(found))
    person.tell(
        f"The {DOING[noted.work]} of the {side.value} arm was broken off at"
        f" {found.left_at:%H:%M} ({found.operator}): {readings} of it can still count{without}."
    )
    question = f"Go on from {readings}? Is all as it was: horn, jig, servo?"
    if person.agrees(question):
        return found
    person.tell(f"The {side.value} arm is begun afresh.")
    return None


def _left_out(found: Earlier) -> list[str]:
    """Why the others cannot, counted: `1 cannot: corrected when it was asked about`."""
    return [
        f"{count} cannot: {why.value}" for why, count in Counter(found.left_out).items()
    ]
