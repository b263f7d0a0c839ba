"""The dialogue: a pure function (state, event) -> (state, effects).

The step kinds and the frame around them are loaded first, so that whoever uses any part of the
dialogue finds the owner of every state.
"""

from __future__ import annotations

from assistant.dialogue import frame, kinds

__all__ = ["frame", "kinds"]
