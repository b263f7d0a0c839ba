"""From a listening spec to the one grammar of that moment."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from assistant.language.features import common_features, spoken_units, unit_features
from assistant.language.narrow import Narrowed, narrow
from assistant.language.sources import CommandWords
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.language.tree import (
    Alternatives,
    Grammar,
    GrammarError,
    Node,
    Rule,
    RuleRef,
    Tag,
    Token,
    reachable,
    sequence,
)

START = "utterance"
_OWN_WEIGHT, _OTHER_WEIGHT = 6.0, 1.0
# What the moment asks for is likelier than a command that is always there.
_ASKED_WEIGHT, _COMMANDS_WEIGHT = 3.0, 1.0
_HYPHENED = frozenset({"x-ray"})  # hyphens part words, except in words that dictionaries spell so


# The data are the same for every spec, and most specs share units and features.
_narrow_kept = lru_cache(maxsize=512)(narrow)


def compose(
    data: Grammar, commands: Mapping[str, CommandWords], spec: ListenSpec, typed: bool
) -> Grammar:
    """The grammar whose rule ``utterance`` is all that ``spec`` allows.

    ``typed``: also numbers in figures, which no recogniser hears.

    Raises:
        GrammarError: the spec names a command or unit that the data do not have.
    """
    rules: dict[str, Rule] = {}
    options: list[tuple[Node, float]] = []

    def add(name: str, body: Node, weight: float) -> None:
        rules[name] = Rule(name, body)
        options.append((RuleRef(name), weight))

    if spec.reading is not None:
        add("measured", _reading(data, spec.reading, typed, rules), _ASKED_WEIGHT)
    for wanted, rule in ((spec.digits, "digit_by_digit"), (spec.spelling, "spelled")):
        if wanted:
            part = _narrow_kept(data, rule, common_features(spec.reading, typed), f"_{rule}")
            rules |= part.rules
            body = sequence(Tag(f"is:{rule}"), RuleRef(part.start))
            add(f"whole_{rule}", body, _ASKED_WEIGHT)
    if spec.spelling and spec.after_spelling:
        part = _narrow_kept(data, "spelled", common_features(spec.reading, typed), "_spelled")
        then = tuple(
            _phrase(words, f"then:{i}") for i, (_, words) in enumerate(spec.after_spelling)
        )
        body = sequence(Tag("is:spelled"), RuleRef(part.start), Alternatives(then))
        add("spelled_and_more", body, _ASKED_WEIGHT)
    if spec.phrases or spec.spoken_values:
        named = (*spec.phrases, *spec.spoken_values)
        said = tuple(_phrase(words, f"phrase:{index}") for index, (_, words) in enumerate(named))
        add("phrases", Alternatives(said), _ASKED_WEIGHT)
    if spec.commands:
        add("commands", Alternatives(_commands(commands, spec.commands)), _COMMANDS_WEIGHT)
    body = Alternatives(tuple(o for o, _ in options), tuple(w for _, w in options))
    rules[START] = Rule(START, body, public=True)
    whole = Grammar(data.name, rules)
    return Grammar(data.name, {name: rules[name] for name in reachable(whole, START)})


def _reading(data: Grammar, spec: NumberSpec, typed: bool, rules: dict[str, Rule]) -> Node:
    features = tuple(unit_features(spec, unit, typed) for unit in spoken_units(spec))
    part = _reading_kept(data, features, common_features(spec, typed))
    rules |= part.rules
    return sequence(Tag("is:reading"), RuleRef(part.start))


@lru_cache(maxsize=512)
def _reading_kept(
    data: Grammar, units: tuple[frozenset[str], ...], common: frozenset[str]
) -> Narrowed:
    """A reading in one of the units, with the features of each; the rules of the units with it."""
    rules: dict[str, Rule] = {}
    values: list[Node] = []
    for index, features in enumerate(units):
        part = _narrow_kept(data, "quantity", features, f"_{index}")
        rules |= part.rules
        values.append(RuleRef(part.start))
    weights = (_OWN_WEIGHT, *[_OTHER_WEIGHT] * (len(values) - 1))
    any_body: Node = Alternatives(tuple(values), weights) if len(values) > 1 else values[0]
    slots = {
        **data.rules,
        "any_quantity": Rule("any_quantity", any_body),
        "own_quantity": Rule("own_quantity", values[0]),
        **rules,
    }
    part = narrow(Grammar(data.name, slots), "reading", common)
    return Narrowed(part.start, {**rules, **part.rules})


def _commands(commands: Mapping[str, CommandWords], wanted: tuple[str, ...]) -> tuple[Node, ...]:
    options: list[Node] = []
    for command in dict.fromkeys(wanted):
        if command not in commands:
            raise GrammarError(f"There is no command '{command}' in commands.yaml; add it there.")
        options += [_phrase(text, f"cmd:{command}") for text in commands[command].phrases]
    return tuple(options)


def _phrase(text: str, tag: str) -> Node:
    words: list[str] = []
    for word in text.lower().split():
        words += [word] if word in _HYPHENED else word.replace("-", " ").split()
    if not words:
        raise GrammarError(f"A phrase of '{tag}' has no words; give it some.")
    return sequence(*(Token(word) for word in words), Tag(tag))
