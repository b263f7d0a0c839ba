"""The hearing bench: every engine over every corpus, in quiet and in noise, as a table."""

from __future__ import annotations
