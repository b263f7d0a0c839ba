"""Guards every route: who may look at the board at all."""

from __future__ import annotations

import hmac
import ipaddress
from collections.abc import Mapping
from contextlib import suppress
from urllib.parse import parse_qs

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Receive, Scope, Send

_NO_TOKEN = "This board needs its token: open the address that the assistant printed.\n"
_STRANGE_HOST = "This board answers only to its own address.\n"
_READ_ONLY = "This board is read-only.\n"


class Guard:
    """Refuses every request without the token, and every request that is not a reading one.

    Without a token the board is on loopback; then a request must name loopback as its host, so
    that a page from elsewhere cannot reach it by pointing its own name at 127.0.0.1.
    """

    def __init__(self, app: ASGIApp, token: str | None) -> None:
        self._app = app
        self._token = token.encode() if token is not None else None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, or answer with a refusal."""
        if scope["type"] != "http":
            return  # no lifespan, no web sockets
        refusal = self._refusal(scope)
        if refusal is not None:
            await refusal(scope, receive, send)
            return
        await self._app(scope, receive, send)

    def _refusal(self, scope: Scope) -> PlainTextResponse | None:
        headers = {k.decode("latin-1").lower(): v for k, v in scope["headers"]}
        if self._token is not None:
            if not self._has_token(scope, headers):
                return PlainTextResponse(_NO_TOKEN, 401, {"www-authenticate": "Bearer"})
        elif not _is_loopback_name(headers.get("host", b"").decode("latin-1")):
            return PlainTextResponse(_STRANGE_HOST, 421)
        if scope["method"] not in ("GET", "HEAD"):
            return PlainTextResponse(_READ_ONLY, 405, {"allow": "GET, HEAD"})
        return None

    def _has_token(self, scope: Scope, headers: Mapping[str, bytes]) -> bool:
        assert self._token is not None
        scheme, _, given = headers.get("authorization", b"").partition(b" ")
        offered = [given.strip()] if scheme.lower() == b"bearer" else []
        query = parse_qs(scope["query_string"].decode("latin-1"))
        offered += [value.encode() for value in query.get("token", [])[:1]]
        return any(hmac.compare_digest(one, self._token) for one in offered)


def _is_loopback_name(host: str) -> bool:
    name = host.rsplit(":", 1)[0] if not host.endswith("]") else host
    name = name.strip("[]")
    if name.lower() == "localhost":
        return True
    with suppress(ValueError):
        return ipaddress.ip_address(name).is_loopback
    return False
