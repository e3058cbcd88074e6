"""The tree of headers that the scoter console knows (SCPI-1999 volume 1, 6.2)."""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from .scoter_live import MEASURES
from .scoter_spelling import forms, header
from .settings import Owner

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from .settings import Setting

ORDERS: Final = (
    ("OUTPut:STATe", "/qonly/"),
    ("OUTPut:REASons", "/qonly/"),
    ("OUTPut:HALT", "/nquery/"),
    ("OUTPut:DRIVe", "/nquery/"),
    ("OUTPut:RELease", "/nquery/"),
    ("OUTPut:SPIN", "/nquery/"),
    *((query.removesuffix("?"), "/qonly/") for query in MEASURES),
    ("DISPlay:LAMP", "/nquery/"),
    ("SYSTem:ERRor", "/qonly/"),
    ("SYSTem:ERRor:NEXT", "/qonly/"),
    ("SYSTem:ERRor:COUNt", "/qonly/"),
    ("SYSTem:HELP:HEADers", "/qonly/"),
    ("SYSTem:VERSion", "/qonly/"),
    ("SYSTem:REBoot", "/nquery/"),
)
"""Headers that are no settings, with the mark of the help list."""


@dataclass(slots=True)
class Node:
    """One place in the tree."""

    nodes: "dict[str, Node]" = field(default_factory=dict)
    """By long and by short form, in capitals."""
    names: str | None = None
    """What stands here: an order's header, or a setting's canonical name."""


def grow(settings: "Iterable[Setting]") -> Node:
    """The tree of all orders and settings."""
    root = Node()
    for order, _ in ORDERS:
        _plant(root, order, order)
    for setting in settings:
        _plant(root, header(setting.name), setting.name)
    return root


def help_lines(settings: "Iterable[Setting]") -> "Iterator[str]":
    """All headers but the common ones, as the help list has them."""
    for order, mark in ORDERS:
        yield f":{order}{'?' if mark == '/qonly/' else ''}{mark}"
    for setting in settings:
        mark = "?/qonly/" if setting.owner is Owner.MAKER else ""
        yield f":{header(setting.name)}{mark}"


def _plant(root: Node, path: str, names: str) -> None:
    node = root
    for mixed in path.split(":"):
        long, short = forms(mixed)
        child = node.nodes.setdefault(long, Node())
        node.nodes[short] = child
        node = child
    node.names = names
