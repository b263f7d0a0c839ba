"""A real server on a loopback port: live, through reconnects, and never in the session's way."""

from __future__ import annotations

import asyncio
import gc
import json
import socket
import threading
import weakref
from dataclasses import asdict, replace
from http.client import HTTPConnection

import pytest
import uvicorn
from uvicorn.server import ServerState

from assistant.board import address
from assistant.board.address import BoardError
from assistant.board.connections import waiting_bounded
from assistant.board.feed import Feed
from assistant.board.hearing import last_heard
from assistant.board.kinds.kind import Glance
from assistant.board.screen import BoardScreen
from assistant.board.serving import Board, serve_board
from assistant.board.starting import start_board
from assistant.board.together import ScreensTogether
from assistant.board.view import HeardLine, LastHeard, Snapshot
from assistant.dialogue.effects import Say
from assistant.dialogue.facts import StepOpened
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from assistant.dialogue.state import State
from assistant.dialogue.states import Doing
from assistant.language.hypothesis import Hypothesis, Recognition, Word, typed
from assistant.session.edges import Sound
from tests.board.kit import CONTEXT, WORDS, at, board
from tests.board.listener import stream

ANYWHERE = "127.0.0.1:0"


def fetch(url: str, path: str = "/", **headers: str) -> tuple[int, bytes]:
    """Status and body of a request to the board at ``url``."""
    host = url.removeprefix("http://").split("/")[0]
    connection = HTTPConnection(host, timeout=20)
    connection.request("GET", path, headers=headers)
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer.status, body


def test_a_board_listens_on_loopback_alone_by_default(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(address, "DEFAULT_PORT", 0)  # the real one may be taken on this machine
    with serve_board(CONTEXT) as one:
        assert one.address[0] == "127.0.0.1"
        assert one.url == f"http://127.0.0.1:{one.address[1]}/"
        assert one.token is None


def test_another_address_gets_a_token_and_serves_nothing_without() -> None:
    with serve_board(CONTEXT, "0.0.0.0:0") as one:
        assert one.token is not None
        assert len(one.token) >= 32
        assert one.url.endswith(f"/?token={one.token}")
        local = f"http://127.0.0.1:{one.address[1]}"
        for path in ("/", "/view", "/events", "/favicon.ico"):
            assert fetch(local, path)[0] == 401
        assert fetch(local, f"/?token={one.token}")[0] == 200
        with stream(f"{local}/?token={one.token}") as events:
            assert events.view()[1]["procedure"] == "Kettlebeck KB-2 board rig"


def test_two_boards_never_share_a_token() -> None:
    with serve_board(CONTEXT, "0.0.0.0:0") as one, serve_board(CONTEXT, "0.0.0.0:0") as other:
        assert one.token != other.token


def test_a_token_of_ones_own_is_kept_even_on_loopback_but_not_a_short_one() -> None:
    own = "fixed-token-on-the-tablet"
    with serve_board(CONTEXT, ANYWHERE, token=own) as one:
        assert fetch(one.url)[0] == 401
        assert fetch(one.url, f"/view?token={own}")[0] == 200
    with pytest.raises(BoardError, match="16 characters"):
        serve_board(CONTEXT, ANYWHERE, token="short")


def test_a_taken_port_is_said_in_one_sentence() -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(BoardError, match=f"port {port} .*--board"):
            start_board(CONTEXT, f"127.0.0.1:{port}")


def test_an_address_of_another_machine_is_said_in_one_sentence() -> None:
    with pytest.raises(BoardError, match=r"192\.0\.2\.7"):  # TEST-NET-1, RFC 5737
        start_board(CONTEXT, "192.0.2.7:8642")


def test_a_hundred_reconnects_show_what_is_now(served: Board) -> None:
    """Before each reconnect the work moves on; each connection ends without ceremony."""
    last: str | None = None
    before = State()
    for number in range(100):
        moment = Tightening(number % 2, number // 2 % 4) if number % 3 else TorqueAcknowledge(0)
        state = at("bolts", moment, job=f"KB2-{number}")
        served.screen.heard(Sound(typed(f"line {number}")))
        served.screen.state(state)
        served.screen.said(Say(f"answer {number}"))
        heard, before = HeardLine(typed(f"line {number}"), before), state
        expected = board(state, heard, (Say(f"answer {number}"),))
        with stream(served.url, last) as events:
            seen, view = events.view()
            assert view == json.loads(json.dumps(asdict(expected)))
        assert seen != last
        last = seen
        if number % 10 == 0:  # nothing has changed: the same view again, under the same id
            with stream(served.url, last) as events:
                assert events.view() == (last, view)


def test_every_watcher_sees_each_change_and_ids_rise(served: Board) -> None:
    with stream(served.url) as one, stream(served.url) as other:
        ids = [one.view()[0]]
        other.view()
        for index in range(4):
            served.screen.state(at("bolts", Tightening(0, index)))
            event, view = one.view()
            assert view["fasteners"]["fasteners"] == other.view()[1]["fasteners"]["fasteners"]
            due = [f["own"] for f in view["fasteners"]["fasteners"] if f["due"]]
            assert due == ["1324"[index]]  # crosswise
            ids.append(event)
    numbers = [int(i.rpartition("-")[2]) for i in ids]
    assert numbers == sorted(set(numbers))


def test_stopping_tells_the_tablets_and_frees_the_port(served: Board) -> None:
    with stream(served.url) as events:
        events.view()
        stopper = threading.Thread(target=served.stop)
        stopper.start()
        assert events.next()[0] == "off"
        stopper.join(20)
    socket.create_server(served.address[:2]).close()


def test_the_session_never_waits_for_a_board_that_nobody_reads(served: Board) -> None:
    """A connection that is open and not read holds nothing up and makes no queue grow."""
    with stream(served.url):
        for number in range(3000):
            served.screen.said(Say(f"sentence {number} " + "x" * 200))
    with stream(served.url) as events:
        assert events.view()[1]["said"][-1]["text"].startswith("Sentence 2999")


def test_a_fault_of_the_board_stays_at_the_board(served: Board) -> None:
    served.screen.state(replace(at("oil", Doing()), step="no_such_step"))
    assert fetch(served.url, "/view")[0] == 500
    served.screen.state(at("oil", Doing()))
    assert fetch(served.url, "/view")[0] == 200


def test_a_stopped_board_may_still_be_shown_things(served: Board) -> None:
    with stream(served.url) as events:
        events.view()
        served.stop()
        served.screen.state(at("oil", Doing()))
        served.screen.said(Say("still here"))


def test_half_open_connections_do_not_keep_a_tablet_out(served: Board) -> None:
    """Eighty that ask for nothing, and eighty that never end their question."""
    address = served.address[:2]
    silent = [socket.create_connection(address, timeout=20) for _ in range(80)]
    assert fetch(served.url, "/view")[0] == 200
    halves = [socket.create_connection(address, timeout=20) for _ in range(80)]
    for half in halves:
        half.sendall(b"GET /view HTTP/1.1\r\nHost: 127.0")
    assert fetch(served.url, "/view")[0] == 200
    assert silent[0].recv(1) == b""  # the one that had waited longest was closed
    for one in (*silent, *halves):
        one.close()


def test_a_connection_that_asks_for_nothing_is_closed_after_a_while() -> None:
    async def wait() -> bytes:
        loop = asyncio.get_running_loop()
        config = uvicorn.Config(lambda *_: None, http=waiting_bounded(patience_s=0.01))
        config.load()
        state = ServerState()
        server = await loop.create_server(
            lambda: waiting_bounded(patience_s=0.01)(config, state, {}),
            "127.0.0.1",
            0,
        )
        reader, writer = await asyncio.open_connection(*server.sockets[0].getsockname()[:2])
        got = await reader.read()
        writer.close()
        server.close()
        return got

    assert asyncio.run(wait()) == b""


def test_sentences_of_one_turn_stand_together_and_the_next_turn_replaces_them() -> None:
    feed = Feed()
    screen = BoardScreen(feed)
    screen.heard(Sound(typed("go on")))
    screen.state(at("oil", Doing()))
    screen.said(Say("one"))
    screen.recorded(StepOpened(step="oil", title="Oil the bearing"))
    screen.said(Say("two"))
    assert [s.text for s in feed.frame.snapshot.said] == ["one", "two"]
    screen.state(at("oil", Doing()))  # a timer's turn: nothing was heard
    screen.said(Say("three"))
    assert [s.text for s in feed.frame.snapshot.said] == ["three"]
    assert feed.frame.snapshot.heard == HeardLine(typed("go on"), State())
    assert [f.kind for f in feed.frame.snapshot.facts] == ["step_opened"]


def test_how_sure_the_recogniser_was_is_kept() -> None:
    feed = Feed()
    screen = BoardScreen(feed)
    at_glance = Glance(CONTEXT, State(), WORDS)
    hypothesis = Hypothesis((Word("step"), Word("done")), 0.934)
    screen.heard(Sound(Recognition((hypothesis,), "pocketsphinx")))
    assert last_heard(at_glance, feed.frame.snapshot.heard) == LastHeard("step done", 93)
    screen.heard(Sound(Recognition((), "pocketsphinx")))
    assert last_heard(at_glance, feed.frame.snapshot.heard) == LastHeard("…")


def test_screens_together_show_the_same() -> None:
    one, other = Feed(), Feed()
    both = ScreensTogether(BoardScreen(one), BoardScreen(other))
    both.heard(Sound(typed("go on")))
    both.state(at("oil", Doing()))
    both.said(Say("one"))
    both.recorded(StepOpened(step="oil", title="Oil the bearing"))
    assert one.frame.snapshot == other.frame.snapshot
    assert one.frame.snapshot.said == (Say("one"),)


def test_a_quiet_feed_beats_and_a_watcher_leaves_nothing_behind() -> None:
    feed = Feed()

    async def listen() -> weakref.ref[asyncio.AbstractEventLoop]:
        watch = feed.watch(0.01)
        first = await anext(watch)
        assert first == feed.frame
        assert await anext(watch) is None
        feed.publish(Snapshot(at("oil", Doing())))
        assert await anext(watch) == feed.frame
        await watch.aclose()
        return weakref.ref(asyncio.get_running_loop())

    loop = asyncio.run(listen())
    gc.collect()
    assert loop() is None, "the feed holds on to the connection"
