"""How much is said aloud: three lengths, of which the builder chooses one by voice.

``new`` says everything in whole sentences, as to somebody who has not worked with the assistant.
``usual`` says what is not known yet: a value with its verdict, and what to say the first few times.
``brief`` leaves out more of what stands on the screen. Whatever the length, everything is shown and
comes with "repeat that"; cautions, torques and values that do not pass are said whole.
"""

from __future__ import annotations

from typing import Literal, get_args

Talk = Literal["new", "usual", "brief"]

LENGTHS: tuple[Talk, ...] = get_args(Talk)
_ASKED_ALOUD = {"usual": 3, "brief": 1}
ALWAYS_KNOWN = 99
"""As if it had been said so often: what the builder has used needs no teaching."""


def says_all(talk: Talk | None) -> bool:
    """Whether everything is said; ``None`` is the talk of sessions older than the choice."""
    return talk in (None, "new")


def asks_aloud(talk: Talk | None, before: int) -> bool:
    """Whether a question is said that was said ``before`` times in this session; else it chimes."""
    return says_all(talk) or before < _ASKED_ALOUD[talk or "usual"]


def moved(talk: Talk | None, by: int) -> Talk | None:
    """The length ``by`` places on (shorter); None where there is no such length."""
    place = LENGTHS.index(talk or "new") + by
    return LENGTHS[place] if 0 <= place < len(LENGTHS) else None
