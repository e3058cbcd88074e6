"""Errors of the system and of pyserial become ours here, once, by a table."""

import errno
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from typing import Final

from benchlink.core.cautions import CUT_THE_POWER
from benchlink.errors import (
    LinkError,
    NoPortError,
    PortBusyError,
    PortLostError,
    PortRefusedError,
)
from benchlink.link.access import Access, access_to
from benchlink.link.holders import Holder, holders_of, runs
from benchlink.link.ports import PortIdentity, identify, list_ports

MODEM_PROGRAM: Final = "ModemManager"
"""Holds a USB modem for about 10 s after plugging, to see whether it dials."""

UNTOUCHED: Final = "Nothing was sent."


def foreign_errors() -> tuple[type[Exception], ...]:
    """What an open, read, write or close may raise; termios.error is no OSError."""
    common = (OSError, TypeError, ValueError)
    if sys.platform == "win32":
        return common
    import termios  # noqa: PLC0415 - POSIX only

    return (*common, termios.error)


def errno_of(trouble: BaseException) -> int | None:
    """The error number, also where pyserial kept it only in the cause."""
    link: BaseException | None = trouble
    while link is not None:
        for number in (getattr(link, "errno", None), *link.args[:1]):
            if isinstance(number, int):
                return number
        link = link.__cause__ or link.__context__
    return None


def open_trouble(trouble: Exception, url: str) -> LinkError:
    """Why a port did not open, for the person at the bench."""
    number = errno_of(trouble)
    explain = OPEN_TABLE.get(number) if number is not None else None
    explain = explain or _by_text(str(trouble))
    if explain:
        return explain(url)
    hint = f"{UNTOUCHED} Unplug it, plug it in again, and check the name and the speed."
    return LinkError(f"{url} does not open: {trouble}", hint=hint)


def lost(url: str) -> PortLostError:
    """An open port is no longer there."""
    cut = CUT_THE_POWER[0].lower() + CUT_THE_POWER[1:]
    return PortLostError(
        f"{url} went away while it was open",
        hint=f"If anything still moves: {cut}"
        " Then check the cable and plug it in again.",
    )


def no_port_at_all(message: str = "there is no serial port at all") -> NoPortError:
    """Nothing is plugged in that carries data."""
    return NoPortError(
        message,
        hint="A charge-only cable? Take one that carries data, plug it in, look again."
        " Without a board: `benchlink rehearse`.",
    )


def only_built_in(lines: Sequence[PortIdentity]) -> NoPortError:
    """No board is plugged in; what is there belongs to the computer itself."""
    names = ", ".join(line.url for line in lines)
    what = "is a serial line" if len(lines) == 1 else "are serial lines"
    hint = no_port_at_all().hint
    return NoPortError(
        "no board was found",
        details=(f"{names} {what} of the computer itself, and hardly a board",),
        hint=f"{UNTOUCHED} {hint} A board that does hang on such a line: name it,"
        f" `--port {lines[0].url}`.",
    )


def no_such_port(url: str, there: Sequence[PortIdentity]) -> NoPortError:
    """ENOENT: the likeliest cause first, then what is there instead."""
    if not there:
        return no_port_at_all(f"there is no port {url}, and no serial port at all")
    names = "; ".join(
        " ".join(filter(None, (port.url, port.product, port.serial))) for port in there
    )
    hint = f"There is: {names}."
    if not any(port.plugged_in for port in there):
        hint += f" That is the computer's own. {no_port_at_all().hint}"
    return NoPortError(f"there is no port {url}", hint=hint)


def refused(url: str, access: Access) -> PortRefusedError:
    """EACCES: what this user lacks, and the shortest way to it."""
    user, group = access.user, access.group
    again = "log out and in again"
    if access.in_effect:
        message = f"{url} may not be opened, though {user} is in its group {group}"
        hint = "Just plugged in? Its rights come two seconds later: try again."
    elif access.listed:
        message = f"{url} may not be opened yet: this login is older than the right"
        hint = f"{user} is in group {group} already: {again}."
    else:
        message = f"{url} may be opened by group {group} only, and {user} is not in it"
        hint = f"Type `sudo usermod -aG {group} {user}`, then {again}."
    return PortRefusedError(message, hint=f"{hint} {UNTOUCHED}")


def busy(
    url: str, holders: Sequence[Holder], usb: str = "", *, modem_watch: bool = False
) -> PortBusyError:
    """EBUSY, or EAGAIN from the lock: who holds it, and how to get it back."""
    if any(holder.program == MODEM_PROGRAM for holder in holders) or (
        modem_watch and not holders
    ):
        return PortBusyError(
            f"{url} is held by {MODEM_PROGRAM}, which looks whether it is a modem",
            hint=f"It lets go after about 10 s: try again. {_modem_rule(usb)}",
        )
    if holders:
        who = ", ".join(map(str, holders))
        hint = f"End that program first. {UNTOUCHED}"
        return PortBusyError(f"{url} is in use by {who}", hint=hint)
    return PortBusyError(
        f"{url} is in use by another program, of a user whose processes are hidden",
        hint=f"Close other programs that talk to serial ports. {UNTOUCHED}",
    )


def _modem_rule(usb: str) -> str:
    vendor, _, product = usb.partition(":")
    return (
        "To keep it away for good, a udev rule: "
        f'ATTRS{{idVendor}}=="{vendor or "...."}", '
        f'ATTRS{{idProduct}}=="{product or "...."}", ENV{{ID_MM_DEVICE_IGNORE}}="1"'
    )


def _missing(url: str) -> LinkError:
    return no_such_port(url, list_ports())


def _refused(url: str) -> LinkError:
    if sys.platform == "win32":
        return busy(url, ())
    try:
        return refused(url, access_to(url))
    except (OSError, KeyError):
        hint = f"Ask whoever looks after this machine. {UNTOUCHED}"
        return PortRefusedError(f"{url} may not be opened by this user", hint=hint)


def _busy(url: str) -> LinkError:
    holders = tuple(h for h in holders_of(url) if h.pid != os.getpid())
    return busy(url, holders, identify(url).usb, modem_watch=runs(MODEM_PROGRAM))


def _no_serial_port(url: str) -> LinkError:
    hint = f"Name a port such as /dev/ttyACM0. {UNTOUCHED}"
    return NoPortError(f"{url} is not a serial port", hint=hint)


def _folder(url: str) -> LinkError:
    hint = f"Name one port inside it. {UNTOUCHED}"
    return NoPortError(f"{url} is a folder, not a port", hint=hint)


def _going(url: str) -> LinkError:
    return PortLostError(
        f"{url} is there by name, but the device behind it is gone or going",
        hint=f"Unplug it, wait two seconds, plug it in again. {UNTOUCHED}",
    )


def _nobody(url: str) -> LinkError:
    hint = f"Is the simulated aircraft or the port server running? {UNTOUCHED}"
    return NoPortError(f"nobody listens at {url}", hint=hint)


def _unreachable(url: str) -> LinkError:
    hint = f"Check the name, the network and the port number. {UNTOUCHED}"
    return NoPortError(f"{url} cannot be reached", hint=hint)


Explain = Callable[[str], LinkError]


def _table(rows: Iterable[tuple[Explain, tuple[int, ...]]]) -> dict[int, Explain]:
    return {number: explain for explain, numbers in rows for number in numbers}


OPEN_TABLE: Final = _table(
    (
        (_missing, (errno.ENOENT, errno.ENOTDIR)),
        (_refused, (errno.EACCES, errno.EPERM)),
        (_busy, (errno.EBUSY, errno.EAGAIN)),
        (_no_serial_port, (errno.ENOTTY, errno.EINVAL)),
        (_folder, (errno.EISDIR,)),
        (_going, (errno.EIO, errno.ENXIO, errno.ENODEV)),
        (_nobody, (errno.ECONNREFUSED,)),
        (_unreachable, (errno.ETIMEDOUT, errno.EHOSTUNREACH, errno.ENETUNREACH)),
    )
)

TEXT_TABLE: Final[tuple[tuple[str, Explain], ...]] = (
    ("PermissionError(13", _busy),
    ("FileNotFoundError(2", _missing),
    ("Errno 111", _nobody),
    ("Connection refused", _nobody),
    ("timed out", _unreachable),
    ("Name or service not known", _unreachable),
    ("nodename nor servname", _unreachable),
)
"""Where only words tell: pyserial on Windows, and its network handlers."""


def _by_text(text: str) -> Explain | None:
    return next((explain for words, explain in TEXT_TABLE if words in text), None)
