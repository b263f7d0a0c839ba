"""Rates with their intervals, and word error rates, by independent libraries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Rate:
    """``hits`` of ``tries``, with the Wilson score interval at 95 % (from scipy)."""

    hits: int
    tries: int

    @property
    def value(self) -> float:
        """The share, 0 to 1; not a number without tries."""
        return self.hits / self.tries if self.tries else float("nan")

    @property
    def interval(self) -> tuple[float, float]:
        """Lower and upper end, 0 to 1."""
        if not self.tries:
            return 0.0, 1.0
        from scipy.stats import binomtest  # takes a second to import

        found = binomtest(self.hits, self.tries).proportion_ci(0.95, "wilson")
        return float(found.low), float(found.high)

    def __str__(self) -> str:
        if not self.tries:
            return "-"
        low, high = self.interval
        return f"{100 * self.value:.1f} ({100 * low:.1f}-{100 * high:.1f})"


def word_errors(said: Sequence[str], heard: Sequence[str]) -> float:
    """Word error rate over all utterances, 0 upwards (from jiwer)."""
    if not said:
        return float("nan")
    import jiwer

    return float(jiwer.wer(list(said), list(heard)))


def quantile(values: Sequence[float], share: float) -> float:
    """The value that ``share`` of ``values`` do not exceed; not a number without values."""
    return float(np.quantile(values, share)) if values else float("nan")
