"""What the process needs from a port, whatever it is made of."""

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from .fault_events import Path


class Port(Protocol):
    """The cable's host end."""

    @property
    def name(self) -> str:
        """What a client opens; empty while the cable is out."""
        ...

    def watch(self) -> tuple[int, ...]:
        """File descriptors that tell when to call `read`."""
        ...

    def room(self) -> int | None:
        """The file descriptor that tells when `write` has room; None: no client."""
        ...

    def read(self) -> bytes:
        """What the client has sent; never waits."""
        ...

    def write(self, data: bytes) -> int:
        """Send to the client; says how many bytes went, never waits."""
        ...

    def unplug(self) -> None:
        """The port goes away."""
        ...

    def plug(self, path: "Path") -> None:
        """The port comes back, under the same name only where the system allows."""
        ...

    def close(self) -> None:
        """Give everything back."""
        ...
