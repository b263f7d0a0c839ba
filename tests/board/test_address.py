"""Where the board listens, as the command line says it; and that it is optional."""

from __future__ import annotations

import subprocess
import sys

import pytest

from assistant.board import starting
from assistant.board.address import BoardError, Place, parse_place
from tests.board.kit import CONTEXT


@pytest.mark.parametrize(
    ("text", "host", "port"),
    [
        ("", "127.0.0.1", 8642),
        ("here", "127.0.0.1", 8642),
        ("9000", "127.0.0.1", 9000),
        (":9000", "127.0.0.1", 9000),
        ("localhost", "127.0.0.1", 8642),
        ("localhost:9000", "127.0.0.1", 9000),
        ("192.168.4.2", "192.168.4.2", 8642),
        ("192.168.4.2:0", "192.168.4.2", 0),
        ("[::1]:9000", "::1", 9000),
        ("[::1]", "::1", 8642),
        ("::1", "::1", 8642),
        ("bench.local", "bench.local", 8642),
        ("bench.local:9000", "bench.local", 9000),
    ],
)
def test_places(text: str, host: str, port: int) -> None:
    assert parse_place(text) == Place(host, port)


@pytest.mark.parametrize(
    "text", ["a b:1", "host:port", "1.2.3.4:99999", "http://x", "[::1", "h:1:2", "-x:y"]
)
def test_what_is_no_place_is_said_so(text: str) -> None:
    with pytest.raises(BoardError, match=r"\.$"):
        parse_place(text)


@pytest.mark.parametrize(
    ("host", "loopback"),
    [
        ("127.0.0.1", True),
        ("127.3.2.1", True),
        ("::1", True),
        ("0.0.0.0", False),
        ("::", False),
        ("192.168.4.2", False),
        ("bench.local", False),
        ("127.0.0.1.gearbox.example", False),
    ],
)
def test_only_loopback_addresses_go_without_a_token(host: str, loopback: bool) -> None:
    assert Place(host, 1).loopback is loopback


def test_the_main_job_does_without_the_extra() -> None:
    """What the command line imports of the board needs neither Starlette nor uvicorn."""
    script = (
        "import sys, assistant.board.starting, assistant.board.together, assistant.board.screen;"
        "sys.exit(bool({'starlette', 'uvicorn'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


def test_a_missing_extra_is_said_with_its_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise ModuleNotFoundError(name=name)

    monkeypatch.setattr(starting, "import_module", missing)
    with pytest.raises(BoardError, match="extra 'board'"):
        starting.start_board(CONTEXT, "127.0.0.1:0")
