"""Whether what was heard was said to the assistant, and how well it explains the sound.

A decoder always answers with something of its grammar. But the acoustic model's probabilities over
all strings of phones add up to one. So what the phrases compared have of them, added up, is the
probability that what was said is among them, every string of phones being as likely a priori as
the model has it.

Speech at the bench is mostly of the grammar, and a long phrase is hardly ever said by chance: each
phone of the phrase is worth a part of a nat in advance. That separates other talk from speech of
the grammar. But a phrase of the grammar that explains the sound poorly is often another one of
it, said with a word lost in noise. So confidence falls with the likelihood as such, too.

Measured with the first model, in nats:

- 576 phrases that were heard right (eight synthetic voices and people, in quiet, hum and babble at
  10 dB and a room): -13 to 0, 95 % above -2
- recorded talk, radio voices and prose, in eight states each: below -100
- shop noise, music and babble: below -4.5 for a phrase of one phone, -6.9 for two, -17 for longer
- five recordings of a card player with an accent: -0.2 to -19 for 6 to 31 phones
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from assistant.speech.types import Samples

BEFOREHAND = 2.5
"""Nats that anything heard is given in advance."""
A_PHONE = 0.8
"""Nats for each phone of the likeliest phrase; for no more than :data:`MOST_PHONES`."""
MOST_PHONES = 30
FADES = 7.8
"""Nats over which confidence in a phrase of the grammar falls to 0.5 + 0.5/e. It is 0.8, from
which a value is taken unasked, at -4 nats. Of 151 readings by two unseen voices that were heard
right, 95 % lay above -1.5 clean, -6.6 in hiss and -5.9 in babble at 10 dB. A reading that led
everything else although its last digit was lost in hiss lay at -5.5."""


OVERLOADED = 0.001
"""Share of samples at full scale from which a sound counts as cut off, as in the voice check. Cut
off at 30 dB over the usual level, "forty" leads as "thirty": 5 of 135 values of two unseen voices
were taken so."""


def overloaded(samples: Samples) -> bool:
    """Whether ``samples`` were cut off at full scale by a microphone that is set too high."""
    return float(np.mean(np.abs(samples.astype(np.int32)) >= 32_767)) > OVERLOADED


def confidence(phones: int, nats: Iterable[float]) -> float:
    """That it was said to the assistant and heard whole, 0 to 1.

    ``phones``: how many the likeliest phrase has. ``nats``: the log likelihoods of all phrases
    that were compared with the sound.
    """
    listed = list(nats)
    top = max(listed)
    if top == -math.inf:
        return 0.0
    whole = min(0.0, top + math.log(sum(math.exp(value - top) for value in listed)))
    odds = BEFOREHAND + A_PHONE * min(phones, MOST_PHONES) + whole
    meant = 1.0 / (1.0 + math.exp(-max(-50.0, min(50.0, odds))))
    return min(meant, 0.5 + 0.5 * math.exp(whole / FADES))
