"""JSGF against its published specification: JSpeech Grammar Format, W3C Note, 5 June 2000.

The grammars below follow the Note's examples; they are written from memory of it.
"""

from __future__ import annotations

import random

import pytest

from assistant.language import GrammarError
from assistant.language.jsgf_reader import read_jsgf
from assistant.language.jsgf_writer import write_jsgf
from assistant.language.network import Network
from assistant.language.recursion import refuse_inner_recursion

COMMANDS = """#JSGF V1.0 ISO8859-1 en;
grammar com.acme.commands;
/** Documentation comments are comments. */
import <com.acme.politeness.*>;
public <basicCmd> = <startPolite> <command> <endPolite>;
<startPolite> = (please | kindly | could you | oh mighty computer)*;
<endPolite> = [ please | thanks | thank you ];
<command> = <action> <object>; // a line comment
<action> = /10/ open | /2/ close | /1/ delete {tag} | /1/ move;
<object> = [the | a] (window | file | menu);
"""


def says(text: str, rule: str, phrase: str) -> frozenset[tuple[str, ...]]:
    return Network(read_jsgf(text), rule).match(phrase.split())


def test_the_polite_commands_of_the_note() -> None:
    grammar = read_jsgf(COMMANDS)
    assert grammar.name == "com.acme.commands"
    assert grammar.imports == ("com.acme.politeness.*",)
    assert grammar.rules["basicCmd"].public
    assert not grammar.rules["action"].public
    network = Network(grammar, "basicCmd")
    assert network.match(["oh", "mighty", "computer", "please", "open", "a", "window", "thanks"])
    assert network.match(["delete", "file"]) == {("tag",)}
    assert not network.match(["window", "open"])


@pytest.mark.parametrize(
    ("body", "phrase", "tags"),
    [
        ("a b {t}", "a b", ("t",)),
        ("(a | b) {t} {u}", "b", ("t", "u")),
        ("a {x} | b {y}", "b", ("y",)),
        ("a* {t}", "", ("t",)),
        ("[a] b", "b", ()),
        ("a+", "a a a", ()),
        ('"new york" city', "new york city", ()),
        (r"a {with \} and \\}", "a", (r"with } and \\"[:-1],)),
        ("<NULL> a", "a", ()),
        ("a | <VOID>", "a", ()),
        ("a {t} * b", "a a b", ("t", "t")),
    ],
)  # fmt: skip
def test_operators_and_tags(body: str, phrase: str, tags: tuple[str, ...]) -> None:
    source = f"#JSGF V1.0;\ngrammar g;\npublic <x> = {body};"
    assert says(source, "x", phrase) == {tags}


def test_right_recursion_is_a_loop_and_other_recursion_is_refused() -> None:
    loop = "#JSGF V1.0;\ngrammar g;\npublic <c> = <a> | (<a> and <c>);\n<a> = stop | go;"
    assert says(loop, "c", "stop and go and stop")
    for nested in ("a | a <c> b", "a | <c>* b", "[a <d>] b;\n<d> = c | d <c> e", "[<c> <c>]"):
        grammar = read_jsgf(f"#JSGF V1.0;\ngrammar g;\npublic <c> = {nested};")
        with pytest.raises(GrammarError, match=r"grammar:[34]: .*<[cd]>"):
            refuse_inner_recursion(grammar)
        with pytest.raises(GrammarError, match=r"grammar:[34]: .*<[cd]>"):
            list(Network(grammar, "c").enumerate(6))
    refuse_inner_recursion(read_jsgf(loop))


@pytest.mark.parametrize(
    ("source", "where", "what"),
    [
        ("grammar g;", 1, "#JSGF"),
        ("#JSGF V1.0;\npublic <x> = a;", 2, "grammar NAME"),
        ("#JSGF V1.0;\ngrammar g;\n<x> = a", 3, "';'"),
        ("#JSGF V1.0;\ngrammar g;\n<x> = (a | b;", 3, "not closed"),
        ("#JSGF V1.0;\ngrammar g;\n\n<x> = ;", 4, "empty"),
        ("#JSGF V1.0;\ngrammar g;\n<x> = a {t;", 3, "never closed"),
        ("#JSGF V1.0;\ngrammar g;\n<x> = a;\n<x> = b;", 4, "already defined"),
        ("#JSGF V1.0;\ngrammar g;\n<x> = /1/ a | b;", 3, "weight"),
        ("#JSGF V1.0;\ngrammar g;\n<NULL> = a;", 3, "special"),
    ],
)
def test_faults_name_file_line_and_remedy(source: str, where: int, what: str) -> None:
    with pytest.raises(GrammarError) as caught:
        read_jsgf(source, "kb2.jsgf")
    assert str(caught.value).startswith(f"kb2.jsgf:{where}: ")
    assert what in str(caught.value)


def test_writing_and_reading_again_keeps_phrases_and_tags() -> None:
    grammar = read_jsgf(COMMANDS)
    again = Network(read_jsgf(write_jsgf(grammar, "basicCmd", tags=True)), "basicCmd")
    first = Network(grammar, "basicCmd")
    rng = random.Random(7)
    for _ in range(200):
        phrase = first.sample(rng)
        assert again.match(phrase) == first.match(phrase)


def test_weights_steer_the_sampler() -> None:
    network = Network(read_jsgf("#JSGF V1.0;\ngrammar g;\npublic <x> = /9/ a | /1/ b;"), "x")
    rng = random.Random(1)
    heard = [network.sample(rng)[0] for _ in range(1000)]
    assert 850 < heard.count("a") < 950
