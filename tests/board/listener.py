"""A plain client of the board's event stream on a real connection."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPResponse
from typing import Any
from urllib.parse import urlsplit


class Stream:
    """An open event stream."""

    def __init__(self, response: HTTPResponse) -> None:
        self._response = response

    def next(self) -> tuple[str, str, dict[str, Any]]:
        """The next event: (name, id, data).

        Raises:
            EOFError: the stream has ended.
        """
        fields: dict[str, str] = {}
        while True:
            line = self._response.readline().decode("utf-8")
            if not line:
                raise EOFError
            line = line.rstrip("\n")
            if not line and "data" in fields:
                return fields.get("event", ""), fields.get("id", ""), json.loads(fields["data"])
            name, _, value = line.partition(": ")
            fields[name] = value

    def view(self) -> tuple[str, dict[str, Any]]:
        """The next view: (id, view), passing over beats."""
        while True:
            name, event, data = self.next()
            if name == "view":
                return event, data["view"]


@contextmanager
def stream(url: str, last: str | None = None) -> Iterator[Stream]:
    """Connect to the stream of the board at ``url``, saying which event was seen last."""
    parts = urlsplit(url)
    assert parts.hostname is not None
    connection = HTTPConnection(parts.hostname, parts.port, timeout=20)
    headers = {} if last is None else {"Last-Event-ID": last}
    query = f"?{parts.query}" if parts.query else ""
    connection.request("GET", f"/events{query}", headers=headers)
    response = connection.getresponse()
    assert response.status == 200
    try:
        yield Stream(response)
    finally:
        response.close()
        connection.close()
