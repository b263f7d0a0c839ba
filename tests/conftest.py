"""Settings common to all tests."""

from __future__ import annotations

from hypothesis import settings

# No timing assertions: a loaded machine must not turn a property test red.
settings.register_profile("bench", deadline=None)
settings.load_profile("bench")
