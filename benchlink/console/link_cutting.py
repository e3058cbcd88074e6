"""Settings whose writing may cut the link: refused, and told what to do instead."""

from benchlink.console.description import Description
from benchlink.core.hazard import Hazard
from benchlink.core.intent import matches_any


def refuse_cutting(description: Description, name: str) -> None:
    """Refuse to write a setting that the description says cuts the link.

    Raises:
        ValueError: with the reason, and how to change it all the same.
    """
    rules = description.hazards
    for held in rules.held if rules else ():
        if held.what is Hazard.LINK and matches_any(held.settings, name):
            why = f" ({held.why})" if held.why else ""
            alone = (
                " Its description allows it alone and last, which benchlink cannot yet."
                if held.alone_last
                else ""
            )
            msg = (
                f"may cut the link{why}.{alone} Leave it out here; change it by hand at"
                " the console, and connect again"
            )
            raise ValueError(msg)
