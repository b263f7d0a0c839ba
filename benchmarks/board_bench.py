"""How soon an event of the session stands on the glance board.

Prints the median and the 95th percentile over 200 events, from the call on the screen to the
event on a client's connection, and to the painted page in headless Chromium (Debian package
``chromium``). Run from the checkout: ``python -m benchmarks.board_bench``.
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

from assistant.board.serving import Board, serve_board
from assistant.dialogue.effects import Say
from assistant.dialogue.kinds.tightening.states import Tightening
from tests.board.chromium import browser
from tests.board.kit import CONTEXT, at
from tests.board.listener import stream

# Notes the instant, in ms since the epoch, at which each new sentence has been painted.
_WATCH = """
window.painted = {};
new MutationObserver(() => {
  const said = document.getElementById('said').innerText;
  requestAnimationFrame(() => setTimeout(() => {
    if (!(said in window.painted)) {
      window.painted[said] = performance.timeOrigin + performance.now();
    }
  }));
}).observe(document.getElementById('said'), { childList: true });
"""


def show(board: Board, number: int) -> float:
    """One event of the session; returns when it was, in seconds since the epoch."""
    before = time.time()
    board.screen.state(at("bolts", Tightening(number % 2, number // 2 % 4)))
    board.screen.said(Say(f"event {number}"))
    return before


def to_the_wire(board: Board, events: int, pause_s: float) -> list[float]:
    """Delays in ms until a client has read the event."""
    delays = []
    with stream(board.url) as client:
        client.view()
        for number in range(events):
            before = show(board, number)
            while client.view()[1]["said"] != [{"text": f"event {number}", "tone": "plain"}]:
                pass
            delays.append((time.time() - before) * 1000)
            time.sleep(pause_s)
    return delays


def to_the_page(board: Board, events: int, pause_s: float) -> list[float]:
    """Delays in ms until Chromium has painted the event."""
    with (
        tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile,
        browser(Path(profile)) as tab,
    ):
        tab.size(1280, 800)
        tab.open(board.url)
        tab.until("document.body.dataset.link === 'live'")
        tab.value(_WATCH)
        sent = []
        for number in range(events):
            sent.append(show(board, number))
            time.sleep(pause_s)
        tab.until(f"'event {events - 1}' in window.painted")
        painted = tab.value("window.painted")
    seen = [(painted.get(f"event {n}"), at_s) for n, at_s in enumerate(sent)]
    return [shown - at_s * 1000 for shown, at_s in seen if shown is not None]


def row(name: str, events: int, delays: Sequence[float]) -> str:
    """A line of the table."""
    ordered = sorted(delays)
    high = ordered[max(0, -(-len(ordered) * 95 // 100) - 1)]
    return (
        f"{name:<34}{len(ordered):>4} of {events:<5}"
        f"{statistics.median(ordered):>9.1f}{high:>9.1f}{ordered[-1]:>9.1f}"
    )


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, default=200)
    parser.add_argument("--pause-ms", type=float, default=60.0, help="between two events")
    asked = parser.parse_args()
    print(f"{'from the session to':<34}{'events':>11}{'median':>12}{'95th':>9}{'worst':>9}   (ms)")
    with serve_board(CONTEXT, "127.0.0.1:0") as board:
        wire = to_the_wire(board, asked.events, asked.pause_ms / 1000)
        print(row("a client's connection", asked.events, wire))
        page = to_the_page(board, asked.events, asked.pause_ms / 1000)
        print(row("the painted page (Chromium)", asked.events, page))


if __name__ == "__main__":
    main()
