"""The hearing bench itself: listeners over corpora over conditions, judged as the dialogue does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import exp, inf
from pathlib import Path
from time import perf_counter
from typing import Any

from assistant.evaluation.conditions import CLEAN, HearingCondition
from assistant.evaluation.corpora import Corpus
from assistant.evaluation.false_accepts import accepted, listen, non_commands, recorded_talk
from assistant.evaluation.measured import MeasuredListener
from assistant.evaluation.memory import peak_memory_mb
from assistant.evaluation.operating import OperatingPoint, operating_points
from assistant.evaluation.statistics import Rate, quantile, word_errors
from assistant.evaluation.trial import SAID_AGAIN, Result, Trial, attempt, judge

_LEADS = (-inf, 0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, inf)
_TALK_STATES = 4  # each recording is heard in so many states; real talk is scarce


@dataclass(frozen=True)
class BenchRow:
    """One line of the table: a listener on a corpus under a condition.

    ``said`` and ``voices``: the words and the speaker of each of ``results``.
    """

    listener: str
    corpus: str
    condition: str
    results: tuple[Result, ...] = field(repr=False)
    said: tuple[str, ...] = field(repr=False)
    sound_s: float
    voices: tuple[str, ...] = field(default=(), repr=False)

    @property
    def exact(self) -> Rate:
        """Every word right."""
        return self._rate(lambda r: r.exact)

    @property
    def value(self) -> Rate:
        """Of the readings: the value right, whether asked for or not."""
        known = [r.value_right for r in self.results if r.value_right is not None]
        return Rate(sum(known), len(known))

    @property
    def wrong_value(self) -> Rate:
        """Of the readings: another value taken without asking for its digits."""
        known = [r for r in self.results if r.value_right is not None]
        return Rate(sum(r.outcome == "wrong" for r in known), len(known))

    @property
    def wrong_action(self) -> Rate:
        """Of everything else: something else done than what was said."""
        known = [r for r in self.results if r.value_right is None]
        return Rate(sum(r.outcome == "wrong" for r in known), len(known))

    @property
    def again(self) -> Rate:
        """Had to be repeated, or digit by digit: asked, chimed at, or not heard at all."""
        return self._rate(lambda r: r.outcome in SAID_AGAIN)

    @property
    def causes(self) -> Counter[str]:
        """Why what had to be repeated had to be, by number; "nothing" where nothing was heard."""
        return Counter(r.why or r.outcome for r in self.results if r.outcome in SAID_AGAIN)

    @property
    def word_error_rate(self) -> float:
        """Over all utterances of the row."""
        return word_errors(self.said, [r.heard for r in self.results])

    def decision_s(self, share: float) -> float:
        """Quantile of the time from the endpoint to the decision, in seconds."""
        return quantile([r.decision_s for r in self.results if r.decision_s], share)

    @property
    def processor_s(self) -> float:
        """Median processor time of a decision and all listeners' work on it, in seconds."""
        return quantile([r.processor_s for r in self.results if r.processor_s], 0.5)

    @property
    def real_time_factor(self) -> float:
        """Seconds of decoding for a second of sound."""
        return sum(r.decision_s for r in self.results) / self.sound_s

    def _rate(self, hit: Callable[[Result], bool]) -> Rate:
        return Rate(sum(map(hit, self.results)), len(self.results))

    def by_voice(self) -> dict[str, list[Result]]:
        """What was heard of each voice."""
        found: dict[str, list[Result]] = {}
        for voice, result in zip(self.voices, self.results, strict=True):
            found.setdefault(voice, []).append(result)
        return dict(sorted(found.items()))

    def as_json(self) -> dict[str, Any]:
        """The row's figures as plain data."""
        rates = ("exact", "value", "wrong_value", "wrong_action", "again")
        shown: dict[str, Any] = {
            "listener": self.listener,
            "corpus": self.corpus,
            "condition": self.condition,
        }
        for name in rates:
            rate: Rate = getattr(self, name)
            shown[name] = {"hits": rate.hits, "tries": rate.tries, "wilson95": rate.interval}
        shown["word_error_rate"] = self.word_error_rate
        shown["decision_s"] = {"median": self.decision_s(0.5), "95th": self.decision_s(0.95)}
        shown["processor_s"] = self.processor_s
        shown["real_time_factor"] = self.real_time_factor
        shown["exact_by_voice"] = {
            voice: [sum(r.exact for r in heard), len(heard)]
            for voice, heard in self.by_voice().items()
        }
        shown["said_again_because"] = dict(self.causes)
        shown["wrong"] = [
            {"said": said, "heard": r.heard, "confidence": round(r.confidence, 3)}
            for said, r in zip(self.said, self.results, strict=True)
            if r.outcome == "wrong"
        ]
        return shown


@dataclass(frozen=True)
class SpuriousCommands:
    """What non-command sound set off: a rate per hour; ``examples`` as (sound, state, heard)."""

    listener: str
    hours: float
    count: int
    examples: tuple[tuple[str, str, str], ...]

    @property
    def per_hour(self) -> float:
        """Actions and questions per hour of sound in which nobody spoke to the assistant."""
        return self.count / self.hours


@dataclass(frozen=True)
class Report:
    """Everything that one listener's run found out; ``load_s`` seconds, ``memory_mb`` peak, where
    the system tells it."""

    listener: str
    load_s: float
    memory_mb: float | None
    rows: tuple[BenchRow, ...]
    spurious: tuple[SpuriousCommands, ...]
    reliability: tuple[tuple[float, float, float, Rate], ...]
    operating: tuple[OperatingPoint, ...] = ()


def run(
    measured: MeasuredListener,
    corpora: Sequence[Corpus],
    conditions: Sequence[HearingCondition],
    minutes: int,
    talk: Sequence[Path] = (),
) -> Report:
    """Run one listener over everything, and over ``minutes`` of sound that is not a command.

    ``talk``: folders of recorded people who say other things.
    """
    name, language, trust, seed = measured.name, measured.language, measured.trust, measured.seed
    tell = measured.tell
    started = perf_counter()
    listener = measured.load()
    load_s = perf_counter() - started
    rows: list[BenchRow] = []
    quiet: list[Trial] = []
    for corpus in corpora:
        for condition in conditions:
            tell(f"{name}: {corpus.name}, {condition.name}")
            trials = [attempt(listener, language, i, condition, seed) for i in corpus.items]
            rows.append(_row(measured, corpus, trials))
            quiet += trials if condition == CLEAN else []
    spurious: list[SpuriousCommands] = []
    points: list[OperatingPoint] = []
    if minutes or talk:
        tell(f"{name}: sound that is not a command")
        found, hours = listen(listener, language, non_commands(minutes, seed))
        for folder in talk:
            more, longer = listen(listener, language, recorded_talk(folder), _TALK_STATES)
            found, hours = found + more, hours + longer
        acted = accepted(found, language, trust)
        examples = tuple((h.sound, h.state, r.hypotheses[0].text) for h, r in acted)
        spurious.append(SpuriousCommands(name, hours, len(acted), examples))
        points += operating_points(found, hours, quiet, language, trust)
    return Report(
        name,
        load_s,
        peak_memory_mb(),
        tuple(rows),
        tuple(spurious),
        reliability(rows),
        tuple(points),
    )


def _row(measured: MeasuredListener, corpus: Corpus, trials: Sequence[Trial]) -> BenchRow:
    results = tuple(judge(t, measured.language, measured.trust) for t in trials)
    said = tuple(t.item.text for t in trials)
    sound_s = sum(t.sound_s for t in trials)
    voices = tuple(t.item.voice for t in trials)
    return BenchRow(measured.name, corpus.name, trials[0].condition, results, said, sound_s, voices)


def by_voice(rows: Sequence[BenchRow]) -> dict[tuple[str, str], tuple[Result, ...]]:
    """What was heard in the quiet, over all corpora: (listener, voice) -> results."""
    found: dict[tuple[str, str], list[Result]] = {}
    for row in rows:
        if row.condition == CLEAN.name:
            for voice, results in row.by_voice().items():
                found.setdefault((row.listener, voice), []).extend(results)
    return {key: tuple(results) for key, results in sorted(found.items())}


def reliability(rows: Sequence[BenchRow]) -> tuple[tuple[float, float, float, Rate], ...]:
    """How often what was understood is right by its lead: (from, to, expected share, rate).

    A lead of x nats is odds of e^x that it is right. Over all rows, whatever their condition;
    of engines that tell a lead.
    """
    bins: list[tuple[float, float, float, Rate]] = []
    results = [r for row in rows for r in row.results if r.lead is not None]
    for low, high in pairwise(_LEADS):
        inside = [r for r in results if r.lead is not None and low <= r.lead < high]
        right = sum(r.exact or bool(r.value_right) for r in inside)
        expected = sum(1 / (1 + exp(-(r.lead or 0.0))) for r in inside) / max(1, len(inside))
        bins.append((low, high, expected, Rate(right, len(inside))))
    return tuple(bins)
