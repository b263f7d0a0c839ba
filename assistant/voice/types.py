"""What a voice must do."""

from __future__ import annotations

from typing import Protocol

from assistant.language.tone import Tone


class Voice(Protocol):
    """A speech synthesiser. ``speak`` returns when the utterance has been said."""

    name: str

    def speak(self, text: str, tone: Tone = "plain") -> None:
        """Say ``text`` aloud (or to a file, or not at all)."""

    def set_rate(self, words_per_minute: int) -> None:
        """Change the speaking rate."""

    def set_volume(self, fraction: float) -> None:
        """Change the loudness, 0 to 1."""
