"""One name for one board, by however many paths it is reached."""

import ipaddress
import os
import socket
from typing import Final

from benchlink.link.tcp_wire import split_address

NETWORK: Final = ("socket", "rfc2217")
LOOPBACK: Final = "127.0.0.1"
PTY_FOLDERS: Final = ("/dev/pts/", "/dev/ttys")
"""Where Linux and macOS keep their pseudo terminals."""


def same_address(url: str) -> str:
    """What all spellings of an address share: where links lead, or host and port.

    A name is looked up, for `localhost` and 127.0.0.1 are one board; so are the plain
    and the RFC 2217 port of one number.

    Raises:
        UsageError: a network address without host or port.
    """
    if url.partition("://")[0] not in NETWORK:
        return os.path.realpath(url)
    host, port = split_address(url)
    return f"{_one_of(host)}:{port}"


def kind_of(url: str) -> str:
    """tty, pty, tcp, rfc2217 or replay."""
    scheme, found, _ = url.partition("://")
    if found:
        return {"socket": "tcp"}.get(scheme, scheme)
    return "pty" if is_pty(url) else "tty"


def is_pty(path: str) -> bool:
    """Whether it leads to a pseudo terminal."""
    return os.path.realpath(path).startswith(PTY_FOLDERS)


def _one_of(host: str) -> str:
    """The first of a host's addresses, IPv4 before IPv6; the name where none is known."""
    try:
        found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
    except OSError:
        return host.rstrip(".")
    known = [ipaddress.ip_address(str(each[4][0]).partition("%")[0]) for each in found]
    first = min(known, key=lambda one: (one.version, int(one)))
    return LOOPBACK if first.is_loopback else str(first)
