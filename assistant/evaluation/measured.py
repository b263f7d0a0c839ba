"""What a run of the hearing bench is about: one listener, and how its answers are judged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from assistant.evaluation.hearing import Listener
from assistant.language import Language
from assistant.language.policy import Policy


@dataclass(frozen=True)
class MeasuredListener:
    """A listener by ``name``; ``tell`` is called with a line of progress now and then.

    The same ``seed`` gives the same sounds.
    """

    name: str
    load: Callable[[], Listener]
    language: Language
    trust: Policy
    seed: int = 1
    tell: Callable[[str], None] = lambda _: None
