"""``python -m assistant.evaluation``: run the hearing bench by itself."""

from __future__ import annotations

from assistant.evaluation.command import app

app()
