"""Typed words that make sense at another moment: the answer says what to do instead."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.dialogue.earlier import earlier, say_earlier
from assistant.dialogue.expectation import listening
from assistant.dialogue.offering import say_not_now
from assistant.dialogue.owner import owner_of
from assistant.dialogue.people import person_phrases
from assistant.dialogue.turn import Turn
from assistant.language import Language
from assistant.language.spec import (
    Command,
    ListenSpec,
    Meaning,
    NumberSpec,
    Reading,
    Spelling,
)
from assistant.procedure.kinds import kind_of
from assistant.quantities.units import UNITS, same_dimension

_TAKES_BACK = ("correction", "wrong", "missed", "remeasure")

_DIGITS = ListenSpec(digits=True)
_SPELLED = ListenSpec(spelling=True)


def answered(turn: Turn, text: str) -> bool:
    """Whether ``text`` belongs to some other moment, and was answered so.

    It is a command, a reading, digits, something spelled word by word, or a name of the procedure
    or of somebody at the bench.
    """
    meanings = _meanings(turn, text)
    if not meanings:
        return False
    meaning = meanings[0]
    back = isinstance(meaning, Command) and meaning.id in _TAKES_BACK
    at, spec = turn.state.awaiting, listening(turn.context, turn.state).spec
    known = "go_back" in spec.commands and earlier(turn.state) is not None
    late = isinstance(meaning, Reading) and spec.reading is None
    if known and back:
        say_earlier(turn)
    elif owner_of(at).not_now(turn, at):
        pass  # said
    elif known and late:
        say_earlier(turn)
    else:
        say_not_now(turn)
    turn.aside = True
    return True


def _meanings(turn: Turn, text: str) -> tuple[Meaning, ...]:
    language = turn.context.language
    specs = [ListenSpec(commands=language.command_ids), *_readings(turn), _DIGITS]
    if len(text.split()) > 1 or _is_letter(language, text):
        specs.append(_SPELLED)
    found = (language.interpret(spec, text) for spec in (*specs, _names(turn)))
    return next(filter(None, found), ())


def _is_letter(language: Language, word: str) -> bool:
    """Whether a word alone is of the spelling alphabet; any other is letters typed in a row."""
    found = language.interpret(_SPELLED, word)
    letters = [m.text for m in found if isinstance(m, Spelling)]
    return any(language.say_spelling(text) == word.lower() for text in letters)


def _readings(turn: Turn) -> Iterator[ListenSpec]:
    """What may be read on the procedure's gauges, in any unit of what each measures."""
    done: set[str] = set()
    for unit in sorted({gauge.unit for gauge in turn.context.procedure.gauges}):
        if unit not in done:
            alike = [other for other in UNITS if other != unit and same_dimension(other, unit)]
            done |= {unit, *alike}
            numbers = NumberSpec((unit, *alike), signed=True, blades=True, bounds=True)
            yield ListenSpec(reading=numbers)


def _names(turn: Turn) -> ListenSpec:
    """Positions, fasteners, answers of every step, and those who inspect."""
    steps = turn.context.procedure.steps
    named = [words for s in steps for _, several in kind_of(s).phrases(s) for words in several]
    named += [words for _, words in person_phrases(turn.context, turn.state)]
    return ListenSpec(phrases=tuple((words, words) for words in dict.fromkeys(named)))
