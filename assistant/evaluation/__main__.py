"""``python -m assistant.evaluation``: run the hearing bench by itself."""

from __future__ import annotations

import sys

try:
    from assistant.evaluation.command import app
except ModuleNotFoundError as missing:
    sys.exit(
        f"The hearing bench needs the library {missing.name}; install the extra 'bench' of "
        "assembly-assistant."
    )

app()
