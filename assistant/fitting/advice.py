"""What the check tells the builder: pure functions from its takes and levels to sentences."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.fitting.levels import Levels, gain_advice, noise_advice, poor
from assistant.fitting.taking import Take
from assistant.fitting.thresholds import HIGHEST_SURE, MARGIN, Score, Thresholds, stoppable
from assistant.fitting.words import CheckWords
from assistant.language.policy import Policy

_MUCH = 1 / 4  # of the phrases lost


def scores(takes: Sequence[Take]) -> tuple[Score, ...]:
    """The scores that thresholds are chosen from: of what meant something."""
    return tuple(
        Score(t.asked.kind != "command", t.right, t.confidence)
        for t in takes
        if t.right or t.misled
    )


def on_levels(levels: Levels, words: CheckWords) -> tuple[str, ...]:
    """One sentence on the microphone's gain, and a warning where the noise is too loud."""
    key, by = gain_advice(levels)
    said = [words(key, by=by)]
    warned = noise_advice(levels)
    if warned:
        said.append(words(warned, snr=levels.snr_db))
    return tuple(said)


def on_phrases(takes: Sequence[Take], levels: Levels, words: CheckWords) -> tuple[str, ...]:
    """What to say instead, or how to say it, for each phrase that was not heard right.

    Where the sound is bad and much was lost, one sentence says to fix that first.
    """
    lost = sum(not t.right for t in takes)
    if poor(levels) and lost > len(takes) * _MUCH:
        return (words("sound_first", lost=lost, count=len(takes)),)
    return tuple(_on_phrase(t, takes, words) for t in takes if not t.right)


def on_thresholds(
    chosen: Thresholds, heard: Sequence[Score], words: CheckWords, usual: Policy
) -> tuple[str, ...]:
    """What was chosen, and why."""
    key = "kept"
    if chosen.reject != usual.reject:
        key = "lowered" if chosen.reject < usual.reject else "raised"
    about_reject = words(f"reject_{key}", reject=chosen.reject, usual=usual.reject)
    numbers = [s for s in heard if s.number]
    if chosen.sure == usual.sure:
        about_sure = words("sure_kept", sure=chosen.sure, count=len(numbers))
    else:
        worst = max(stoppable(heard))
        about_sure = words("sure_raised", sure=chosen.sure, usual=usual.sure, worst=worst)
    beyond = [s for s in numbers if not s.right and s.confidence > HIGHEST_SURE - MARGIN]
    return about_reject, about_sure, *([words("sure_beyond")] if beyond else [])


def outcome(take: Take, words: CheckWords) -> str:
    """How a phrase was heard, in a few words."""
    if take.right:
        return words("heard_right")
    if not take.heard:
        return words("heard_nothing")
    return words("heard_other" if take.misled else "heard_part", heard=take.heard)


def _on_phrase(take: Take, takes: Sequence[Take], words: CheckWords) -> str:
    said, how = take.asked.text, outcome(take, words)
    if take.asked.kind == "command":
        command = take.asked.command
        better = [t.asked.text for t in takes if t.right and t.asked.command == command]
        if better:
            return words("advice_synonym", better=better[0], said=said)
        return words("advice_command", said=said, how=how)
    digits = take.asked.task.spec is not None and take.asked.task.spec.digits
    return words("advice_digits" if digits else "advice_number", said=said, how=how)
