"""Units and relations as they are printed and shown: for the board and the record alike."""

from __future__ import annotations

import re
from collections.abc import Mapping

from assistant.quantities.amount import Relation

# Symbols after NIST SP 811, clause 6 (half-high dot for products) where they differ from our codes.
_SYMBOLS = {
    "N*m": "N·m",
    "lbf*ft": "lbf·ft",
    "lbf*in": "lbf·in",
    "cN*m": "cN·m",
    "ozf*in": "ozf·in",
    "um": "µm",
    "deg": "°",
    "degC": "°C",
    "degF": "°F",
    "delta_degC": "°C",
    "delta_degF": "°F",
    "degC/min": "°C/min",
    "degC/h": "°C/h",
    "degF/min": "°F/min",
    "degF/h": "°F/h",
    "1": "",
}

RELATIONS: Mapping[Relation, str] = {"eq": "", "lt": "< ", "le": "≤ ", "gt": "> ", "ge": "≥ "}
"""What stands before the number, for every relation but "between"."""


def symbol(unit: str) -> str:
    """The symbol of a unit code; empty for a bare number."""
    return _SYMBOLS.get(unit, unit)


_BEHIND_A_NUMBER = re.compile(
    rf"(?<=\d) ({'|'.join(re.escape(u) for u, sign in _SYMBOLS.items() if sign)})(?![\w*/])"
)


def with_symbols(text: str) -> str:
    """``text`` with the symbol of each unit code behind a number: ``8 N·m``, ``7 µm``."""
    return _BEHIND_A_NUMBER.sub(lambda found: _behind(symbol(found.group(1))), text)


def _behind(sign: str) -> str:
    return sign if sign == "°" else f" {sign}"
