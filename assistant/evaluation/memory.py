"""How much memory this process has used at most."""

from __future__ import annotations

import sys


def peak_memory_mb() -> float | None:
    """In MB (2^20 bytes); None where the system does not tell (Windows)."""
    if sys.platform == "win32":
        return None
    import resource

    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / 2**20 if sys.platform == "darwin" else used / 2**10  # bytes there, KB here
