"""How a line is meant; a voice that can sets cautions apart."""

from __future__ import annotations

from typing import Literal

Tone = Literal["plain", "caution", "readback", "ask"]
