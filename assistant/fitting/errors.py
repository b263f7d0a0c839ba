"""What can go wrong with a voice check, as one sentence."""

from __future__ import annotations


class FittingError(ValueError):
    """The check cannot run, or its profile is unusable: one sentence with the remedy."""
