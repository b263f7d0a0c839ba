"""The rejection's operating points: what a stricter or laxer threshold would cost and spare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.evaluation.false_accepts import NonCommandAnswer, accepted
from assistant.evaluation.statistics import Rate
from assistant.evaluation.trial import Trial, judge
from assistant.language import Language
from assistant.language.policy import Policy
from assistant.language.spec import Reading

THRESHOLDS = (0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95)


@dataclass(frozen=True)
class OperatingPoint:
    """With ``reject`` at this confidence: what non-command sound sets off an hour, and how many
    of the commands that were said in the quiet come to nothing or must be repeated."""

    reject: float
    per_hour: float
    missed: Rate


def operating_points(
    found: Sequence[NonCommandAnswer],
    hours: float,
    trials: Sequence[Trial],
    language: Language,
    trust: Policy,
) -> list[OperatingPoint]:
    """A point for each threshold; ``trials`` that say a reading are left out.

    Commands that move the work on also need ``trust.advance``, whatever the threshold.
    """
    commands = [t for t in trials if not _reading(t, language)]
    points = []
    for threshold in THRESHOLDS:
        strict = replace(trust, reject=threshold, advance=max(threshold, trust.advance))
        outcomes = [judge(t, language, strict).outcome for t in commands]
        missed = Rate(sum(o in ("again", "nothing") for o in outcomes), len(outcomes))
        count = len(accepted(list(found), language, strict))
        points.append(OperatingPoint(threshold, count / hours, missed))
    return points


def _reading(trial: Trial, language: Language) -> bool:
    spec = trial.item.task.spec
    if spec is None:
        return False
    return any(isinstance(m, Reading) for m in language.interpret(spec, trial.item.text))
