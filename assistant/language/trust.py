"""One rule of trust: what is done with what a recogniser heard, and every threshold of it.

The dialogue, the interruption, the attention phrase and the evaluation bench all ask
:func:`understand`; none of them has a threshold of its own. What a procedure makes of a value
(limits, the gauge's range) is not known here: the dialogue checks a reading for that as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from math import exp, inf, log
from typing import Literal, Protocol

from assistant.language.hypothesis import KEYBOARD, Recognition, Weighed
from assistant.language.spec import Command, Digits, ListenSpec, Meaning, Phrase, Reading
from assistant.quantities.amount import same_value

STOPS_OR_ASKS = frozenset({
    "repeat", "slower", "faster", "louder", "quieter", "where_am_i", "what_is_left",
    "read_cautions", "what_torque", "what_limit", "digits", "help", "pause_listening", "stop_work",
    "wrong", "correction", "help_more", "fewer_words", "more_words",
})  # fmt: skip
"""Commands that stop, ask, or have the last thing said again. They count from ``reject``;
everything else moves the work on or records something, and counts from ``advance``."""

_COMMA = re.compile(r"\d,\d")


@dataclass(frozen=True)
class Policy:
    """When something heard is trusted. The numbers come from the evaluation bench.

    Confidences, from 0 to 1. Below ``reject`` an utterance does nothing but a chime. Below
    ``advance`` so does everything that moves the work on or records: see :data:`STOPS_OR_ASKS`
    for what does neither. A reading below ``sure`` must be confirmed digit by digit. ``unasked``
    takes the place of ``reject`` where nobody asked the builder to speak: while the assistant
    talks, before it is called, and within a note.

    ``ask_confusable`` asks when a value, or a phrase of the procedure (a position, a label, an
    answer), has a near-sounding twin; ``second_settles`` leaves that question out where a second
    listener compared every such twin with the sound. Where it compared anything, what was meant
    must lead all else by ``lead`` nats of both listeners together (``Recognition.weighed``), and
    what sounds almost the same by ``twin_lead``: both listeners may take "ninety" for "nineteen".
    "Forty" and "sixty" said by a synthetic voice and taken for "fourteen" and "sixteen" by both
    listeners led by up to 6. No engine here has a second listener now; stored sessions that had
    one are replayed by these four.

    An engine that compared the whole grammar with the sound (``Recognition.beyond``) needs no
    such question. There what was meant must lead everything else that could have been meant:
    a value, digits, a name by ``compared_lead`` nats, a command by ``command_lead``. What differs
    from it only by a doubled sound ("sixteen newton", "sixty newton") it must lead by
    ``doubled_lead``: hardly anybody says both N. A value that does not lead so is asked about, and
    so is a phrase of the procedure behind which only others of its kind come too near.

    Where the engine compared such consonants as said once too (``Recognition.shared``), a value
    must lead by ``value_lead``, and only doubled consonants need the greater lead: "zero oh" is not
    said as "zero". Stored answers of before are judged as they were.
    """

    reject: float = 0.5
    advance: float = 0.7
    sure: float = 0.8
    unasked: float = 0.7
    ask_confusable: bool = True
    second_settles: bool = True
    lead: float = 4.0
    twin_lead: float = 7.0
    compared_lead: float = 5.0
    value_lead: float = 6.0
    doubled_lead: float = 12.0
    command_lead: float = 2.0

    def where_unasked(self) -> Policy:
        """The same policy for the moments in which nobody asked the builder to speak."""
        return replace(self, reject=max(self.reject, self.unasked))


class Interprets(Protocol):
    """What the rule needs of a language; ``assistant.language.Language`` provides it."""

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Distinct meanings of ``text`` under ``spec``."""

    def confusable_meanings(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Meanings of phrases that sound close to ``text`` under ``spec``."""

    def twins(self, one: str, other: str) -> bool:
        """Whether two phrases sound so close that anybody may take one for the other."""

    def same_but_doubled(self, one: str, other: str, vowels: bool = True) -> bool:
        """Whether two phrases differ only by a sound that is doubled in one of them."""

    def two_numbers(self, text: str) -> bool:
        """Whether two numbers in figures stand side by side in ``text`` as if they were one."""


@dataclass(frozen=True)
class Ignored:
    """Nothing of the grammar was heard: shop noise."""


@dataclass(frozen=True)
class Again:
    """It has to be said again. ``meaning`` is what it would have been, where there is one.

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
    if recognition.beyond is not None and not _leads_all(
        policy, language, spec, recognition, meaning
    ):
        if isinstance(meaning, Phrase) and _leads_all(
            policy, language, spec, _beside_phrases(language, spec, recognition, meaning), meaning
        ):
            return Ask(meaning, "alternative")  # only another phrase is as likely
        return Again("unsure", meaning)
    if not _second_agrees(language, spec, recognition, meaning):
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


def _second_agrees(
    language: Interprets, spec: ListenSpec, recognition: Recognition, meaning: Meaning
) -> bool:
    # A second listener that recognised nothing of the grammar does not outvote the first on a
    # command; one that recognised another command does.
    if not recognition.second:
        return True
    others = language.interpret(spec, recognition.second)
    return not others or meaning in others


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
        leads = _leads_all(policy, language, spec, recognition, reading)
        return "" if leads else "alternative"
    if recognition.second is not None and not _vouched(
        policy, language, spec, recognition, reading
    ):
        return "disagree"
    for other in recognition.hypotheses[1:]:
        for meaning in language.interpret(spec, other.text):
            if _other_value(meaning, reading) and other.confidence > best.confidence / 2:
                return "alternative"
    if policy.ask_confusable:
        settled = _settled(policy, language, spec, recognition)
        for meaning in language.confusable_meanings(spec, best.text):
            if _other_value(meaning, reading) and meaning not in settled:
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
    settled = _settled(policy, language, spec, recognition)
    return not others <= settled or not _leads(policy, language, spec, recognition, phrase)


def _leads_all(
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
    value = recognition.shared and isinstance(meaning, Reading)
    least = policy.value_lead if value else policy.compared_lead
    if lead_of(meaning, language, spec, recognition) < least:
        return False
    return all(
        (h.behind or 0.0) >= policy.doubled_lead
        or not language.same_but_doubled(heard, h.text, vowels=not recognition.shared)
        or any(_same(meaning, other) for other in language.interpret(spec, h.text))
        for h in recognition.hypotheses[1:]
    )


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
        if number or any(_same(meaning, other) for other in meanings):
            same += likelihood
        else:
            others += likelihood
    return log(same / others) if same else -inf


def _same(one: Meaning, other: Meaning) -> bool:
    if isinstance(one, Reading):
        return _this_value(other, one)
    return one == other


def _same_number(one: Meaning, other: Meaning) -> bool:
    """60.01 and 60.010 confirm the same value."""
    if not (isinstance(one, Digits) and isinstance(other, Digits)):
        return False
    return Decimal(one.text) == Decimal(other.text)


def _vouched(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    reading: Reading,
) -> bool:
    """Whether the second listener heard this value, and nothing else as likely."""
    if not recognition.weighed:
        meanings = language.interpret(spec, recognition.second or "")
        return any(_this_value(m, reading) for m in meanings)
    return recognition.second != "" and _leads(policy, language, spec, recognition, reading)


def _leads(
    policy: Policy,
    language: Interprets,
    spec: ListenSpec,
    recognition: Recognition,
    meaning: Meaning,
) -> bool:
    """Whether ``meaning`` leads all else that the second listener weighed by enough.

    A text that is not a phrase of the grammar counts as something else.
    """
    same: list[Weighed] = []
    others: list[Weighed] = []
    for one in recognition.weighed:
        agrees = any(_same(meaning, m) for m in language.interpret(spec, one.text))
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


def _settled(
    policy: Policy, language: Interprets, spec: ListenSpec, recognition: Recognition
) -> set[Meaning]:
    """What the second listener compared with the sound, and so need not be asked about again.

    Sound-alikes that it did not compare stay in doubt.
    """
    if not policy.second_settles:
        return set()
    return {m for one in recognition.weighed for m in language.interpret(spec, one.text)}


def _this_value(meaning: Meaning, reading: Reading) -> bool:
    return isinstance(meaning, Reading) and same_value(meaning.indication, reading.indication)


def _other_value(meaning: Meaning, reading: Reading) -> bool:
    return isinstance(meaning, Reading) and not same_value(meaning.indication, reading.indication)
