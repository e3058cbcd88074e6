"""Who may open a port: its real group, and whether this login has it."""

import os
from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Access:
    """The rights around one port."""

    user: str
    group: str
    """Group of the port itself: it differs from system to system."""
    listed: bool
    """The group file names this user."""
    in_effect: bool
    """This login already carries the group."""


def access_to(port: str, stat: Callable[[str], os.stat_result] = os.stat) -> Access:
    """Look the rights up (POSIX only).

    Raises:
        OSError: the port is gone.
        KeyError: its group or this user has no name.
    """
    import grp  # noqa: PLC0415 - POSIX only
    import pwd  # noqa: PLC0415 - POSIX only

    number = stat(port).st_gid
    group = grp.getgrgid(number)
    user = pwd.getpwuid(os.getuid())
    return Access(
        user=user.pw_name,
        group=group.gr_name,
        listed=user.pw_name in group.gr_mem or user.pw_gid == number,
        in_effect=number in {*os.getgroups(), os.getegid()},
    )
