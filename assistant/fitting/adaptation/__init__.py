"""Fits the bundled acoustic model to one speaker: a transform of its means (MLLR)."""
