"""Asks a PulseAudio or PipeWire server which microphone this program is really given."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Callable
from typing import Any

_PATIENCE_S = 2.0

SoundSource = Callable[[], str | None]
"""Tells by name where the captured sound comes from; None where that cannot be known."""


def microphone_in_use() -> str | None:
    """The source that the server records this process from, as the server describes it.

    None without a server, without its command ``pactl`` (16 or newer, for JSON), while nothing is
    recorded, and where this process records from several sources.
    """
    own = str(os.getpid())
    numbers = {
        output.get("source")
        for output in _listed("source-outputs")
        if output.get("properties", {}).get("application.process.id") == own
    }
    if len(numbers) != 1:
        return None
    (number,) = numbers
    return next((_name(s) for s in _listed("sources") if s.get("index") == number), None)


def _name(source: dict[str, Any]) -> str:
    return str(source.get("description") or source.get("name"))


def _listed(what: str) -> list[dict[str, Any]]:
    try:
        done = subprocess.run(
            ("pactl", "--format=json", "list", what),
            capture_output=True, check=True, timeout=_PATIENCE_S,
        )  # fmt: skip
        found = json.loads(done.stdout)
    except (OSError, ValueError, subprocess.SubprocessError):
        return []
    return [x for x in found if isinstance(x, dict)] if isinstance(found, list) else []
