"""JSGF in and out, after the W3C Note "JSpeech Grammar Format" (5 June 2000)."""

from __future__ import annotations

import re

from assistant.language.tree import (
    EMPTY,
    Choice,
    Node,
    Ref,
    Repeat,
    Rules,
    Sequence,
    Tag,
    Token,
    choice,
    optional,
    reachable,
    sequence,
)

_HEADER = re.compile(r"#JSGF\s+V1\.0(\s+[\w-]+)*\s*;")
_LEX = re.compile(
    r"""(?P<space>\s+|//[^\n]*|/\*.*?\*/)
      | (?P<rule><[^<>\s]+>)
      | (?P<tag>\{(?:[^{}\\]|\\.)*\})
      | (?P<weight>/[0-9.]+/)
      | (?P<quoted>"(?:[^"\\]|\\.)*")
      | (?P<mark>[=|;()\[\]*+])
      | (?P<word>[^\s=|;()\[\]*+<>{}/"]+)""",
    re.VERBOSE | re.DOTALL,
)


class GrammarError(ValueError):
    """A grammar file cannot be read; the message names file, line and remedy."""


class _Reader:
    def __init__(self, text: str, name: str) -> None:
        self._name = name
        self._text = text
        header = _HEADER.match(text)
        if header is None:
            self._at = 0
            raise self._fault("the file must begin with '#JSGF V1.0;'")
        self._at = header.end()
        self._next: tuple[str, str] = ("", "")
        self._advance()

    def _fault(self, message: str) -> GrammarError:
        line = self._text.count("\n", 0, self._at) + 1
        return GrammarError(f"{self._name}:{line}: {message}.")

    def _advance(self) -> None:
        while self._at < len(self._text):
            match = _LEX.match(self._text, self._at)
            if match is None:
                raise self._fault(f"'{self._text[self._at]}' does not fit here; quote or remove it")
            self._at = match.end()
            kind = match.lastgroup or ""
            if kind != "space":
                self._next = (kind, match.group())
                return
        self._next = ("end", "")

    def _take(self, text: str) -> None:
        if self._next[1] != text:
            raise self._fault(f"'{text}' is missing before '{self._next[1] or 'the end'}'")
        self._advance()

    def rules(self) -> dict[str, Node]:
        """Every rule of the file by name."""
        found: dict[str, Node] = {}
        while self._next[0] != "end":
            kind, text = self._next
            if text == "grammar":
                self._advance()
                self._advance()
                self._take(";")
                continue
            if text == "import":
                raise self._fault("imports are not taken; put the rule into this folder's files")
            if text == "public":
                self._advance()
                kind, text = self._next
            if kind != "rule":
                raise self._fault(f"a rule name in angle brackets is missing before '{text}'")
            name = text[1:-1]
            if name in found:
                raise self._fault(f"the rule <{name}> stands twice; rename one")
            self._advance()
            self._take("=")
            found[name] = self._choice()
            self._take(";")
        return found

    def _choice(self) -> Node:
        items: list[Node] = []
        weights: list[float] = []
        while True:
            if self._next[0] == "weight":
                weights.append(float(self._next[1].strip("/")))
                self._advance()
            items.append(self._sequence())
            if self._next[1] != "|":
                break
            self._advance()
        if weights and len(weights) != len(items):
            raise self._fault("either every alternative has a weight or none")
        return Choice(tuple(items), tuple(weights)) if weights else choice(*items)

    def _sequence(self) -> Node:
        items: list[Node] = []
        while True:
            kind, text = self._next
            item: Node
            if kind == "word":
                item = Token(text.lower())
                self._advance()
            elif kind == "quoted":
                item = sequence(*(Token(w.lower()) for w in text[1:-1].split()))
                self._advance()
            elif kind == "rule":
                item = EMPTY if text == "<NULL>" else Ref(text[1:-1])
                self._advance()
            elif kind == "tag":
                item = Tag(text[1:-1].strip())
                self._advance()
            elif text == "(":
                self._advance()
                item = self._choice()
                self._take(")")
            elif text == "[":
                self._advance()
                item = optional(self._choice())
                self._take("]")
            else:
                break
            if self._next[1] in ("*", "+"):
                item = Repeat(item, 0 if self._next[1] == "*" else 1, None)
                self._advance()
            items.append(item)
        if not items:
            raise self._fault("an alternative is empty; say <NULL> if that is meant")
        return sequence(*items)


def read_jsgf(text: str, name: str = "grammar") -> dict[str, Node]:
    """Read the rules of a JSGF text; ``name`` stands in error messages.

    Raises:
        GrammarError: the text is not JSGF of the kind described above.
    """
    return _Reader(text, name).rules()


def write_jsgf(rules: Rules, start: Node, name: str = "now") -> str:
    """Write ``start`` and the rules it needs as JSGF without tags, for a recogniser."""
    lines = ["#JSGF V1.0;", f"grammar {name};", f"public <{name}> = {_write(start)};"]
    lines += [f"<{r}> = {_write(rules[r])};" for r in reachable(rules, start)]
    return "\n".join(lines) + "\n"


def _write(node: Node) -> str:
    match node:
        case Token(word=word):
            return word
        case Ref(name=name):
            return f"<{name}>"
        case Tag():
            return ""
        case Sequence(items=items):
            parts = [p for p in (_group(i) for i in items) if p]
            return " ".join(parts) or "<NULL>"
        case Choice(items=items, weights=weights):
            written = [_write(i) for i in items]
            if weights:
                written = [f"/{w:g}/ {t}" for w, t in zip(weights, written, strict=True)]
            spoken = [w for w in written if w not in ("", "<NULL>")]
            joined = " | ".join(spoken)
            # an alternative without a sound makes the others optional
            return joined if len(spoken) == len(written) else f"[ {joined} ]"
        case Repeat(item=item, least=least, most=most):
            return _repeat(_group(item), least, most)


def _group(node: Node) -> str:
    text = _write(node)
    return f"( {text} )" if isinstance(node, Choice) else text


def _repeat(text: str, least: int, most: int | None) -> str:
    grouped = text if " " not in text or text.startswith("(") else f"( {text} )"
    head = " ".join([grouped] * least)
    if most is None:
        return f"{head} {grouped}*".strip()
    tail = ""
    for _ in range(most - least):
        tail = f"[ {grouped} {tail} ]".replace("  ", " ")
    return f"{head} {tail}".strip()
