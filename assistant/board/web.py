"""The routes: the page, the live stream, and the present view as JSON."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator, Callable
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.types import ASGIApp

from assistant.board.feed import Feed, Frame
from assistant.board.guard import Guard
from assistant.board.page import LOOKS, BoardPage, Look
from assistant.board.view import BoardView, Snapshot
from assistant.board.words import BoardWords

BEAT_S = 4.0  # the page calls the connection lost after three beats missed

_HEADERS = {
    "cache-control": "no-store",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "cross-origin-resource-policy": "same-origin",
}


def make_app(
    feed: Feed,
    view_of: Callable[[Snapshot], BoardView],
    words: BoardWords,
    token: str | None = None,
    beat_s: float = BEAT_S,
) -> ASGIApp:
    """The board as an ASGI application; with ``token``, nothing is served without it."""
    page = BoardPage(words)
    page_headers = {**_HEADERS, "content-security-policy": page.policy}
    built: list[tuple[str, str]] = []  # the newest frame's message: built once for all tablets

    def message(frame: Frame) -> str:
        if not built or built[0][0] != frame.id:
            view = json.dumps(asdict(view_of(frame.snapshot)), ensure_ascii=False)
            built[:] = [(frame.id, view)]
        return built[0][1]

    def present() -> dict[str, Any]:
        frame = feed.frame
        body = json.loads(message(frame))
        return {"id": frame.id, "now": _now(), "published": frame.published, "view": body}

    async def show_page(request: Request) -> Response:
        asked = request.query_params.get("look", "")
        look: Look = next((one for one in LOOKS if one == asked), "")
        return HTMLResponse(page.render(look, present()), headers=page_headers)

    async def show_view(request: Request) -> Response:
        return JSONResponse(present(), headers=_HEADERS)

    async def events() -> AsyncIterator[str]:
        yield "retry: 1000\n\n"
        async for frame in feed.watch(beat_s):
            if frame is None:
                yield f'event: beat\ndata: {{"now": "{_now()}"}}\n\n'
            else:
                # Whatever a client has seen before, it gets the whole view: nothing to catch up.
                stamps = f'"now": "{_now()}", "published": "{frame.published}"'
                data = f'{{{stamps}, "view": {message(frame)}}}'
                yield f"id: {frame.id}\nevent: view\ndata: {data}\n\n"
        yield "event: off\ndata: {}\n\n"

    async def show_events(request: Request) -> Response:
        return StreamingResponse(
            events(),
            media_type="text/event-stream",
            headers={**_HEADERS, "x-accel-buffering": "no"},
        )

    routes = [
        Route("/", show_page),
        Route("/view", show_view),
        Route("/events", show_events),
    ]
    return Guard(Starlette(routes=routes), token)


def _now() -> str:
    return datetime.now(UTC).isoformat()
