"""What a session keeps things in, and what it speaks through and is shown on."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.journal.types import Journal
from assistant.session.clock import Clock
from assistant.session.edges import (
    Clips,
    Pictures,
    Screen,
    SpeechOutput,
)
from assistant.session.news import NewsStream
from assistant.session.snapshots import SnapshotFolder


@dataclass(frozen=True)
class SessionStore:
    """Where a session keeps things: the journal, sounds, pictures and snapshots."""

    journal: Journal
    clips: Clips | None = None
    pictures: Pictures | None = None
    snapshots: SnapshotFolder | None = None


@dataclass(frozen=True)
class SessionEdges:
    """What a session speaks through, is shown on, takes the time from and hears news of."""

    output: SpeechOutput
    screen: Screen
    clock: Clock
    news: NewsStream = field(default_factory=NewsStream)
