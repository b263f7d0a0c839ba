"""Two ways to have a Whisper model decide between the phrases of a step; a table, no verdict.

``weigh``: the candidates of both listeners and what sounds like them, as one tree of tokens (what
the assistant does). ``search``: token by token over everything that may be said, the likeliest
prefixes kept (beam), with no help from the first listener. Each reading of the bench is heard
both ways; *front*: the right value came first.

    OPENBLAS_NUM_THREADS=1 python benchmarks/token_search.py --count 30 --seed 4
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from time import process_time
from typing import Any

import numpy as np
import typer

from assistant.evaluation.conditions import CONDITIONS, heard
from assistant.evaluation.corpora import readings
from assistant.evaluation.hearing import found
from assistant.evaluation.policy import same_meaning
from assistant.evaluation.states import READING_STATES, STATES
from assistant.evaluation.statistics import Rate, quantile
from assistant.evaluation.table import markdown
from assistant.language import Language
from assistant.quantities.amount import Amount
from assistant.speech.endpoint import Endpointer
from assistant.speech.whisper_tree import Layers, Opening, TreeDecoder
from assistant.speech.written_forms import written_forms

LANGUAGE = Language.load("en-US")
Trie = dict[int, Any]
_END = -1


def everything(state: str) -> list[str]:
    """Every command of the state and every value of its gauge in each unit, as usually said."""
    spec = STATES[state]
    said = [phrase for command in spec.commands for phrase in LANGUAGE.phrases_for(command)]
    number = spec.reading
    assert number is not None
    assert number.low is not None
    assert number.high is not None
    step = 10**number.max_decimals
    for unit in number.units:
        for value in range(int(number.low * step), int(number.high * step) + 1):
            amount = Amount(Fraction(value, step), unit, Fraction(1, step))
            said.append(f"reading {LANGUAGE.say_amount(amount)}")
    return said


def trie_of(texts: list[str], encode: Any) -> Trie:
    """The tokens of each text's first written form, as nested dictionaries."""
    root: Trie = {}
    for text in texts:
        node = root
        for token in encode(f" {written_forms(text)[0]}."):
            node = node.setdefault(token, {})
        node.setdefault(_END, text)
    return root


@dataclass
class Prefix:
    """A beginning of a phrase: its place in the trie, its nodes, and its log probability."""

    trie: Trie
    nodes: tuple[int, ...]
    nats: float
    ahead: Any


class Searching(TreeDecoder):
    """Decodes step by step, keeping keys and values of every prefix that was looked at."""

    def search(self, opening: Opening, root: Trie, beam: int, most: int = 24) -> str:
        """The likeliest text of ``root``; each step goes through the network once."""
        live = [Prefix(root, (), 0.0, opening.first)]
        done: list[tuple[float, str]] = []
        base = opening.before[0][0].shape[1]
        kept, count = opening.before, 0
        for depth in range(most):
            onward = [
                (p.nats + float(p.ahead[token]), token, p)
                for p in live
                for token in p.trie
                if token != _END
            ]
            onward = sorted(onward, key=lambda o: -o[0])[:beam]
            for nats, token, prefix in onward:
                if _END in prefix.trie[token]:
                    done.append((nats, prefix.trie[token][_END]))
            onward = [o for o in onward if set(o[2].trie[o[1]]) - {_END}]
            if not onward or (done and max(done)[0] >= onward[0][0]):
                break
            seen = np.zeros((len(onward), count), bool)
            for row, (_, _, prefix) in enumerate(onward):
                seen[row, list(prefix.nodes)] = True
            out, new = self._step(opening, kept, base, [o[1] for o in onward], depth, seen)
            ahead = self._log_probabilities(out)
            live = [
                Prefix(p.trie[token], (*p.nodes, count + row), nats, ahead[row])
                for row, (nats, token, p) in enumerate(onward)
            ]
            kept = tuple(
                (np.concatenate((k, nk), axis=1), np.concatenate((v, nv), axis=1))
                for (k, v), (nk, nv) in zip(kept, new, strict=True)
            )
            count += len(onward)
        return max(done)[1] if done else ""

    def _step(
        self, opening: Opening, kept: Layers, base: int, tokens: list[int], depth: int, seen: Any
    ) -> Any:
        """One pass for ``tokens``: each sees the opening, its own prefix and itself."""
        width = len(tokens)
        blocked = np.concatenate((np.ones((width, base), bool), seen), axis=1)
        state = Opening(opening.sound, kept, opening.first)
        positions = np.full(width, base + depth)
        return self._pass(state, np.asarray(tokens), positions, np.eye(width, dtype=bool), blocked)


def main(count: int = 30, seed: int = 4, beam: int = 8, condition: str = "clean") -> None:
    """Hear ``count`` readings both ways and print the table."""
    listener = found()["pocketsphinx+whisper-base"]()
    whisper: Any = listener.second
    searcher = Searching(whisper._tree.result()._w)
    tries = {s: trie_of(everything(s), whisper._tokens.encode) for s in READING_STATES}
    hits: dict[str, int] = defaultdict(int)
    spent: dict[str, list[float]] = defaultdict(list)
    tried = 0
    for item in readings(LANGUAGE, count, seed).items:
        spec = item.task.spec
        assert spec is not None
        listener.listen_for(LANGUAGE.jsgf(spec), LANGUAGE.words(spec))
        endpointer = Endpointer()
        sound = heard(item.sound(), CONDITIONS[condition], item.name, seed)
        utterances = [*endpointer.feed(sound), *endpointer.finish()]
        if len(utterances) != 1:
            continue
        tried += 1
        (truth,) = LANGUAGE.interpret(spec, item.text)
        answer = listener._hear(utterances[0])
        recognition, _ = answer.answer("weigh")
        began = process_time()
        whisper.weigh(utterances[0], [c.text for c in answer.texts])
        spent["weigh"].append(process_time() - began)
        opening = whisper._view_of(utterances[0]).opening.result()
        began = process_time()
        found_text = searcher.search(opening, tries[item.task.name], beam)
        spent["search"].append(process_time() - began)
        front = recognition.hypotheses[0].text if recognition.hypotheses else ""
        first = answer.first.hypotheses[0].text if answer.first.hypotheses else ""
        for way, text in (("first alone", first), ("weigh", front), ("search", found_text)):
            meanings = LANGUAGE.interpret(spec, text) if text else ()
            hits[way] += any(same_meaning(m, truth) for m in meanings)
    rows = [
        (way, condition, str(Rate(hits[way], tried)), f"{1000 * quantile(spent[way], 0.5):.0f}")
        for way in ("first alone", "weigh", "search")
    ]
    typer.echo(markdown(("way", "condition", "front %", "processor ms after encoding"), rows))


if __name__ == "__main__":
    typer.run(main)
