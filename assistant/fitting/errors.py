"""What can go wrong with a voice check, as one sentence."""

from __future__ import annotations


class FittingError(ValueError):
    """The check or its profile cannot be had; the message is one sentence with the remedy."""
