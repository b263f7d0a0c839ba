"""What can go wrong at the speech and audio edge, as one sentence for the builder."""

from __future__ import annotations


class SpeechError(Exception):
    """A recogniser, voice or audio device cannot be used; the message says what to do."""
