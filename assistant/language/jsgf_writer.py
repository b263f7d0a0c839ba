"""Writes a grammar tree as JSGF that small recognisers take: plain words, no quotes, no recursion.

PocketSphinx 5.1 accepts neither an empty expansion nor a quoted word, so nothing spoken is
written as ``<NULL>`` and a word that would need quotes is refused.
"""

from __future__ import annotations

import re

from assistant.language.tree import (
    Alternatives,
    Grammar,
    GrammarError,
    Node,
    Optional,
    Repeat,
    RuleRef,
    Sequence,
    Tag,
    Token,
    reachable,
)

_PLAIN = re.compile(r"[^;=|*+<>()\[\]{}\"/\s\\]+")


def write_jsgf(grammar: Grammar, start: str, tags: bool = False) -> str:
    """JSGF text with ``start`` as its one public rule.

    ``tags``: keep the meaning tags; recognisers ignore them, so they are left out by default.

    Raises:
        GrammarError: a word cannot be written without quotes.
    """
    name = re.sub(r"\W", "_", grammar.name)
    lines = ["#JSGF V1.0;", f"grammar {name};", ""]
    for rule in reachable(grammar, start):
        public = "public " if rule == start else ""
        lines.append(f"{public}<{rule}> = {_Writer(tags).top(grammar.body(rule))};")
    return "\n".join(lines) + "\n"


class _Writer:
    def __init__(self, tags: bool) -> None:
        self._tags = tags

    def top(self, node: Node) -> str:
        return self._alternatives(node) if isinstance(node, Alternatives) else self._items(node)

    def _alternatives(self, node: Alternatives) -> str:
        if not node.options:
            return "<VOID>"
        texts = [self._items(option) for option in node.options]
        if node.weights:
            texts = [f"/{w:g}/ {t}" for w, t in zip(node.weights, texts, strict=True)]
        return " | ".join(texts)

    def _items(self, node: Node) -> str:
        if not isinstance(node, Sequence):
            return self._item(node)
        parts = [self._item(item) for item in node.items if self._tags or not isinstance(item, Tag)]
        if not parts or (self._tags and isinstance(node.items[0], Tag)):
            parts.insert(0, "<NULL>")
        return " ".join(p for p in parts if p)

    def _item(self, node: Node) -> str:
        match node:
            case Token(text=text):
                if _PLAIN.fullmatch(text) is None:
                    raise GrammarError(f"The word '{text}' needs quotes; use plain letters.")
                return text
            case Tag(text=text):
                escaped = re.sub(r"([\\{}])", r"\\\1", text)
                return f"{{{escaped}}}"
            case RuleRef(name=name):
                return f"<{name}>"
            case Sequence(items=items):
                if not self._tags and len(items) == 2 and isinstance(items[1], Tag):
                    return self._item(items[0])
                return f"({self._items(node)})"
            case Alternatives():
                return f"({self._alternatives(node)})" if node.options else "<VOID>"
            case Optional(item=item):
                return f"[{self.top(item)}]"
            case Repeat(item=item, at_least=at_least):
                return f"({self.top(item)}){'+' if at_least else '*'}"
