"""Finds the temperature at which the model is as sure as it is right, on held-out voices.

The scores are divided by the temperature before anything is summed. The best one gives the least
negative log likelihood of the truth among its closed set (Guo et al., *On Calibration of Modern
Neural Networks*, 2017). Sounds: people's commands that training did not see, each against the
same with a slot changed, and thirteen against thirty by festival's voices, in noise as well.
"""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path

import numpy as np

from assistant.audio.synthesis.speakers import say
from assistant.evaluation.conditions import CONDITIONS, heard
from assistant.language import Language
from training.evaluate import commands, teens
from training.recordings import SPELT, kept
from training.scoring import Ear, closed_set, log_softmax

_GRID = (0.7, 1.0, 1.4, 2.0, 2.8)


def main() -> None:
    """Prints the loss at each temperature."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("model", type=Path)
    parser.add_argument("--people", type=Path, required=True, help="recordings of spoken commands")
    parser.add_argument("--transcripts", type=Path, required=True)
    parser.add_argument("--sides", type=Path, required=True)
    parser.add_argument("--labels", type=Path, required=True)
    parser.add_argument("--festival", nargs="*", default=["kal_diphone", "slt_hts"])
    parser.add_argument("--conditions", default="clean,babble 5 dB,hum 5 dB,ratchet 5 dB")
    parser.add_argument("--each", type=int, default=400, help="most sounds of a corpus")
    given = parser.parse_args()
    language = Language.load("en-US")
    known = {**language.pronunciations, **SPELT}
    said = kept(given.transcripts, given.sides, "calibration", given.labels, known)
    items = list(commands(given.people, said, "commands, people"))[: given.each]
    for name in given.festival:
        items += list(teens(name, partial(say, speaker=name)))[: given.each]
    ear = Ear(given.model)
    losses: dict[str, list[list[float]]] = {}
    for item in items:
        clean = item.sound()
        for condition in given.conditions.split(","):
            logits = ear.logits(heard(clean, CONDITIONS[condition], item.key, 11))
            row = []
            for temperature in _GRID:
                found = closed_set(log_softmax(logits, temperature), item.options, known)
                row.append(np.logaddexp.reduce(found) - found[item.options.index(item.truth)])
            losses.setdefault(item.corpus, []).append(row)
    print("| corpus | sounds |", " | ".join(f"{t:g}" for t in _GRID), "|")
    print("|---|---|" + "---|" * len(_GRID))
    losses["all"] = [row for rows in losses.values() for row in rows]
    for corpus, rows in losses.items():
        means = np.mean(rows, axis=0)
        print(f"| {corpus} | {len(rows)} |", " | ".join(f"{m:.4f}" for m in means), "|")


if __name__ == "__main__":
    main()
