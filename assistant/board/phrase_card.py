"""The phrase card of a procedure: what the builder may say, as the dialogue itself has it.

The procedure is rehearsed with every step in it, whatever its condition; what each state listens
for is gathered. No phrase is written here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from assistant.board.words import BoardWords, load_words
from assistant.dialogue.commands import ANYTIME, DISPOSITIONS, SKIP_REASONS
from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.owner import taught
from assistant.dialogue.state import State
from assistant.procedure.adjusting import AdjustableStep
from assistant.report.card_pdf import CardRow, CardSection, PhraseCard
from assistant.session.rehearsal import PEOPLE, rehearse

_BACK = ("wrong", "correction", "remeasure", "missed", "go_back", "skip")
_APART = " · "
_START = "start"  # before the first step; no kind of step has this name


@dataclass
class _Heard:
    """What was listened for in one kind of step; lists keep their order and hold nothing twice."""

    manners: dict[str, None] = field(default_factory=dict)  # a reading, digits, a spelling
    commands: dict[str, None] = field(default_factory=dict)  # taught phrases
    names: dict[str, dict[str, None]] = field(default_factory=dict)  # step title -> phrases
    units: dict[str, dict[str, None]] = field(default_factory=dict)  # step title -> units


class _Gatherer:
    def __init__(self, context: Context, words: BoardWords) -> None:
        self._context, self._words = context, words
        self.kinds: dict[str, _Heard] = {}
        self.back: set[str] = set()
        self.anytime: set[str] = set()
        self.spells = False

    def look(self, state: State) -> None:
        """Add what ``state`` listens for."""
        spec = listening(self._context, state).spec
        step = None if state.step is None else self._context.procedure.step(state.step)
        heard = self.kinds.setdefault(_START if step is None else step.kind, _Heard())
        title = "" if step is None else step.title
        language, words = self._context.language, self._words
        if spec.reading is not None:
            heard.manners[words("say_reading")] = None
            if spec.reading.blades:
                heard.manners[words("say_blade")] = None
            units = heard.units.setdefault(title, {})
            units.update(dict.fromkeys(language.say_unit(u) for u in spec.reading.units))
        if spec.digits:
            heard.manners[words("say_digits")] = None
        if spec.spelling:
            heard.manners[words("say_spelling")] = None
            self.spells = True
        for command in spec.commands:
            if command in ANYTIME:
                self.anytime.add(command)
            elif command in _BACK:
                self.back.add(command)
            else:
                heard.commands[taught(self._context, state.awaiting, command)] = None
        present = {p.initials for p in PEOPLE}  # stand-ins: at the bench it is another name
        for value, said in spec.phrases:
            name = words("card_person") if value in present else said
            heard.names.setdefault(title, {})[name] = None


def phrase_card(context: Context) -> PhraseCard:
    """The card of the context's procedure.

    Raises:
        RehearsalError: the procedure cannot be spoken through.
    """
    procedure = context.procedure
    every = tuple(s.model_copy(update={"when": None}) for s in procedure.steps)
    whole = Context(procedure.model_copy(update={"steps": every}), context.language, context.policy)
    words = load_words(procedure.language)
    found = _Gatherer(whole, words)
    rehearse(whole, found.look)
    order = [_START, *dict.fromkeys(s.kind for s in procedure.steps)]
    steps = [_of_kind(k, found.kinds[k], words) for k in order if k in found.kinds]
    return PhraseCard(
        title=words("card_title"),
        procedure=procedure.title,
        revision=words("card_revision", revision=procedure.revision),
        governs=words("label_governs"),
        language=procedure.language,
        steps=tuple(s for s in steps if s.rows),
        always=tuple(_always(whole, words, found)),
    )


def _of_kind(kind: str, heard: _Heard, words: BoardWords) -> CardSection:
    rows = [CardRow(say) for say in heard.manners]
    if heard.commands:
        rows.append(CardRow(_APART.join(heard.commands)))
    rows += [CardRow(say, about) for say, about in _together(heard.names)]
    units = _together(heard.units)
    for say, about in units:
        rows.append(CardRow(f"{words('card_units')}: {say}", about if len(units) > 1 else ""))
    title = words("card_start") if kind == _START else words(f"kind_{kind}")
    return CardSection(title[:1].upper() + title[1:], tuple(rows))


def _together(by_title: dict[str, dict[str, None]]) -> list[tuple[str, str]]:
    """Phrases in a line, with the titles of the steps that have just these."""
    titles: dict[tuple[str, ...], list[str]] = {}
    for title, said in by_title.items():
        titles.setdefault(tuple(said), []).append(title)
    return [(_APART.join(said), ", ".join(filter(None, at))) for said, at in titles.items()]


def _always(context: Context, words: BoardWords, found: _Gatherer) -> Iterable[CardSection]:
    language = context.language

    def helped(title: str, commands: Iterable[str]) -> CardSection:
        rows = (CardRow(language.phrase_for(c), language.command_help(c)) for c in commands)
        return CardSection(title, tuple(rows))

    yield helped(words("card_anytime"), (c for c in ANYTIME if c in found.anytime))
    yield helped(words("card_back"), (c for c in _BACK if c in found.back))
    if "skip" in found.back:
        yield helped(words("card_skip"), SKIP_REASONS)
    if any(heard.units for heard in found.kinds.values()):
        steps = context.procedure.steps
        adjusts = any(isinstance(s, AdjustableStep) and s.adjustable for s in steps)
        own = ("adjusted",) if adjusts else ()
        yield helped(words("band_out").capitalize(), (*own, *DISPOSITIONS))
    if found.spells:
        listed = ", ".join(f"{c}\u00a0{said}" for c, said in language.character_words.items())
        yield CardSection(words("card_spelling"), (CardRow("", listed),))
