"""The board as a screen of the session: keeps the newest state, and never holds the work up.

Every call swaps an immutable snapshot; the view is built by the server's thread when a tablet is
there to see it, so that no fault of the board can reach the session.
"""

from __future__ import annotations

from dataclasses import replace

from assistant.board.feed import Feed
from assistant.board.view import HeardLine, Snapshot
from assistant.dialogue.effects import Say
from assistant.dialogue.facts import Fact
from assistant.dialogue.state import State
from assistant.session.edges import Sound

_FACTS = 12  # enough to find the last one worth showing
_SENTENCES = 12


class BoardScreen:
    """Implements :class:`assistant.session.edges.Screen` on a feed."""

    def __init__(self, feed: Feed) -> None:
        self._feed = feed
        self._now = Snapshot()
        self._turn_over = True

    def heard(self, sound: Sound) -> None:
        """Show what was heard; what is said next answers it."""
        self._turn_over = True
        self._show(replace(self._now, heard=HeardLine(sound.recognition, self._now.state)))

    def said(self, said: Say) -> None:
        """Show a sentence of the assistant below the others of the same turn."""
        before = () if self._turn_over else self._now.said
        self._turn_over = False
        self._show(replace(self._now, said=(*before, said)[-_SENTENCES:]))

    def recorded(self, fact: Fact) -> None:
        """Keep the latest facts."""
        self._show(replace(self._now, facts=(*self._now.facts, fact)[-_FACTS:]))

    def state(self, state: State) -> None:
        """Show the new state; the next sentence begins a new turn."""
        self._turn_over = True
        self._show(replace(self._now, state=state))

    def _show(self, snapshot: Snapshot) -> None:
        self._now = snapshot
        self._feed.publish(snapshot)
