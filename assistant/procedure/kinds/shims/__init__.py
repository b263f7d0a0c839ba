"""Shims: chosen from a set so that a gap comes within its limits."""

from assistant.procedure.kinds.shims.kind import ShimsKind
from assistant.procedure.kinds.shims.model import ShimStep

__all__ = ["ShimStep", "ShimsKind"]
