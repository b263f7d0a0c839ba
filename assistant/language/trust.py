"""One rule of trust: what is done with what a recogniser heard.

The dialogue, the interruption, the attention phrase and the evaluation bench all ask
:func:`understand`; its thresholds are in ``policy``, and nobody else has one. What a
procedure makes of a value (limits, the gauge's range) is not known here: the dialogue checks a
reading for that as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal

from assistant.language.hypothesis import KEYBOARD, Recognition
from assistant.language.interprets import Interprets
from assistant.language.likelihoods import (
    in_own_unit,
    is_other_value,
    leads_all,
    leads_units,
    states_value,
)
from assistant.language.policy import STOPS_OR_ASKS, Policy
from assistant.language.second_listener import (
    leads_weighed,
    second_agrees,
    settled_by_second,
    vouched,
)
from assistant.language.spec import Command, ListenSpec, Meaning, Phrase, Reading

_COMMA = re.compile(r"\d,\d")


@dataclass(frozen=True)
class Ignored:
    """Nothing of the grammar was heard: shop noise."""


@dataclass(frozen=True)
class Again:
    """It has to be repeated. ``meaning`` is what it would have been, where there is one.

    ``why``: no phrase of the grammar, more than one meaning, too little confidence, another
    command heard by the second listener, or typed figures that can be read two ways.
    """

    why: Literal["unknown", "ambiguous", "unsure", "disagree", "comma", "two_numbers"]
    meaning: Meaning | None = None


@dataclass(frozen=True)
class Ask:
    """What is to be asked about first: a reading digit by digit, a phrase of the procedure by name.

    ``why`` is a prompt key's suffix.
    """

    meaning: Reading | Phrase
    why: str


@dataclass(frozen=True)
class Act:
    """What was meant, to be carried out."""

    meaning: Meaning


Understood = Ignored | Again | Ask | Act


def understand(
    policy: Policy, language: Interprets, spec: ListenSpec, recognition: Recognition
) -> Understood:
    """What to do with ``recognition``, heard or typed while ``spec`` was listened for.

    Typed lines are never misheard; they are refused where they can be read two ways.
    """
    if not recognition.hypotheses:
        return Ignored()
    best = recognition.hypotheses[0]
    typed = recognition.engine == KEYBOARD
    if typed and _COMMA.search(best.text):
        # "1,500" is fifteen hundred to one builder and one and a half to another
        return Again("comma")
    meanings = language.interpret(spec, best.text)
    value = not meanings or any(isinstance(m, Reading) for m in meanings)
    if typed and spec.reading is not None and value and language.two_numbers(best.text):
        return Again("two_numbers")
    if len(meanings) != 1:
        return Again("ambiguous" if meanings else "unknown")
    meaning = meanings[0]
    if typed:
        return Act(meaning)
    if best.confidence < _needed(policy, meaning):
        return Again("unsure", meaning)
    if isinstance(meaning, Reading):
        why = _misheard(policy, language, spec, recognition, meaning)
        return Ask(meaning, why) if why else Act(meaning)
    if isinstance(meaning, Phrase) and states_value(spec, meaning):
        why = _value_doubted(policy, language, spec, recognition, meaning)
        return Ask(meaning, why) if why else Act(meaning)
    if recognition.beyond is not None and not leads_all(
        policy, language, spec, recognition, meaning
    ):
        if isinstance(meaning, Phrase) and leads_all(
            policy, language, spec, _beside_phrases(language, spec, recognition, meaning), meaning
        ):
            return Ask(meaning, "alternative")  # only another phrase is as likely
        return Again("unsure", meaning)
    if not second_agrees(language, spec, recognition, meaning):
        return Again("disagree", meaning)
    if isinstance(meaning, Phrase) and _sounds_like_another(
        policy, language, spec, recognition, meaning
    ):
        return Ask(meaning, "confusable")
    return Act(meaning)


def _needed(policy: Policy, meaning: Meaning) -> float:
    """The confidence from which ``meaning`` counts."""
    if isinstance(meaning, Reading):
        return policy.reject  # below ``sure`` it is only asked about
    if isinstance(meaning, Command) and meaning.id in STOPS_OR_ASKS:
        return policy.reject
    return max(policy.reject, policy.advance)


def _misheard(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    reading: Reading,
) -> str:
    """The first reason in the sound itself to ask for ``reading`` again; empty for none."""
    best = recognition.hypotheses[0]
    if best.confidence < policy.sure:
        return "unsure"
    if recognition.beyond is not None:
        if not leads_all(policy, language, spec, recognition, reading):
            return "alternative"
        sure = in_own_unit(spec, reading) or leads_units(
            policy, language, spec, recognition, reading
        )
        return "" if sure else "other_unit"
    if recognition.second is not None and not vouched(policy, language, spec, recognition, reading):
        return "disagree"
    for other in recognition.hypotheses[1:]:
        for meaning in language.interpret(spec, other.text):
            if is_other_value(meaning, reading) and other.confidence > best.confidence / 2:
                return "alternative"
    if policy.ask_confusable:
        settled = settled_by_second(policy, language, spec, recognition)
        for meaning in language.confusable_meanings(spec, best.text):
            if is_other_value(meaning, reading) and meaning not in settled:
                return "confusable"
    return "" if in_own_unit(spec, reading) else "other_unit"


def _value_doubted(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    value: Phrase,
) -> str:
    """The first reason in the sound to ask whether a phrase that is a value was said; or none."""
    best = recognition.hypotheses[0]
    if best.confidence < policy.sure:
        return "unsure"
    if recognition.beyond is not None:
        sure = leads_all(policy, language, spec, recognition, value)
        return "" if sure else "alternative"
    if not second_agrees(language, spec, recognition, value):
        return "disagree"
    for other in recognition.hypotheses[1:]:
        meant = language.interpret(spec, other.text)
        if other.confidence > best.confidence / 2 and any(m != value for m in meant):
            return "alternative"
    if policy.ask_confusable and language.confusable_meanings(spec, best.text):
        return "confusable"
    return ""


def _beside_phrases(
    language: Interprets, spec: ListenSpec, recognition: Recognition, phrase: Phrase
) -> Recognition:
    """``recognition`` without what means another of the procedure's phrases."""

    def another(text: str) -> bool:
        return any(isinstance(m, Phrase) and m != phrase for m in language.interpret(spec, text))

    kept = tuple(h for h in recognition.hypotheses if not another(h.text))
    return replace(recognition, hypotheses=kept)


def _sounds_like_another(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    phrase: Phrase,
) -> bool:
    """Whether ``phrase`` may as well have been another that no listener told from it."""
    if recognition.beyond is not None or not policy.ask_confusable:
        return False  # compared as a whole, it leads everything
    heard = recognition.hypotheses[0].text
    others = {m for m in language.confusable_meanings(spec, heard) if isinstance(m, Phrase)}
    if not others:
        return False
    settled = settled_by_second(policy, language, spec, recognition)
    return not others <= settled or not leads_weighed(policy, language, spec, recognition, phrase)
