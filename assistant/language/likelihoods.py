"""Whether what was meant leads everything else of a grammar that was compared with the sound."""

from __future__ import annotations

from decimal import Decimal
from math import exp, inf, log

from assistant.language.hypothesis import Recognition
from assistant.language.interprets import Interprets
from assistant.language.policy import Policy
from assistant.language.spec import Command, Digits, ListenSpec, Meaning, Phrase, Reading
from assistant.quantities.amount import same_value


def leads_all(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    meaning: Meaning,
) -> bool:
    """Whether ``meaning`` leads all else that was compared with the sound by enough.

    The likelihoods of phrases that mean the same add up.
    """
    if isinstance(meaning, Command):
        return lead_of(meaning, language, spec, recognition) >= policy.command_lead
    heard = recognition.hypotheses[0].text
    # a stored answer is judged as it was when it was heard
    by_reading = isinstance(meaning, Reading) and recognition.shared
    value = by_reading or (recognition.by_word and states_value(spec, meaning))
    least = policy.value_lead if value else policy.compared_lead
    if lead_of(meaning, language, spec, recognition) < least:
        return False
    if value and recognition.twice and not _leads_by_sounds(policy, language, spec, recognition):
        return False
    return all(
        (h.behind or 0.0) >= policy.doubled_lead
        or not language.same_but_doubled(heard, h.text, vowels=not recognition.shared)
        or any(same_meaning(meaning, other) for other in language.interpret(spec, h.text))
        for h in recognition.hypotheses[1:]
    )


def _leads_by_sounds(
    policy: Policy, language: Interprets, spec: ListenSpec, recognition: Recognition
) -> bool:
    """Whether what was heard leads what means something else by enough for each sound of it."""
    heard = recognition.hypotheses[0].text
    meant = language.interpret(spec, heard)
    return all(
        any(same_meaning(one, other) for one in meant for other in language.interpret(spec, h.text))
        or (h.behind or 0.0)
        >= _lead_by_sounds(policy, language, heard, h.text, recognition.by_word)
        for h in recognition.hypotheses[1:]
        if (h.behind or 0.0) < policy.most_sound_lead
    )


def _lead_by_sounds(
    policy: Policy, language: Interprets, heard: str, other: str, by_word: bool
) -> float:
    """Nats by which ``heard`` must lead ``other`` for the sounds in which they differ."""
    apart = language.sounds_apart(heard, other)
    as_many = len(heard.split()) == len(other.split())
    if apart < 2 or not (by_word and as_many):
        return policy.sound_lead * apart
    return max(policy.least_word_lead, policy.word_lead * apart)


def states_value(spec: ListenSpec, meaning: Meaning) -> bool:
    """Whether ``meaning`` is a value: a reading, or a phrase that is one."""
    if isinstance(meaning, Phrase):
        return meaning.id in dict(spec.spoken_values)
    return isinstance(meaning, Reading)


def lead_of(
    meaning: Meaning, language: Interprets, spec: ListenSpec, recognition: Recognition
) -> float:
    """Nats by which ``meaning`` leads everything else of a grammar that was compared as a whole."""
    same, others = 0.0, exp(-(recognition.beyond or 0.0))
    for one in recognition.hypotheses:
        likelihood = exp(-(one.behind or 0.0))
        meanings = language.interpret(spec, one.text)
        # stored answers of engines that shared nothing are judged as they were
        number = recognition.shared and any(_same_number(meaning, m) for m in meanings)
        if number or any(same_meaning(meaning, other) for other in meanings):
            same += likelihood
        else:
            others += likelihood
    return log(same / others) if same else -inf


def same_meaning(one: Meaning, other: Meaning) -> bool:
    """Whether both mean the same; readings do by their value."""
    if isinstance(one, Reading):
        return is_value(other, one)
    return one == other


def _same_number(one: Meaning, other: Meaning) -> bool:
    """60.01 and 60.010 confirm the same value."""
    if not (isinstance(one, Digits) and isinstance(other, Digits)):
        return False
    return Decimal(one.text) == Decimal(other.text)


def is_value(meaning: Meaning, reading: Reading) -> bool:
    """Whether ``meaning`` is a reading of the same value."""
    return isinstance(meaning, Reading) and same_value(meaning.indication, reading.indication)


def is_other_value(meaning: Meaning, reading: Reading) -> bool:
    """Whether ``meaning`` is a reading of another value."""
    return isinstance(meaning, Reading) and not same_value(meaning.indication, reading.indication)


def in_own_unit(spec: ListenSpec, reading: Reading) -> bool:
    """Whether ``reading`` is in the unit of the gauge, said or not."""
    return spec.reading is None or reading.indication.amount.unit == spec.reading.units[0]


def leads_units(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    reading: Reading,
) -> bool:
    """Whether the same number in another unit, or in none, is behind ``reading`` by enough."""
    said = reading.indication.amount
    return all(
        (h.behind or 0.0) >= policy.unit_lead
        or not any(
            isinstance(m, Reading)
            and m.indication.amount.value == said.value
            and m.indication.amount.unit != said.unit
            for m in language.interpret(spec, h.text)
        )
        for h in recognition.hypotheses[1:]
    )
