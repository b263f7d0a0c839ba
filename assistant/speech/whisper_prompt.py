"""Tells a Whisper model which words to expect: a prompt made from a grammar's own phrases."""

from __future__ import annotations

import re

# Rule bodies of plain words only, such as <commands> = go on | say again;
_PLAIN_RULE = re.compile(r"^\s*<(?P<name>\w+)>\s*=\s*(?P<body>[\w\s'|()]+);", re.MULTILINE)
_EXAMPLES = ("1.5", "14", "90", "0.002", "26")
_MOST = 24


def prompt_from(jsgf: str, carrier: str = "reading") -> str:
    """A prompt of the phrases and units that ``jsgf`` lets be said, in the model's own spelling.

    Readings are shown as the carrier word, an example number and a unit, because it is the
    units and the carrier that are misheard; the numbers only show how numbers are written.
    """
    phrases: list[str] = []
    units: list[str] = []
    for rule in _PLAIN_RULE.finditer(jsgf):
        options = [" ".join(o.split()) for o in re.sub(r"[()]", " ", rule["body"]).split("|")]
        if "unit" in rule["name"]:
            units.append(options[-1])
        elif any(len(o.split()) > 1 for o in options) or rule["name"] in ("commands", "phrases"):
            phrases += options
    said = [p.capitalize() for p in phrases[:_MOST]]
    if carrier in jsgf:
        pairs = zip(_EXAMPLES, units, strict=False)
        said += [f"{carrier.capitalize()} {number} {unit}" for number, unit in pairs]
    return " ".join(f"{s}." for s in said)
