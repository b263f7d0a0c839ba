"""Who is served, what is served, and that nothing but the board can be reached."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from itertools import product

import pytest
from anyio.from_thread import start_blocking_portal
from starlette.testclient import TestClient

from assistant.board.feed import Feed
from assistant.board.view import BoardView, Snapshot
from assistant.board.web import make_app
from assistant.dialogue.kinds.choice import Choosing
from assistant.dialogue.states import OutOfLimit
from assistant.procedure.fields import Text
from tests.board.kit import WORDS, at, board, reading

TOKEN = "kettlebeck-token-0123456789"
PATHS = ("/", "/view", "/events", "/favicon.ico", "/board.js", "/static/", "/docs", "/../view")
LOOPBACK = "http://127.0.0.1:8642"


def view_of(snapshot: Snapshot) -> BoardView:
    """The view of a snapshot."""
    return board(snapshot.state, snapshot.heard, snapshot.said, snapshot.facts)


def client(feed: Feed | None = None, token: str | None = None, base: str = LOOPBACK) -> TestClient:
    """A client of a board with ``feed``, closed so that its stream ends."""
    feed = feed or Feed()
    feed.close()
    return TestClient(make_app(feed, view_of, WORDS, token), base_url=base)


@pytest.fixture(scope="module")
def guarded() -> Iterator[TestClient]:
    """A client without the token; all its requests share one event loop."""
    with start_blocking_portal() as loop:
        one = client(token=TOKEN)
        one.portal = loop
        yield one


METHODS = ("GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS", "PATCH")
QUERIES = ("", "?token=", "?token=wrong", "?Token=" + TOKEN, f"?token=wrong&token={TOKEN}")
WITHOUT: tuple[dict[str, str], ...] = (
    {},
    {"authorization": "Bearer wrong-token"},
    {"authorization": f"Basic {TOKEN}"},
    {"authorization": f"Bearer {TOKEN}x"},
    {"authorization": f"Bearer {TOKEN[:-1]}"},
    {"authorization": "Bearer "},
    {"cookie": f"token={TOKEN}"},
    {"host": "127.0.0.1"},
    {"x-forwarded-for": "127.0.0.1"},
)


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize("method", METHODS)
def test_nothing_is_served_without_the_token(guarded: TestClient, path: str, method: str) -> None:
    for query, headers in product(QUERIES, WITHOUT):
        answer = guarded.request(method, path + query, headers=headers)
        assert answer.status_code == 401, (query, headers)
        assert "Kettlebeck" not in answer.text


@pytest.mark.parametrize("path", ["/", "/view", "/events"])
def test_the_token_opens_every_route_in_the_query_or_the_header(path: str) -> None:
    opened = client(token=TOKEN)
    assert opened.get(path, params={"token": TOKEN}).status_code == 200
    assert opened.get(path, headers={"authorization": f"bearer {TOKEN}"}).status_code == 200
    assert opened.get("/other", params={"token": TOKEN}).status_code == 404


def test_the_token_never_appears_in_what_is_served() -> None:
    opened = client(token=TOKEN)
    for path in ("/", "/view", "/events"):
        assert TOKEN not in opened.get(path, params={"token": TOKEN}).text


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH"])
def test_the_board_is_read_only(method: str) -> None:
    for path in ("/", "/view", "/events"):
        assert client().request(method, path).status_code == 405


@pytest.mark.parametrize(
    ("host", "status"),
    [
        ("127.0.0.1:8642", 200),
        ("localhost:8642", 200),
        ("localhost", 200),
        ("[::1]:8642", 200),
        ("127.9.9.9", 200),
        ("gearbox.example", 421),
        ("127.0.0.1.gearbox.example", 421),
        ("192.168.4.2:8642", 421),
        ("", 421),
    ],
)
def test_a_loopback_board_answers_to_loopback_names_alone(host: str, status: int) -> None:
    # A page elsewhere may point its own name at 127.0.0.1 ("DNS rebinding").
    assert client().get("/view", headers={"host": host}).status_code == status


def test_without_scripts_from_elsewhere_or_inline_surprises() -> None:
    answer = client().get("/")
    policy = answer.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "http" not in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "access-control-allow-origin" not in answer.headers


class Elements(HTMLParser):
    """Collects tags with their attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))


def test_the_page_names_no_other_address_and_has_no_inline_handlers() -> None:
    html = client().get("/").text
    assert not re.search(r"(?i)\b(?:https?|wss?|ftp):|url\(|@import|src=", html)
    page = Elements()
    page.feed(html)
    names = {name for _, attrs in page.seen for name in attrs}
    assert not {n for n in names if n.startswith("on") or n == "style"}
    links = [attrs["href"] for tag, attrs in page.seen if tag == "link"]
    assert links == ["data:,"]


def test_the_page_has_language_landmarks_and_a_polite_live_region() -> None:
    page = Elements()
    page.feed(client().get("/").text)
    tags = {tag for tag, _ in page.seen}
    assert {"header", "main", "footer", "h1"} <= tags
    assert ("html", {"lang": "en-US"}) in page.seen
    assert [a.get("id") for _, a in page.seen if a.get("aria-live") == "polite"] == ["now"]
    # Nothing to touch: no control of any kind.
    assert not tags & {"button", "a", "input", "select", "form", "textarea"}


@pytest.mark.parametrize(
    ("query", "shown"),
    [("dark", "dark"), ("light", "light"), ("contrast", "contrast"), ('"><b>', None)],
)
def test_the_look_can_be_asked_for(query: str, shown: str | None) -> None:
    page = Elements()
    page.feed(client().get("/", params={"look": query}).text)
    root = next(attrs for tag, attrs in page.seen if tag == "html")
    assert root.get("data-look") == shown


def test_words_of_a_procedure_cannot_break_out_of_the_page() -> None:
    feed = Feed()
    nasty: Text = "</script><script>alert(1)</script>"
    feed.publish(Snapshot(at("seal", Choosing(), job=nasty)))
    html = client(feed).get("/").text
    assert nasty not in html
    assert html.count("</script>") == 2


def test_the_stream_gives_the_whole_view_whatever_was_seen_before() -> None:
    feed = Feed()
    state = at("float", OutOfLimit(0), values={"float": {"": reading("float", "4.6 thou")}})
    feed.publish(Snapshot(state))
    current = client(feed).get("/view").json()
    for last in ("", current["id"], "elsewhere-7", "nonsense"):
        answer = client(feed).get("/events", headers={"last-event-id": last})
        assert answer.headers["content-type"].startswith("text/event-stream")
        assert f"id: {current['id']}\nevent: view\n" in answer.text
        data = re.search(r"^event: view\ndata: (.*)$", answer.text, re.MULTILINE)
        assert data is not None
        assert json.loads(data[1])["view"] == current["view"]
