"""What a second listener adds to trust.

No engine here has a second listener now; stored sessions that had one are replayed by this.
"""

from __future__ import annotations

from assistant.language.hypothesis import Recognition, WeighedText
from assistant.language.interprets import Interprets
from assistant.language.likelihoods import is_value, same_meaning
from assistant.language.policy import Policy
from assistant.language.spec import ListenSpec, Meaning, Reading


def second_agrees(
    language: Interprets, spec: ListenSpec, recognition: Recognition, meaning: Meaning
) -> bool:
    """Whether the second listener does not outvote the first on a command or a phrase.

    One that recognised another does; one that recognised nothing of the grammar does not.
    """
    if not recognition.second:
        return True
    others = language.interpret(spec, recognition.second)
    return not others or meaning in others


def vouched(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    reading: Reading,
) -> bool:
    """Whether the second listener heard this value, and nothing else as likely."""
    if not recognition.weighed:
        meanings = language.interpret(spec, recognition.second or "")
        return any(is_value(m, reading) for m in meanings)
    return recognition.second != "" and leads_weighed(policy, language, spec, recognition, reading)


def leads_weighed(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    meaning: Meaning,
) -> bool:
    """Whether ``meaning`` leads all else that the second listener weighed by enough.

    A text that is not a phrase of the grammar counts as something else.
    """
    same: list[WeighedText] = []
    others: list[WeighedText] = []
    for one in recognition.weighed:
        agrees = any(same_meaning(meaning, m) for m in language.interpret(spec, one.text))
        (same if agrees else others).append(one)
    best = max(same, key=lambda one: one.nats, default=None)
    if best is None:
        return False
    heard = recognition.hypotheses[0].text
    return all(
        best.nats - other.nats
        >= (policy.twin_lead if language.twins(heard, other.text) else policy.lead)
        for other in others
    )


def settled_by_second(
    policy: Policy, language: Interprets, spec: ListenSpec, recognition: Recognition
) -> set[Meaning]:
    """What the second listener compared with the sound, and so need not be asked about again.

    Sound-alikes that it did not compare stay in doubt.
    """
    if not policy.second_settles:
        return set()
    return {m for one in recognition.weighed for m in language.interpret(spec, one.text)}
