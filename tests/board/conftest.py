"""A browser and a board to look at, for the tests that see it drawn."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from assistant.board.serving import Board, serve_board
from tests.board.chromium import Tab, browser
from tests.board.kit import CONTEXT


@pytest.fixture(scope="module")
def tab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tab]:
    with browser(tmp_path_factory.mktemp("profile")) as one:
        yield one


@pytest.fixture
def served() -> Iterator[Board]:
    with serve_board(CONTEXT, "127.0.0.1:0") as one:
        yield one
