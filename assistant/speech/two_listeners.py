"""Two listeners as one engine: the grammar engine decides, the second one vouches or doubts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from math import inf
from typing import Literal, Protocol

from assistant.language.automaton import automaton_of
from assistant.language.hypothesis import Recognition, Weighed
from assistant.language.pronouncing import Phones
from assistant.speech.along import HearsAlong
from assistant.speech.candidates import Candidate, SoundAlikes, candidates
from assistant.speech.types import Engine, Samples, Utterance
from assistant.speech.vouching import commands_settled, confirmed, weighed
from assistant.speech.written_numbers import in_figures, ways_to_say

Policy = Literal["alone", "confirm", "commands", "weigh"]
"""What the second listener may do. ``alone``: nothing. ``confirm``: fill ``second`` with its own
transcript, so that a value it did not write is asked for. ``commands``: besides that, settle
which of the first's candidates a command was. ``weigh``: say how likely each candidate sounds to
it: the first's own, what sounds close to them, its transcripts, and other numbers that it held for
likely; what is likeliest to both comes first (``vouching.weighed``)."""

_WORTH_A_LOOK = 7.0  # nats behind the likeliest text up to which another number is compared too

POLICIES: tuple[Policy, ...] = ("alone", "confirm", "commands", "weigh")


class SecondListener(Engine, Protocol):
    """An engine that can also say how likely given texts are."""

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        """Log likelihood of each text given the sound, in nats."""

    def numbers_beside(self, text: str) -> list[Weighed]:
        """Texts with another number that seemed likely when ``text`` was weighed just now."""


class TwoListeners:
    """Asks ``second`` only about what ``first`` heard something in.

    ``sounds``: pronunciations, for what sounds close to the first's answer (policy ``weigh``).
    """

    def __init__(
        self,
        first: Engine,
        second: SecondListener,
        policy: Policy = "weigh",
        sounds: Mapping[str, tuple[Phones, ...]] | None = None,
    ) -> None:
        self.name = f"{first.name}+{second.name}"
        self._first = first
        self._second = second
        self._policy = policy
        self._alike = SoundAlikes(sounds or {})
        self._jsgf = ""
        self._words: tuple[str, ...] = ()
        self._ahead = Ahead(second)

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar in both."""
        self._jsgf, self._words = jsgf, words
        self._ahead.drop()
        self._first.listen_for(jsgf, words)
        self._second.listen_for(jsgf, words)

    def begin(self) -> None:
        """An utterance begins: the first listener may hear along (see ``HearsAlong``)."""
        if isinstance(self._first, HearsAlong):
            self._first.begin()

    def feed(self, samples: Samples) -> None:
        """The next samples of it."""
        if isinstance(self._first, HearsAlong):
            self._first.feed(samples)

    def so_far(self) -> str:
        """The words that the first listener made out up to now."""
        return self._first.so_far() if isinstance(self._first, HearsAlong) else ""

    def anticipate(self, utterance: Utterance) -> None:
        """The speaker paused after ``utterance``: the second listener may start on it already.

        It works in a thread of its own; :meth:`recognise` takes its result when nothing more
        was said, so the answer is the same with and without.
        """
        if self._policy != "alone":
            self._ahead.start(utterance)

    def recognise(self, utterance: Utterance) -> Recognition:
        """The first's answer with the second's beside it; a rejected utterance stays rejected."""
        first = replace(self._first.recognise(utterance), engine=self.name)
        if not first.hypotheses or self._policy == "alone":
            return first
        written = [h.text for h in self._ahead.take(utterance).hypotheses]
        text = written[0] if written else ""
        if self._policy == "confirm":
            return confirmed(first, text)
        if self._policy == "commands":
            return commands_settled(first, text)
        texts, nats = self.compare(utterance, first, written)
        return weighed(first, written, texts, nats, self._alike)

    def compare(
        self, utterance: Utterance, first: Recognition, written: Sequence[str]
    ) -> tuple[list[Candidate], list[float]]:
        """What is compared with the sound after the first's answer and the second's transcripts,
        and how likely each is.

        Besides what sounds alike, other numbers that the second listener held for likely where
        the likeliest text has its own: noise may make any number of another.
        """
        phrases = automaton_of(self._jsgf)

        def allows(text: str) -> bool:
            return phrases.accepts(text.split())

        texts = candidates(first, written, lambda text: self._alike.of(text, self._words), allows)
        nats = self._second.weigh(utterance, [c.text for c in texts])
        likely = max(range(len(texts)), key=lambda i: nats[i] if texts[i].fits else -inf)
        known = {in_figures(c.text) for c in texts}
        beside: dict[str, str] = {}
        for other in self._second.numbers_beside(texts[likely].text):
            spoken = next(filter(allows, ways_to_say(other.text)), "")
            if spoken and nats[likely] - other.nats < _WORTH_A_LOOK:
                beside.setdefault(in_figures(spoken), spoken)
        # How likely each is follows from the whole of it: "4" may only be the beginning of "45".
        found = [spoken for figures, spoken in beside.items() if figures not in known]
        if found:
            texts += [Candidate(spoken, written=False) for spoken in found]
            nats += self._second.weigh(utterance, found)
        return texts, nats


class Ahead:
    """The second listener at work in a thread of its own while the builder may go on speaking."""

    def __init__(self, second: Engine) -> None:
        self._second = second
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="second-listener")
        self._begun: tuple[tuple[float, int], Future[Recognition]] | None = None

    def start(self, utterance: Utterance) -> None:
        """Begin on what was said so far, after what is running; what only waits is forgotten."""
        if self._begun is not None:
            if self._begun[0] == _same_sound(utterance):
                return
            self._begun[1].cancel()
        future = self._worker.submit(self._second.recognise, utterance)
        self._begun = (_same_sound(utterance), future)

    def take(self, utterance: Utterance) -> Recognition:
        """What the second listener makes of ``utterance``: begun before, or done now."""
        self.start(utterance)
        assert self._begun is not None
        return self._begun[1].result()

    def drop(self) -> None:
        """Forget what was begun, once it has ended: a model serves one at a time."""
        if self._begun is not None and not self._begun[1].cancel():
            self._begun[1].exception()
        self._begun = None


def _same_sound(utterance: Utterance) -> tuple[float, int]:
    """What tells whether two utterances sound alike to the second listener."""
    return utterance.start_s, len(utterance.attended)
