"""One utterance through one listener, and what the dialogue makes of it."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.evaluation.conditions import HearingCondition, heard
from assistant.evaluation.corpora import CorpusItem
from assistant.evaluation.hearing import Listener, TrialAnswer, seconds
from assistant.evaluation.policy import decide, same_meaning
from assistant.language import Language
from assistant.language.likelihoods import lead_of
from assistant.language.policy import Policy
from assistant.language.spec import Reading

SAID_AGAIN = ("asked", "again", "nothing")
"""Outcomes after which the builder must speak again."""


@dataclass(frozen=True)
class Trial:
    """The raw answers to one item under one condition; ``sound_s`` is its length in seconds."""

    item: CorpusItem
    condition: str
    answers: tuple[TrialAnswer, ...]
    sound_s: float


@dataclass(frozen=True)
class Result:
    """A trial judged.

    ``exact``: the words are right. ``value_right``: the meaning is right, whether it is asked
    for or not (None where nothing is a value). ``outcome``: right, wrong (acted on something
    else without asking), asked, again or nothing. ``asked_wrong``: asked for, and wrong.
    ``decision_s``: from the endpoint to the decision; ``heard``: the words. ``lead``: nats by which
    what was understood leads all else, where the engine compared its whole grammar.
    """

    exact: bool
    value_right: bool | None
    outcome: str
    asked_wrong: bool
    why: str
    decision_s: float
    heard: str
    confidence: float
    processor_s: float = 0.0
    lead: float | None = None


def attempt(
    listener: Listener, language: Language, item: CorpusItem, condition: HearingCondition, seed: int
) -> Trial:
    """Have ``listener`` hear ``item`` under ``condition``."""
    spec = item.task.spec
    if spec is None:
        listener.listen_for(item.task.jsgf, item.task.words)
    else:
        listener.listen_for(language.jsgf(spec), language.words(spec))
    sound = heard(item.sound(), condition, item.name, seed)
    return Trial(item, condition.name, tuple(listener.hear(sound)), seconds(sound))


def judge(trial: Trial, language: Language, trust: Policy) -> Result:
    """What comes of ``trial`` when the dialogue trusts as ``trust`` says.

    Where the endpointer made several stretches of one utterance, the worst outcome counts, and
    the words of all together.
    """
    results = [_one(trial, h, language, trust) for h in trial.answers]
    if not results:
        reading = _is_reading(trial.item, language)
        return Result(False, False if reading else None, "nothing", False, "", 0.0, "", 0.0)
    rank = ("wrong", "asked", "right", "again", "nothing")
    worst = min(results, key=lambda r: rank.index(r.outcome))
    if len(results) == 1:
        return worst
    text = " ".join(r.heard for r in results if r.heard)
    return Result(
        text == trial.item.text,
        worst.value_right,
        worst.outcome,
        worst.asked_wrong,
        worst.why,
        max(r.decision_s for r in results),
        text,
        worst.confidence,
        sum(r.processor_s for r in results),
        worst.lead,
    )


def _is_reading(item: CorpusItem, language: Language) -> bool:
    if item.task.spec is None:
        return False
    return any(isinstance(m, Reading) for m in language.interpret(item.task.spec, item.text))


def _one(trial: Trial, answer: TrialAnswer, language: Language, trust: Policy) -> Result:
    recognition, spent, work = answer.recognition, answer.decision_s, answer.processor_s
    best = recognition.hypotheses[0] if recognition.hypotheses else None
    text = best.text if best else ""
    sure = best.confidence if best else 0.0
    exact = text == trial.item.text
    spec = trial.item.task.spec
    if spec is None:
        # Without a grammar of the assistant's own, the words are the meaning.
        kind = "nothing" if best is None else "again" if sure < trust.reject else "accepted"
        outcome = kind if kind != "accepted" else "right" if exact else "wrong"
        return Result(exact, None, outcome, False, "", spent, text, sure, work)
    decision = decide(language, spec, recognition, trust)
    truths = language.interpret(spec, trial.item.text)
    meanings = language.interpret(spec, text) if text else ()
    right = any(same_meaning(m, t) for m in meanings for t in truths)
    reading = any(isinstance(t, Reading) for t in truths)
    lead = None
    if len(meanings) == 1 and recognition.beyond is not None:
        lead = lead_of(meanings[0], language, spec, recognition)
    good = any(same_meaning(decision.meaning, t) for t in truths)
    outcome = decision.kind if decision.kind != "accepted" else "right" if good else "wrong"
    return Result(
        exact,
        right if reading else None,
        outcome,
        decision.kind == "asked" and not good,
        decision.why,
        spent,
        text,
        sure,
        work,
        lead,
    )
