"""Tells a Whisper model which words to expect: a prompt made from a grammar's own phrases."""

from __future__ import annotations

import re

# Rule bodies of plain words only, such as <commands> = go on | say again;
_PLAIN_RULE = re.compile(r"^\s*<(?P<name>\w+)>\s*=\s*(?P<body>[\w\s'|()]+);", re.MULTILINE)
CARRIER = "reading"
"""The word before a value in the English grammars, which alone have a second listener."""
_EXAMPLES = ("1.5", "14", "90", "0.002", "26")
_DIGITS = ("Zero three.", "One four.", "Two point five.", "Six nine.", "Seven eight.")
"""Digits said one by one, each of them once, where the grammar waits for them: without, the model
takes digits cut close for other words of the prompt ("six" for "speak")."""
_MOST = 24


def prompt_from(jsgf: str, carrier: str = CARRIER) -> str:
    """A prompt of the phrases and units that ``jsgf`` lets be said, in the model's own spelling."""
    phrases = [p for name, options in _rules(jsgf) if _is_phrases(name, options) for p in options]
    said = [f"{sentence(p)}." for p in phrases[:_MOST]]
    digits = _DIGITS if "<each_digit>" in jsgf else ()
    return " ".join((*said, *digits, *_readings(jsgf, carrier)))


def sentence(phrase: str) -> str:
    """``phrase`` as the model writes it: a capital at its beginning, and in "I"."""
    return re.sub(r"\bi\b", "I", phrase[:1].upper() + phrase[1:])


def _readings(jsgf: str, carrier: str) -> list[str]:
    """The carrier word, an example number and each unit; the step's own unit stands last.

    Units and carrier are what is misheard; the numbers only show how numbers are written.
    """
    if not re.search(rf"\b{carrier}\b", jsgf):
        return []
    units = [_plural(options) for name, options in _rules(jsgf) if "unit" in name]
    pairs = list(zip(_EXAMPLES, units, strict=False))
    return [f"{carrier.capitalize()} {number} {unit}." for number, unit in reversed(pairs)]


def _plural(options: list[str]) -> str:
    """The last of the options that begin like the first: "pound feet" of "pound foot"."""
    return [o for o in options if o[:3] == options[0][:3]][-1]


def _rules(jsgf: str) -> list[tuple[str, list[str]]]:
    return [(rule["name"], _expanded(rule["body"])) for rule in _PLAIN_RULE.finditer(jsgf)]


def _expanded(body: str) -> list[str]:
    """Every phrase of a body of words, choices and brackets, in order."""
    tokens = re.findall(r"[()|]|[^\s()|]+", body)

    def choice() -> list[str]:
        phrases = sequence()
        while tokens and tokens[0] == "|":
            tokens.pop(0)
            phrases += sequence()
        return phrases

    def sequence() -> list[str]:
        phrases = [""]
        while tokens and tokens[0] not in "|)":
            token = tokens.pop(0)
            options = [token]
            if token == "(":
                options = choice()
                tokens[:1] = []  # the closing bracket
            phrases = [f"{p} {o}".strip() for p in phrases for o in options]
        return phrases

    return choice()


def _is_phrases(name: str, options: list[str]) -> bool:
    return name in ("commands", "phrases") or (
        "unit" not in name and any(len(o.split()) > 1 for o in options)
    )
