"""Fits what each listener's likelihoods are worth when both are weighed together.

    OPENBLAS_NUM_THREADS=1 python -m benchmarks.evidence_fit --count 60 --seed 11 --seed 12 \\
        --condition clean --condition "hum 10 dB"

Each spoken reading gives a set of candidate texts, how likely the second listener holds each, and
how far each lies behind the first's best. A candidate is right when it means what was said. The
weights are those under which the right ones are likeliest (conditional logit, McFadden 1974); one
more alternative, that nothing of it was said, has a weight of its own. Compare the result with
SECOND, FIRST, MOST_BEHIND and OWN in assistant/speech/vouching.py.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from assistant.evaluation.conditions import CONDITIONS
from assistant.evaluation.corpora import Item, folder_corpus, readings
from assistant.evaluation.hearing import Heard, found
from assistant.evaluation.policy import same_meaning
from assistant.evaluation.trial import attempt
from assistant.language import Language
from assistant.speech.vouching import FIRST, MOST_BEHIND, OWN, SECOND

CUTS = (30.0, 60.0, 100.0, 150.0)


@dataclass(frozen=True)
class Choice:
    """One utterance: for each candidate the second's nats, how far it lies behind the first's
    best (infinite where it was not among the first's hypotheses), whether it is right and whether
    the grammar has it; ``best`` marks the first's best, ``told`` whether the first tells nats."""

    nats: NDArray[np.float64]
    behind: NDArray[np.float64]
    right: NDArray[np.bool_]
    fits: NDArray[np.bool_]
    best: NDArray[np.bool_]
    told: bool
    confidence: float

    def scores(self, second: float, first: float, cut: float, own: float) -> NDArray[np.float64]:
        """The candidates' common log likelihoods under given weights."""
        if not self.told:
            return second * self.nats + own * self.confidence * self.best
        return second * self.nats - first * np.minimum(self.behind, cut) * self.fits

    def surprise(self, second: float, first: float, cut: float, own: float, none: float) -> float:
        """Negative log likelihood of the truth; that of ``none`` where no candidate is right."""
        scores = np.append(self.scores(second, first, cut, own), none)
        right = np.append(self.right, not self.right.any())
        return float(np.logaddexp.reduce(scores) - np.logaddexp.reduce(scores[right]))


def choice_of(answer: Heard, item: Item, language: Language) -> Choice | None:
    """What was to choose from, or None where the first listener heard nothing."""
    spec, hypotheses = item.task.spec, answer.first.hypotheses
    if spec is None or not hypotheses or not answer.texts:
        return None
    said = language.interpret(spec, item.text)
    behind = {h.text: h.behind for h in hypotheses if h.behind is not None}
    texts = [c.text for c in answer.texts]
    return Choice(
        np.array(answer.nats),
        np.array([behind.get(t, np.inf) for t in texts]),
        np.array(
            [
                any(same_meaning(m, s) for m in language.interpret(spec, t) for s in said)
                for t in texts
            ]
        ),
        np.array([c.fits for c in answer.texts]),
        np.array([t == hypotheses[0].text for t in texts]),
        hypotheses[0].behind is not None,
        hypotheses[0].confidence,
    )


def gather(items: Sequence[Item], conditions: Sequence[str], seed: int) -> Iterator[Choice]:
    """Have both listeners hear ``items`` under each of ``conditions``."""
    language = Language.load("en-US")
    name = next(name for name in found() if "+" in name)
    listener = found()[name]()
    for item in items:
        for condition in conditions:
            trial = attempt(listener, language, item, CONDITIONS[condition], seed)
            for answer in trial.answers[:1]:
                choice = choice_of(answer, item, language)
                if choice is not None:
                    yield choice


def fit(choices: Sequence[Choice], cut: float) -> tuple[NDArray[np.float64], float]:
    """Weights (second, first, own, none) for one cut, and the mean surprise in nats."""

    def surprise(weights: NDArray[np.float64]) -> float:
        second, first, own, none = weights
        return sum(c.surprise(second, first, cut, own, none) for c in choices) / len(choices)

    start = np.array([SECOND, FIRST, OWN, -5.0])
    best = minimize(surprise, start, method="Nelder-Mead", options={"maxiter": 400})
    return best.x, float(best.fun)


def main() -> None:
    """Print a line for each cut."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=60)
    parser.add_argument("--seed", type=int, action="append")
    parser.add_argument("--condition", action="append", choices=list(CONDITIONS))
    parser.add_argument("--folder", type=Path, action="append", default=[])
    asked = parser.parse_args()
    language = Language.load("en-US")
    conditions = asked.condition or ["clean"]
    choices: list[Choice] = []
    for seed in asked.seed or [11]:
        choices += gather(readings(language, asked.count, seed).items, conditions, seed)
    for folder in asked.folder:
        choices += gather(folder_corpus(folder, language).items, ["clean"], 1)
    print(
        f"{len(choices)} utterances, the right text among the candidates of "
        f"{sum(bool(c.right.any()) for c in choices)}."
    )
    print("| cut | second | first | own | none | mean surprise |\n|---|---|---|---|---|---|")
    for cut in CUTS:
        (second, first, own, none), surprise = fit(choices, cut)
        print(
            f"| {cut:.0f} | {second:.3f} | {first:.4f} | {own:.2f} | {none:.2f} | {surprise:.4f} |"
        )
    print(f"\nIn use: second {SECOND}, first {FIRST}, own {OWN}, cut {MOST_BEHIND:.0f}.")


if __name__ == "__main__":
    main()
