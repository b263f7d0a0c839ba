"""What a tightening step sets on its wrench; the plan itself is with its kind."""

from assistant.procedure.kinds.tightening.plan import (
    adapter_of,
    passes_on,
    plan_of,
    plan_on,
    share_of,
    tolerance_of,
)

__all__ = ["adapter_of", "passes_on", "plan_of", "plan_on", "share_of", "tolerance_of"]
