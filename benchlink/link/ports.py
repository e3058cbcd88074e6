"""Which ports there are, and where a board went after it changed its path."""

import json
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

BY_ID: Final = Path("/dev/serial/by-id")
"""Links that keep their name however often an adapter is plugged (Linux, udev)."""

SYS_TTY: Final = Path("/sys/class/tty")
"""What the Linux kernel knows of each terminal line."""

SCAN_TRIES: Final = 3
"""pyserial 3.5 raises TypeError when an adapter vanishes while it looks."""

NO_HARDWARE: Final = "0"
"""A legacy line whose `type` is 0 has no chip behind it (serial_core.h)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PortIdentity:
    """A port, and what makes it the same one when it comes back elsewhere."""

    url: str
    """A device path, `socket://host:port` or `rfc2217://host:port`."""
    product: str = ""
    serial: str = ""
    """Serial number of the adapter or board; may be empty, clones may share one."""
    location: str = ""
    """Where on the bus, with the interface after a colon where there are several."""
    stable_path: str = ""
    usb: str = ""
    """Vendor and product, `1209:0001` in hex; empty where it is not USB."""
    console: str = ""
    """What an announced simulated aircraft speaks; empty for everything else."""

    @property
    def plugged_in(self) -> bool:
        """False for a serial line of the computer itself, which is always there."""
        return any((self.usb, self.product, self.serial, self.console))

    @property
    def interface(self) -> str:
        """Which of several interfaces of one device."""
        return self.location.partition(":")[2]


Scan = Callable[[], tuple[PortIdentity, ...]]
"""Looks at the system once."""


def system_ports() -> tuple[PortIdentity, ...]:
    """Ports with hardware behind them; opens none of them."""
    from serial.tools.list_ports import comports  # noqa: PLC0415 - 11 ms to import

    stable = stable_paths()
    for _ in range(SCAN_TRIES):
        try:
            found = sorted(comports())
        except (TypeError, OSError):
            continue
        return tuple(
            PortIdentity(
                url=port.device,
                product=port.product or "",
                serial=port.serial_number or "",
                location=port.location or "",
                stable_path=stable.get(os.path.realpath(port.device), ""),
                usb=f"{port.vid:04x}:{port.pid:04x}" if port.vid is not None else "",
            )
            for port in found
            if has_hardware(port.name)
        )
    return ()


def stable_paths(folder: Path = BY_ID) -> dict[str, str]:
    """Device path to its lasting name; empty where the system keeps none."""
    try:
        return {str(link.resolve()): str(link) for link in sorted(folder.iterdir())}
    except OSError:
        return {}


def has_hardware(name: str, sys_tty: Path = SYS_TTY) -> bool:
    """False for the legacy lines that exist on every machine, chip or not."""
    try:
        return (sys_tty / name / "type").read_text().strip() != NO_HARDWARE
    except OSError:
        return True


def announced(folder: Path | None) -> tuple[PortIdentity, ...]:
    """Simulated aircraft that announced themselves and still run."""
    if folder is None:
        return ()
    try:
        files = sorted(folder.glob("*.json"))
    except OSError:
        return ()
    found = (_announcement(file) for file in files)
    return tuple(identity for identity in found if identity is not None)


def _announcement(file: Path) -> PortIdentity | None:
    try:
        told: object = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    if not isinstance(told, dict):
        return None
    url, pid = told.get("port"), told.get("pid")
    if not isinstance(url, str) or not isinstance(pid, int) or not _runs(pid):
        return None
    return PortIdentity(
        url=url,
        product=str(told.get("product", "")),
        serial=str(told.get("serial", "")),
        console=str(told.get("console", "")),
    )


def _runs(pid: int) -> bool:
    if sys.platform == "win32":  # signal 0 would end the process there
        return pid > 0
    if pid <= 0:  # the whole process group answers for these
        return False
    try:
        os.kill(pid, 0)
    except PermissionError:
        return True
    except (OSError, OverflowError):
        return False
    return True


def list_ports(
    simulated_folder: Path | None = None, *, scan: Scan = system_ports
) -> tuple[PortIdentity, ...]:
    """Every port worth trying, simulated aircraft last."""
    return (*scan(), *announced(simulated_folder))


def identify(
    url: str, simulated_folder: Path | None = None, *, scan: Scan = system_ports
) -> PortIdentity:
    """What is known about a port named by the person; its `url` stays as typed."""
    path = os.path.realpath(url)
    for port in list_ports(simulated_folder, scan=scan):
        if url in {port.url, port.stable_path} or path == os.path.realpath(port.url):
            return replace(port, url=url)
    return PortIdentity(url=url)


def find_again(
    device: PortIdentity,
    simulated_folder: Path | None = None,
    *,
    scan: Scan = system_ports,
) -> tuple[PortIdentity, ...]:
    """Ports that may be this board, on whatever path; the most likely first.

    More than one means that only the board's own words can tell them apart.
    """
    found = list_ports(simulated_folder, scan=scan)
    same = [port for port in found if _same(device, port)]
    at_home = [port for port in same if device.location == port.location != ""]
    return tuple(at_home or same)


def _same(device: PortIdentity, port: PortIdentity) -> bool:
    if not device.usb and not device.serial:
        return port.url == device.url
    return (port.usb, port.serial, port.interface, port.console) == (
        device.usb,
        device.serial,
        device.interface,
        device.console,
    )
