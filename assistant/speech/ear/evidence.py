"""Whether what was heard was said to the assistant: how likely the sound is to be of the grammar.

A decoder always answers with something of its grammar. But the acoustic model's probabilities over
all strings of phones add up to one, so what the phrases compared have of them, added up, is the
probability that what was said is among them, with every string of phones as likely beforehand as
the model has it. Speech at the bench is mostly of the grammar, and a long phrase is hardly ever
said by chance; so each phone of the phrase is worth a part of a nat in advance.

Measured with the model's training halfway, on phrases of seed 5 that were heard right (576, eight
synthetic voices and people, in quiet, hum and babble at 10 dB and a room): nats of -13 to 0,
95 % above -2; on recorded talk, radio voices and prose, in eight states each: below -100; on shop
noise, music and babble below -4.5 for a phrase of one phone, and below -17 for any longer one.
Five recordings of a card player with an accent of his own: -0.2 to -19 for 6 to 31 phones.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

BEFOREHAND = 2.5
"""Nats that anything heard is given in advance."""
A_PHONE = 0.8
"""Nats for each phone of the likeliest phrase; for no more than :data:`MOST_PHONES`."""
MOST_PHONES = 30


def confidence(phones: int, nats: Iterable[float]) -> float:
    """That it was said to the assistant, 0 to 1.

    ``phones``: how many the likeliest phrase has. ``nats``: the log likelihoods of all phrases
    that were compared with the sound.
    """
    listed = list(nats)
    top = max(listed)
    if top == -math.inf:
        return 0.0
    whole = top + math.log(sum(math.exp(value - top) for value in listed))
    odds = BEFOREHAND + A_PHONE * min(phones, MOST_PHONES) + whole
    return 1.0 / (1.0 + math.exp(-max(-50.0, min(50.0, odds))))
