"""``python -m assistant.models``: the model commands by themselves."""

from __future__ import annotations

from assistant.models.command import app

app()
