"""What can go wrong with models, as one sentence for the user."""

from __future__ import annotations

from assistant.speech.errors import SpeechError


class ModelError(SpeechError):
    """A model cannot be found, fetched or trusted; the message says what to do."""
