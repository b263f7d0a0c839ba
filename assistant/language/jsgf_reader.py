"""Reads JSGF V1.0 (W3C Note, 5 June 2000) into a grammar tree.

Imports are noted, not followed: :mod:`assistant.language.sources` resolves them within one
language's folder.
"""

from __future__ import annotations

from assistant.language.jsgf_lexer import Piece, lex
from assistant.language.tree import (
    NOTHING,
    VOID,
    Alternatives,
    Grammar,
    GrammarError,
    Node,
    Optional,
    Repeat,
    Rule,
    RuleRef,
    Sequence,
    Tag,
    Token,
    sequence,
)

_SPECIAL: dict[str, Node] = {"NULL": NOTHING, "VOID": VOID}


def read_jsgf(text: str, file: str = "grammar") -> Grammar:
    """Read JSGF source. ``file`` names it in errors.

    Raises:
        GrammarError: with file, line and what to do.
    """
    return _Reader(lex(text, file), file).grammar()


class _Reader:
    def __init__(self, pieces: list[Piece], file: str) -> None:
        self._pieces = pieces
        self._file = file
        self._at = 0

    def grammar(self) -> Grammar:
        name = self._declaration()
        imports: list[str] = []
        while self._take("word", "import"):
            imports.append(self._need("rule", "a rule or grammar to import, such as <names.*>"))
            self._end()
        rules: dict[str, Rule] = {}
        while self._peek() is not None:
            rule = self._rule()
            if rule.name in rules:
                first = rules[rule.name].place
                raise self._fault(f"Rule <{rule.name}> is already defined at {first}; rename one.")
            rules[rule.name] = rule
        return Grammar(name, rules, tuple(imports))

    def _declaration(self) -> str:
        if not self._take("word", "grammar"):
            raise self._fault("After the header comes 'grammar NAME;'; add it.")
        name = self._need("word", "the grammar's name")
        self._end()
        return name

    def _rule(self) -> Rule:
        public = self._take("word", "public")
        piece = self._peek()
        name = self._need("rule", "a rule such as <name> = words;")
        if name in _SPECIAL:
            raise self._fault(f"<{name}> is a special rule and cannot be defined; rename it.")
        if not self._take("mark", "="):
            raise self._fault(f"Rule <{name}> lacks its '='; add it.")
        body = self._alternatives()
        self._end()
        return Rule(name, body, public, f"{self._file}:{piece.line if piece else 1}")

    def _alternatives(self) -> Node:
        options: list[Node] = []
        weights: list[float] = []
        while True:
            weight = self._weight()
            if weight is not None:
                weights.append(weight)
            options.append(self._sequence())
            if len(weights) not in (0, len(options)):
                raise self._fault("Give every alternative a weight, or none.")
            if not self._take("mark", "|"):
                break
        if len(options) == 1 and not weights:
            return options[0]
        return Alternatives(tuple(options), tuple(weights))

    def _weight(self) -> float | None:
        piece = self._peek()
        if piece is None or piece.kind != "weight":
            return None
        self._at += 1
        weight = float(piece.text)
        if weight < 0:
            raise self._fault("A weight is not negative; fix it.")
        return weight

    def _sequence(self) -> Node:
        items: list[Node] = []
        while (item := self._item()) is not None:
            items.append(item)
        if not items:
            raise self._fault("An alternative is empty; write <NULL> if nothing may be said.")
        return items[0] if len(items) == 1 else Sequence(tuple(items))

    def _item(self) -> Node | None:
        piece = self._peek()
        if piece is None:
            return None
        item: Node
        if piece.kind in ("word", "quoted"):
            self._at += 1
            spoken = piece.text.split()
            item = sequence(*(Token(word.lower()) for word in spoken))
        elif piece.kind == "rule":
            self._at += 1
            item = _SPECIAL.get(piece.text) or RuleRef(piece.text)
            if piece.text == "VOID":
                item = VOID
        elif piece.kind == "mark" and piece.text in "([":
            self._at += 1
            inner = self._alternatives()
            closing = ")" if piece.text == "(" else "]"
            if not self._take("mark", closing):
                raise self._fault(
                    f"The '{piece.text}' of line {piece.line} is not closed; add '{closing}'."
                )
            item = inner if closing == ")" else Optional(inner)
        else:
            return None
        return self._after(item)

    def _after(self, item: Node) -> Node:
        """Unary operators and tags; tags bind tightest to what comes before them."""
        while True:
            if self._take("mark", "*"):
                item = Repeat(item, 0)
            elif self._take("mark", "+"):
                item = Repeat(item, 1)
            elif (piece := self._peek()) is not None and piece.kind == "tag":
                self._at += 1
                item = _tagged(item, Tag(piece.text))
            else:
                return item

    def _peek(self) -> Piece | None:
        return self._pieces[self._at] if self._at < len(self._pieces) else None

    def _take(self, kind: str, text: str) -> bool:
        piece = self._peek()
        if piece is None or piece.kind != kind or piece.text != text:
            return False
        self._at += 1
        return True

    def _need(self, kind: str, what: str) -> str:
        piece = self._peek()
        if piece is None or piece.kind != kind:
            raise self._fault(f"Here {what} is needed; add it.")
        self._at += 1
        return piece.text

    def _end(self) -> None:
        if not self._take("mark", ";"):
            raise self._fault("Here ';' or the rest of the rule is needed; add it.")

    def _fault(self, what: str) -> GrammarError:
        index = min(self._at, len(self._pieces) - 1)
        line = self._pieces[index].line if self._pieces else 1
        return GrammarError(f"{self._file}:{line}: {what}")


def _tagged(item: Node, tag: Tag) -> Node:
    # A group that already carries a tag takes another next to it, not around it.
    if isinstance(item, Sequence) and len(item.items) > 1 and isinstance(item.items[-1], Tag):
        return Sequence((*item.items, tag))
    return Sequence((item, tag))
