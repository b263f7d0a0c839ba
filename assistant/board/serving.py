"""Starts the board's server beside a session, and ends it. Needs the extra ``board``."""

from __future__ import annotations

import socket
from dataclasses import dataclass
from functools import partial
from secrets import token_urlsafe
from threading import Thread
from types import TracebackType

import uvicorn

from assistant.board.address import BoardError, Place, bind, parse_place
from assistant.board.build import build_view
from assistant.board.connections import waiting_bounded
from assistant.board.feed import Feed
from assistant.board.screen import BoardScreen
from assistant.board.view import BoardView, Snapshot
from assistant.board.web import make_app
from assistant.board.words import BoardWords, load_words
from assistant.dialogue.context import Context

_SHORTEST_TOKEN = 16
_CONNECTIONS = 64
_LEAVE_S = 3.0


@dataclass
class Board:
    """A board that is being served: give ``screen`` to the session and ``url`` to the builder."""

    screen: BoardScreen
    url: str
    token: str | None
    feed: Feed
    _server: uvicorn.Server
    _thread: Thread
    _listener: socket.socket
    _address: tuple[str, int]

    @property
    def address(self) -> tuple[str, int]:
        """The address and port it listens on."""
        return self._address

    def stop(self) -> None:
        """Tell the tablets that the board is off, and free the port."""
        self.feed.close()
        self._server.should_exit = True
        self._thread.join(_LEAVE_S)
        self._listener.close()

    def __enter__(self) -> Board:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        fault: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.stop()


def serve_board(
    context: Context, where: str = "", *, demo: bool = False, token: str | None = None
) -> Board:
    """Serve the board for a session with ``context`` at ``where`` (``HOST:PORT``).

    By default it listens on 127.0.0.1 alone, without a token. Any other address gets a token,
    ``token`` or a new one, that every request must carry; ``url`` contains it.

    Raises:
        BoardError: the text is not a place, not this machine's, or taken; or the token is short.
    """
    place = parse_place(where)
    if token is not None and len(token) < _SHORTEST_TOKEN:
        raise BoardError(f"A board's token has at least {_SHORTEST_TOKEN} characters.")
    if token is None and not place.loopback:
        token = token_urlsafe(24)
    words = load_words(context.procedure.language)
    listener = bind(place)
    feed = Feed()
    view_of: partial[BoardView] = partial(_view, context, words, demo)
    config = uvicorn.Config(
        make_app(feed, view_of, words, token),
        http=waiting_bounded(),
        loop="asyncio",
        ws="none",
        lifespan="off",
        log_level="critical",  # the terminal belongs to the session; the page shows a lost board
        access_log=False,  # addresses carry the token
        server_header=False,
        limit_concurrency=_CONNECTIONS,
        timeout_graceful_shutdown=1,
    )
    server = uvicorn.Server(config)
    thread = Thread(target=server.run, args=([listener],), name="board", daemon=True)
    thread.start()
    address = listener.getsockname()[:2]
    reached = Place(place.host, address[1])
    query = f"?token={token}" if token is not None else ""
    url = f"http://{reached.url_host()}:{reached.port}/{query}"
    return Board(BoardScreen(feed), url, token, feed, server, thread, listener, address)


def _view(context: Context, words: BoardWords, demo: bool, snapshot: Snapshot) -> BoardView:
    return build_view(context, snapshot, words, demo)
