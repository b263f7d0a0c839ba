"""Tells a Whisper model which words to expect: a prompt made from a grammar's own phrases."""

from __future__ import annotations

import re

# Rule bodies of plain words only, such as <commands> = go on | say again;
_PLAIN_RULE = re.compile(r"^\s*<(?P<name>\w+)>\s*=\s*(?P<body>[\w\s'|()]+);", re.MULTILINE)
_EXAMPLES = ("1.5", "14", "90", "0.002", "26")
_MOST = 24


def prompt_from(jsgf: str, carrier: str = "reading") -> str:
    """A prompt of the phrases and units that ``jsgf`` lets be said, in the model's own spelling."""
    phrases = [p for name, options in _rules(jsgf) if _is_phrases(name, options) for p in options]
    said = [f"{p.capitalize()}." for p in phrases[:_MOST]]
    return " ".join((*said, *_readings(jsgf, carrier)))


def units_from(jsgf: str, carrier: str = "reading") -> str:
    """Only the readings of that prompt; empty for a grammar without readings."""
    return " ".join(_readings(jsgf, carrier))


def _readings(jsgf: str, carrier: str) -> list[str]:
    """The carrier word, an example number and each unit; the step's own unit stands last.

    Units and carrier are what is misheard; the numbers only show how numbers are written.
    """
    if not re.search(rf"\b{carrier}\b", jsgf):
        return []
    units = [options[-1] for name, options in _rules(jsgf) if "unit" in name]
    pairs = list(zip(_EXAMPLES, units, strict=False))
    return [f"{carrier.capitalize()} {number} {unit}." for number, unit in reversed(pairs)]


def _rules(jsgf: str) -> list[tuple[str, list[str]]]:
    return [
        (rule["name"], [" ".join(o.split()) for o in _alternatives(rule["body"])])
        for rule in _PLAIN_RULE.finditer(jsgf)
    ]


def _alternatives(body: str) -> list[str]:
    """The options of a body; one choice in brackets is multiplied out."""
    whole = body.strip()
    if whole.startswith("(") and whole.endswith(")") and whole.count("(") == 1:
        whole = whole[1:-1]
    if "(" not in whole:
        return whole.split("|")
    before, _, rest = whole.partition("(")
    inside, _, after = rest.partition(")")
    return [f"{before} {i} {re.sub(r'[()|].*', '', after)}" for i in inside.split("|")]


def _is_phrases(name: str, options: list[str]) -> bool:
    return name in ("commands", "phrases") or (
        "unit" not in name and any(len(o.split()) > 1 for o in options)
    )
