"""Where the board listens: loopback, unless another address is given."""

from __future__ import annotations

import ipaddress
import re
import socket
from contextlib import suppress
from dataclasses import dataclass

DEFAULT_HOST = "127.0.0.1"
DEFAULT_PORT = 8642
HERE = "here"
_PLACE = re.compile(r"(?:(?P<host>\[[^\]\s]+\]|[^:\[\]\s]+)?:)?(?P<port>\d{1,5})?")


class BoardError(RuntimeError):
    """The board cannot be shown; the message is one sentence for the builder."""


@dataclass(frozen=True)
class Place:
    """An address and a port; port 0 lets the machine choose."""

    host: str = DEFAULT_HOST
    port: int = DEFAULT_PORT

    @property
    def loopback(self) -> bool:
        """Whether only this machine can reach it. A name other than localhost never counts."""
        with suppress(ValueError):
            return ipaddress.ip_address(self.host).is_loopback
        return False

    def url_host(self) -> str:
        """The host as a tablet has to write it."""
        host = self.host
        with suppress(ValueError):
            if ipaddress.ip_address(host).is_unspecified:
                host = _own_address()
        return f"[{host}]" if ":" in host else host


def parse_place(text: str) -> Place:
    """Read ``HOST:PORT``, ``HOST``, ``:PORT`` or ``PORT``; ``here`` or nothing is the default.

    Raises:
        BoardError: the text is not such a thing.
    """
    text = text.strip()
    if text == HERE:
        return Place()
    with suppress(ValueError):
        bare = text[1:-1] if text.startswith("[") and text.endswith("]") else text
        return Place(str(ipaddress.ip_address(bare)), DEFAULT_PORT)
    match = _PLACE.fullmatch(text if ":" in text or text.isdigit() else f"{text}:")
    if match is None:
        raise BoardError(
            f"'{text}' is not a place for the board; write HOST:PORT, such as 192.168.4.2:8642."
        )
    host = (match["host"] or DEFAULT_HOST).strip("[]")
    port = DEFAULT_PORT if match["port"] is None else int(match["port"])
    if port > 65535:
        raise BoardError(f"Port {port} does not exist; choose one from 1024 to 65535.")
    return Place(DEFAULT_HOST if host == "localhost" else host, port)


def bind(place: Place) -> socket.socket:
    """A listening socket at ``place``.

    Raises:
        BoardError: the address is not this machine's, or the port is taken.
    """
    try:
        family = socket.getaddrinfo(place.host, place.port, type=socket.SOCK_STREAM)[0][0]
        listener = socket.create_server((place.host, place.port), family=family)
    except OSError as fault:
        why = fault.strerror or str(fault)
        raise BoardError(
            f"The board cannot listen at {place.host} port {place.port} ({why}); "
            "choose another with --board HOST:PORT, or leave the board out."
        ) from None
    return listener


def _own_address() -> str:
    """This machine's address towards its network; nothing is sent to find it."""
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # TEST-NET-1, RFC 5737: reserved, never routed
        return str(probe.getsockname()[0])
    return socket.gethostname()
