"""Speech models that do not come in the package: what there is, where from, and fetching them."""

from __future__ import annotations
