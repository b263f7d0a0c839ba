"""Starts the board for the command line; says what to install if the extra is missing."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from assistant.board.address import BoardError
from assistant.dialogue.context import Context

if TYPE_CHECKING:
    from assistant.board.serving import Board


def start_board(
    context: Context, where: str = "", *, demo: bool = False, token: str | None = None
) -> Board:
    """Serve the board; see :func:`assistant.board.serving.serve_board`.

    Raises:
        BoardError: it cannot be served, or Starlette and uvicorn are not installed.
    """
    for needed in ("starlette", "uvicorn"):
        try:
            import_module(needed)
        except ModuleNotFoundError:
            raise BoardError(
                f"The board needs {needed}; "
                "install the assistant again with its extra 'board' (README, Quick start)."
            ) from None
    from assistant.board.serving import serve_board

    return serve_board(context, where, demo=demo, token=token)
