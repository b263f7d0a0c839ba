"""What comes of a first listener's answer once a second listener has spoken. Pure functions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.language.hypothesis import Hypothesis, Recognition, Weighed, Word
from assistant.language.trust import Policy
from assistant.speech.candidates import Candidate, SoundAlikes, has_number, numbers, same_words
from assistant.speech.whisper_prompt import CARRIER
from assistant.speech.written_numbers import NUMBER_WORDS

MARGIN = Policy.lead
"""By how much the likeliest number must lead every other to count as what was heard, in nats of
both listeners together."""

TWIN_MARGIN = Policy.twin_lead
"""The same where the two sound almost the same."""

WORDS_MARGIN = 3.0
"""The same for phrases without numbers."""

SECOND, FIRST, MOST_BEHIND, OWN = 0.725, 0.025, 100.0, 2.0
"""What a nat of either listener is worth. The second's are worth less than they say. Those of the
first, which takes every hundredth of a second for a witness of its own, are worth a fortieth, and
what lies more than :data:`MOST_BEHIND` behind its best, or was not among its hypotheses, so much.
Where it tells none, its best is given :data:`OWN` times its confidence. The first three by
maximum likelihood, see docs/hearing.md."""

FLOOR, FLOOR_WORD = -10.0, -1.5
"""Nats below which the second listener holds that a candidate was not said; so many for each word
where that is lower. A phrase of nine words said by a person came to -11."""

_DOUBTED = 0.7
"""Confidence of a text that only the second listener put first: high enough to be asked about."""

_SURE = 0.8
_HEARD = 0.15
"""Confidence below which the first listener as good as rejected what it heard."""
_ALIKE = 0.4
"""Unlikeness up to which a transcript may be a misspelling of what the first surely heard."""


def confirmed(first: Recognition, second: str) -> Recognition:
    """``first`` with the second listener's text beside it; agreement word for word adds trust."""
    agreed = bool(first.hypotheses) and same_words(first.hypotheses[0].text, second)
    return replace(first, hypotheses=_trusted(first.hypotheses, agreed), second=second)


def commands_settled(first: Recognition, second: str) -> Recognition:
    """Like :func:`confirmed`; a command among the first's candidates that the second heard wins.

    Never a value: between two values the builder is asked.
    """
    if has_number(second) or (first.hypotheses and has_number(first.hypotheses[0].text)):
        return confirmed(first, second)
    for other in first.hypotheses[1:]:
        if same_words(other.text, second):
            best = replace(other, confidence=first.hypotheses[0].confidence)
            rest = tuple(h for h in first.hypotheses if h is not other)
            return confirmed(replace(first, hypotheses=(best, *rest)), second)
    return confirmed(first, second)


def weighed(
    first: Recognition,
    written: Sequence[str],
    texts: Sequence[Candidate],
    nats: Sequence[float],
    alike: SoundAlikes,
) -> Recognition:
    """``first`` after the second listener wrote ``written`` and weighed ``texts``.

    The text that is likeliest to both goes to the front. Another value than the first's best goes
    there as doubted; so do other digits, unless they lead all else by the margin: they are checked
    by the dialogue (see :func:`_is_asked_about`).
    ``second`` is the text in front when it leads by the margin, else its likeliest rival.
    When no phrase reaches its :data:`FLOOR` and the transcript is something else than the first's
    best, nothing was said to the assistant; nor when the first as good as rejected it and the
    second did not write it either.
    """
    best = first.hypotheses[0]
    scores = _to_both(first, texts, nats)
    if all(n < _floor(c.text) for n, c in zip(nats, texts, strict=True) if c.fits):
        kept = first.hypotheses if _misspelt(best, written, alike) else ()
        return replace(first, hypotheses=kept, second="", weighed=scores)
    own = {h.text for h in first.hypotheses}
    may_lead = [
        s
        for s, c in zip(scores, texts, strict=True)
        if s.text in own or (c.fits and _is_asked_about(s.text))
    ]
    top = max(may_lead, key=lambda s: s.nats)
    if best.confidence < _HEARD and not any(same_words(top.text, text) for text in written):
        return replace(first, hypotheses=(), second="", weighed=scores)
    swapped = top.text != best.text
    if swapped and has_number(top.text) != has_number(best.text):
        return replace(confirmed(first, top.text), weighed=scores)
    second = _vouched(top, scores, alike)
    if not swapped:
        return replace(confirmed(first, second), weighed=scores)
    known = [h for h in first.hypotheses if h.text == top.text]
    words = known[0].words if known else tuple(Word(w) for w in top.text.split())
    rest = tuple(h for h in first.hypotheses if h.text != top.text)
    reworded = has_number(top.text) and numbers(top.text) == numbers(best.text)
    if reworded or (_is_digits(top.text) and second == top.text):
        front = replace(first, hypotheses=(Hypothesis(words, best.confidence), *rest))
        return replace(confirmed(front, second), weighed=scores)
    doubted = min(_DOUBTED, best.confidence) if has_number(top.text) else _DOUBTED
    front = replace(first, hypotheses=(Hypothesis(words, doubted), *rest), second=second)
    return replace(front, weighed=scores)


def _floor(text: str) -> float:
    return min(FLOOR, FLOOR_WORD * len(text.split()))


def _to_both(
    first: Recognition, texts: Sequence[Candidate], nats: Sequence[float]
) -> tuple[Weighed, ...]:
    """How likely each text is to both listeners (see :data:`SECOND`).

    Of a text that is no phrase of the grammar the first could not have heard anything.
    """
    best = first.hypotheses[0]
    behind = {h.text: h.behind for h in first.hypotheses if h.behind is not None}

    def to_first(candidate: Candidate) -> float:
        if best.behind is None:
            return OWN * best.confidence if candidate.text == best.text else 0.0
        if not candidate.fits:
            return 0.0
        return -FIRST * min(behind.get(candidate.text, MOST_BEHIND), MOST_BEHIND)

    return tuple(
        Weighed(c.text, SECOND * n + to_first(c)) for c, n in zip(texts, nats, strict=True)
    )


def _is_asked_about(text: str) -> bool:
    """Whether the dialogue checks ``text`` before anything hangs on it.

    A reading that is doubted is asked about and every one is read back; digits count only when
    they give the value that was heard before, or as a spelled number that is read back and must be
    said to be right. On a command or a fastener's name the dialogue acts: those must have been
    heard by the grammar engine.
    """
    return text.split()[0] == CARRIER or _is_digits(text)


def _is_digits(text: str) -> bool:
    return all(word in NUMBER_WORDS or word == "minus" for word in text.split())


def _vouched(top: Weighed, scores: Sequence[Weighed], alike: SoundAlikes) -> str:
    """``top``'s text when it leads every rival by the margin, else that of the likeliest that
    comes closer.

    A text with the very same number is no rival here: what it means is for the dialogue, which
    knows that "ninety newton meter" and "ninety newton meters" are one and inches are not.
    """
    number = numbers(top.text)

    def needed(rival: Weighed) -> float:
        if not (number or has_number(rival.text)):
            return WORDS_MARGIN
        return TWIN_MARGIN if alike.twins(top.text, rival.text) else MARGIN

    rivals = [s for s in scores if s is not top and not (number and numbers(s.text) == number)]
    close = [s for s in rivals if top.nats - s.nats < needed(s)]
    return max(close, key=lambda s: s.nats).text if close else top.text


def _misspelt(best: Hypothesis, written: Sequence[str], alike: SoundAlikes) -> bool:
    """Whether what the second listener wrote may stand for the first's best after all."""
    text = written[0] if written else ""
    if same_words(text, best.text):
        return True
    return bool(text) and best.confidence >= _SURE and alike.unlikeness(best.text, text) <= _ALIKE


def _trusted(hypotheses: tuple[Hypothesis, ...], agreed: bool) -> tuple[Hypothesis, ...]:
    if not agreed:
        return hypotheses
    # Two listeners of different kinds that wrote the same: the doubt left is the product of both.
    best = hypotheses[0]
    return (replace(best, confidence=1 - (1 - best.confidence) * 0.2), *hypotheses[1:])
