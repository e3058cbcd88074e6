"""`benchlink ports`: what a board could be plugged into."""

from benchlink.faces.arguments import Given
from benchlink.faces.exit_codes import ExitCode
from benchlink.faces.output import give
from benchlink.faces.plain_person import PlainPerson
from benchlink.faces.wiring import ports
from benchlink.link.ports import PortIdentity
from benchlink.link.trouble import no_port_at_all


def run(given: Given) -> int:
    """List every port with what tells it from the others."""
    found = ports()
    if not found:
        raise no_port_at_all()
    width = max(len(port.url) for port in found)
    lines = [
        f"{p.url:<{width}}  {_what(p)} {p.serial} {p.stable_path}".rstrip()
        for p in found
    ]
    data = [
        {
            "url": p.url,
            "product": p.product,
            "serial": p.serial,
            "stable_path": p.stable_path,
        }
        for p in found
    ]
    give(given, data, lines, PlainPerson())
    return ExitCode.SAME


def _what(port: PortIdentity) -> str:
    return port.product or (
        "" if port.plugged_in else "(the computer's own, no board?)"
    )
