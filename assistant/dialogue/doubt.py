"""Reasons to doubt a heard reading. Any reason makes the builder say it digit by digit."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.context import Context, Policy, Tongue
from assistant.language.hypothesis import Recognition, Weighed
from assistant.language.spec import ListenSpec, Meaning, Reading
from assistant.procedure.models import MeasurementStep, Procedure
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.intervals import ring_does_not_go, ring_goes

KEYBOARD = "keyboard"


def same_value(a: Indication, b: Indication) -> bool:
    """Whether two indications state the same measurand, whatever their units."""
    unit = a.amount.unit
    try:
        return a.relation == b.relation and a.bounds(unit) == b.bounds(unit)
    except ValueError:  # of different dimension
        return False


def as_gauged(procedure: Procedure, step: MeasurementStep, heard: Indication) -> Indication:
    """What "goes" and "does not go" mean with the gauge of the step.

    A blade or plug that goes shows its size or more; a ring that goes shows a shaft of its size
    or less.
    """
    if procedure.gauge(step.gauge).kind != "ring_gauge":
        return heard
    if heard.relation == "ge":
        return ring_goes(heard.amount)
    return ring_does_not_go(heard.amount) if heard.relation == "lt" else heard


def in_tool_unit(amount: Amount, unit: str) -> Amount:
    """``amount`` in the unit of the tool in hand, where that is still a finite decimal."""
    converted = amount.to(unit)
    if (converted.value * 10**6).denominator != 1:
        return amount
    if converted.resolution is not None and (converted.resolution * 10**9).denominator != 1:
        return Amount(converted.value, converted.unit)
    return converted


def implausible(procedure: Procedure, step: MeasurementStep, indication: Indication) -> str:
    """Why the value is hard to believe of this gauge and step; empty when it is not."""
    gauge = procedure.gauge(step.gauge)
    unit = gauge.unit
    value = indication.amount.to(unit).value
    ends = [a.to(unit).value for a in (step.lower, step.upper) if a is not None]
    high = step.plausible_high.to(unit).value if step.plausible_high else None
    low = step.plausible_low.to(unit).value if step.plausible_low else None
    if high is None and ends:
        high = max(abs(e) for e in ends) * 10
    if low is None and ends and min(ends) >= 0:
        low = Fraction(0)
    if (high is not None and value > high) or (low is not None and value < low):
        return "implausible"
    if gauge.lower is not None and value < gauge.lower.to(unit).value:
        return "gauge_range"
    if gauge.upper is not None and value > gauge.upper.to(unit).value:
        return "gauge_range"
    if indication.relation == "eq" and (value / gauge.resolution.to(unit).value).denominator != 1:
        return "too_fine"
    if indication.amount.unit != unit:
        return "other_unit"
    return ""


def doubt(
    context: Context,
    step: MeasurementStep,
    spec: ListenSpec,
    recognition: Recognition,
    reading: Reading,
) -> str:
    """The first reason to doubt ``reading``, as a prompt key suffix; empty when there is none.

    Keyboard lines are not misheard, so only implausible values are doubted there.
    """
    reason = implausible(context.procedure, step, reading.indication)
    if reason or recognition.engine == KEYBOARD:
        return reason
    return misheard(context.policy, context.language, spec, recognition, reading)


def misheard(
    policy: Policy, language: Tongue, spec: ListenSpec, recognition: Recognition, reading: Reading
) -> str:
    """The first reason in the sound itself to doubt ``reading``; empty when there is none.

    It needs no procedure, so that the evaluation bench can apply the very same rule.
    """
    best = recognition.hypotheses[0]
    if best.confidence < policy.sure:
        return "unsure"
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


def _vouched(
    policy: Policy, language: Tongue, spec: ListenSpec, recognition: Recognition, reading: Reading
) -> bool:
    """Whether the second listener heard this value, and nothing else as likely."""
    if not recognition.weighed:
        return _agrees(language, spec, recognition.second or "", reading)
    return recognition.second != "" and _leads(policy, language, spec, recognition, reading)


def _leads(
    policy: Policy, language: Tongue, spec: ListenSpec, recognition: Recognition, reading: Reading
) -> bool:
    """Whether the reading leads all else that the second listener weighed by enough.

    A text that is no phrase of the grammar counts as something else.
    """
    same: list[Weighed] = []
    others: list[Weighed] = []
    for one in recognition.weighed:
        meanings = language.interpret(spec, one.text)
        agrees = any(isinstance(m, Reading) and not _other_value(m, reading) for m in meanings)
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
    policy: Policy, language: Tongue, spec: ListenSpec, recognition: Recognition
) -> set[Meaning]:
    """What the second listener compared with the sound, and so need not be asked about again.

    Sound-alikes that it did not compare stay in doubt.
    """
    if not policy.second_settles:
        return set()
    return {m for one in recognition.weighed for m in language.interpret(spec, one.text)}


def _agrees(language: Tongue, spec: ListenSpec, second: str, reading: Reading) -> bool:
    meanings = language.interpret(spec, second)
    return any(
        isinstance(m, Reading) and same_value(m.indication, reading.indication) for m in meanings
    )


def _other_value(meaning: Meaning, reading: Reading) -> bool:
    return isinstance(meaning, Reading) and not same_value(meaning.indication, reading.indication)
