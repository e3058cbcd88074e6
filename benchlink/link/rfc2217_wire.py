"""A serial port on another machine: `rfc2217://host:port` (RFC 2217)."""

from benchlink.link.bridged_wire import READ_SLICE, BridgedWire
from benchlink.link.ports import PortIdentity
from benchlink.link.tcp_wire import split_address
from benchlink.link.trouble import foreign_errors, open_trouble
from benchlink.units import Baud


def open_rfc2217(url: str, speed: Baud, device: PortIdentity) -> BridgedWire:
    """Connect and set the far port's speed, which then paces the wire."""
    from serial.rfc2217 import Serial  # noqa: PLC0415 - only where it is needed

    split_address(url)
    try:
        # A write time-out is not implemented there: setting one raises.
        port = Serial(url, baudrate=speed, timeout=READ_SLICE)
    except foreign_errors() as trouble:
        raise open_trouble(trouble, url) from trouble
    return BridgedWire(port, device, speed)
