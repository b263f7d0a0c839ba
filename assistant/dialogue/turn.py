"""One turn of the dialogue: collects the next state and the effects of a single event.

A turn is local to one call of the transition function, which stays pure to its callers.
"""

from __future__ import annotations

from dataclasses import fields
from typing import Any, TypeVar

from assistant.dialogue.context import Context
from assistant.dialogue.edition import STALE_IS_DROPPED
from assistant.dialogue.effects import ASKED, Chime, ChimeName, Effect, Record, Say
from assistant.dialogue.effects import about as about_step
from assistant.dialogue.facts import Fact
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState
from assistant.dialogue.talk import ALWAYS_KNOWN, asks_aloud, says_all
from assistant.language.tone import Tone
from assistant.procedure.step import Step
from assistant.quantities.problem import Told

S = TypeVar("S", bound=Step)
_FIELDS = frozenset(field.name for field in fields(State))


class Turn:
    """The growing answer to one event that happened at ``at`` (ISO 8601).

    ``elapsed_ms`` is the machine's steady clock then, None where the event does not tell.
    """

    def __init__(
        self, context: Context, state: State, at: str, elapsed_ms: int | None = None
    ) -> None:
        self.context = context
        self.state = state
        self.at = at
        self.elapsed_ms = elapsed_ms
        self.effects: list[Effect] = []
        self.aside = False  # not part of the work: "repeat" says the line before it

    @property
    def step(self) -> Step:
        """The step that is open; only asked for where one is."""
        assert self.state.step is not None
        return self.context.procedure.step(self.state.step)

    def step_as(self, kind: type[S]) -> S:
        """The open step, which is of ``kind`` here."""
        step = self.step
        assert isinstance(step, kind)
        return step

    def put(self, **changes: Any) -> None:
        """Replace fields of the state."""
        self.state = _replaced(self.state, changes)

    def go(self, awaiting: DialogueState) -> None:
        """Move to another dialogue state."""
        self.put(awaiting=awaiting)

    def words(self, key: str, **params: object) -> str:
        """A prompt of the language."""
        return self.context.language.prompt(key, **params)

    def told(self, problem: Told) -> str:
        """What stands in the way, in the words of the language."""
        return self.context.language.told(problem)

    def say(
        self, key: str, tone: Tone = "plain", *, about: str = "", sound: str = "", **params: object
    ) -> None:
        """Speak a prompt of the language; ``about`` and ``sound`` as in :class:`Say`."""
        self.say_text(self.words(key, **params), tone, about, sound)

    def say_text(self, text: str, tone: Tone = "plain", about: str = "", sound: str = "") -> None:
        """Speak text that is already in words."""
        self.say_as(text, tone, about, "", sound)

    def say_short(
        self, key: str, tone: Tone = "plain", *, about: str = "", **params: object
    ) -> None:
        """Speak the short form of a prompt (``key``_short) where the builder knows the long one."""
        whole = self.words(key, **params)
        if says_all(self.state.talk):
            self.say_text(whole, tone, about)
        else:
            self.say_as(self.words(key + "_short", **params), tone, about, whole)

    def show(self, key: str, **params: object) -> None:
        """Show a prompt that goes without saying; it is said where everything is."""
        self.show_text(self.words(key, **params))

    def show_text(self, text: str) -> None:
        """Show words that go without saying; they are said where everything is."""
        if says_all(self.state.talk):
            self.say_text(text)
        else:
            self.say_as("", "plain", "", text)

    def ask(self, key: str, tone: Tone = "ask", **params: object) -> None:
        """Say what is to be said next: aloud at first in a session, later by a chime."""
        before = self.state.asked.get(key, 0)
        if asks_aloud(self.state.talk, before):
            self.say_text(self.words(key, **params), tone)
            self.put(asked={**self.state.asked, key: before + 1})
        else:
            self.say_as("", tone, "", self.words(key, **params))
            self.chime("ready")

    def known(self, key: str) -> None:
        """The builder used what ``key`` teaches: it need not be said aloud again in the session."""
        self.put(asked={**self.state.asked, key: ALWAYS_KNOWN})

    def read_back(self, key: str, **params: object) -> None:
        """Read back an answer, and ask whether it was heard right."""
        self.say_text(self.words(key, **params), "readback", ASKED)
        self.ask("yes_no_ask")

    def say_as(self, text: str, tone: Tone, about: str, shown: str, sound: str = "") -> None:
        """Speak ``text``, which may be empty, and show ``shown`` where that is more."""
        text, shown = " ".join(text.split()), " ".join(shown.split())
        self.effects.append(Say(text, tone, about, sound, "" if shown == text else shown))

    def not_owed(self, about: str) -> None:
        """What was read back is taken back: its readback, if it was cut short, is not owed."""
        if self.state.unsaid:
            self.put(unsaid=tuple(line for line in self.state.unsaid if line.about != about))

    def not_owed_at(self, step: str) -> None:
        """The step is done again: no readback at any place of it is owed."""
        if self.state.unsaid and self.state.edition >= STALE_IS_DROPPED:
            at = about_step(step, "")
            kept = (line for line in self.state.unsaid if not line.about.startswith(at))
            self.put(unsaid=tuple(kept))

    def record(self, fact: Fact) -> None:
        """Have a fact stored with this event."""
        self.effects.append(Record(fact))

    def chime(self, which: ChimeName) -> None:
        """A short sound in place of words."""
        self.effects.append(Chime(which))

    def undo(self, before: State) -> None:
        """Nothing of this turn holds; ``before`` is the state in which it began."""
        self.state, self.effects, self.aside = before, [], False

    def done(self) -> tuple[State, tuple[Effect, ...]]:
        """The outcome; remembers what was said, so that it can be repeated."""
        lines = [e for e in self.effects if isinstance(e, Say)]
        said = {e.text for e in lines}
        if self.state.unsaid and said:
            self.put(unsaid=tuple(u for u in self.state.unsaid if u.text not in said))
        if lines and not self.aside:
            repeated = {line: line.shown or line.text for line in lines}
            self.put(
                last_said=tuple(repeated[line] for line in lines),
                last_lines=tuple(
                    Say(text, line.tone, line.about, line.sound) for line, text in repeated.items()
                ),
            )
        return self.state, tuple(self.effects)


def _replaced(state: State, changes: dict[str, Any]) -> State:
    """As ``dataclasses.replace``, which sets all fifty fields one by one, and took a tenth of all
    the time that the dialogue needs."""
    if unknown := changes.keys() - _FIELDS:
        raise TypeError(f"A state has no {sorted(unknown)}.")
    new: State = object.__new__(State)
    vars(new).update(vars(state), **changes)
    return new
