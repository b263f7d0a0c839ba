"""Why a formula cannot be computed."""

from __future__ import annotations

from assistant.quantities.problem import Told


class FormulaError(ValueError):
    """A formula cannot be computed.

    ``told`` is one sentence for its writer, or the problem that the readings bring about.
    """

    def __init__(self, told: Told) -> None:
        self.told = told
        super().__init__(str(told))
