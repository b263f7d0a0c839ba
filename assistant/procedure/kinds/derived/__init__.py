"""Derived value: computed from earlier readings by a formula."""

from assistant.procedure.kinds.derived.kind import DerivedKind
from assistant.procedure.kinds.derived.model import DerivedStep

__all__ = ["DerivedKind", "DerivedStep"]
