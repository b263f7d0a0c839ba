"""The check itself: each phrase is asked for, heard, and set beside what was to be said."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from assistant.audio.file_source import FileSource
from assistant.evaluation.corpora import CorpusItem, folder_corpus
from assistant.evaluation.policy import same_meaning
from assistant.fitting.errors import FittingError
from assistant.fitting.listening import CheckListening, Grammars
from assistant.fitting.matching import match
from assistant.fitting.words import Asked
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.spec import Command, ListenSpec
from assistant.session.edges import EndOfInput
from assistant.speech.types import SAMPLE_RATE, Engine, Samples, Utterance

PATIENCE_S = 6.0
QUIET_S = 3.0
_PAD_S = 0.9  # the endpointer needs its quiet before and after a recording that is cut close


@dataclass(frozen=True)
class Take:
    """One phrase and what was heard: ``heard`` is empty, and the score 0, when nothing was.

    ``right``: it means what was asked for. ``misled``: it means something else; what was heard
    may also mean nothing, as the beginning of a phrase does, and then a session only asks again.
    """

    asked: Asked
    heard: str = ""
    confidence: float = 0.0
    right: bool = False
    misled: bool = False
    utterances: tuple[Utterance, ...] = field(default=(), repr=False)


@dataclass(frozen=True)
class Taken:
    """All takes of a check, the sound of its speech, and the sound of the room."""

    takes: tuple[Take, ...]
    speech: tuple[Samples, ...]
    room: Samples


class UnmatchedError(FittingError):
    """A recording cannot be set beside the phrases; ``taken`` has its sound all the same.

    Noise that hides the pauses is one reason, so its levels are worth telling.
    """

    def __init__(self, message: str, taken: Taken) -> None:
        super().__init__(message)
        self.taken = taken


AskBuilder = Callable[[Asked, bool], None]
"""Asks the builder for a phrase; True when it is asked for again."""


class Checker:
    """Hears phrases with ``engine`` as a session would, and judges what was heard."""

    def __init__(self, engine: Engine, language: Language) -> None:
        self.language = language
        self._engine = engine
        # By grammar and stretch; the stretch is kept too, so that its id stays its own.
        self._known: dict[tuple[str, int], tuple[Utterance, Recognition]] = {}

    def listening(self, blocks: Iterable[Samples]) -> CheckListening:
        """Listens to ``blocks``."""
        return CheckListening(self._engine, self.language, blocks)

    def again(self, asked: Asked, utterances: Sequence[Utterance]) -> Take:
        """What the engine makes of ``utterances`` cut before, where ``asked`` was to be said.

        Many phrases share a grammar, so each stretch is heard once in each grammar.
        """
        grammars = Grammars(self.language)
        grammars.asked = asked
        spec = asked.task.spec or ListenSpec()
        jsgf = grammars.jsgf(spec)
        found = []
        for utterance in utterances:
            if (jsgf, id(utterance)) not in self._known:
                self._engine.listen_for(jsgf, grammars.words(spec))
                self._keep(jsgf, utterance, self._engine.recognise(utterance))
            found.append(self._known[jsgf, id(utterance)][1])
        return self.take(asked, found, utterances)

    def remember(self, asked: Asked, utterance: Utterance, found: Recognition) -> None:
        """``utterance`` was heard where ``asked`` was to be said, and ``found`` is made of it."""
        grammars = Grammars(self.language)
        grammars.asked = asked
        self._keep(grammars.jsgf(asked.task.spec or ListenSpec()), utterance, found)

    def _keep(self, jsgf: str, utterance: Utterance, found: Recognition) -> None:
        self._known[jsgf, id(utterance)] = utterance, found

    def take(
        self, asked: Asked, found: Sequence[Recognition], utterances: Sequence[Utterance]
    ) -> Take:
        """Judge what was heard where ``asked`` was to be said.

        Where the endpointer cut a phrase in pieces, all words count and the least score.
        """
        best = [r.hypotheses[0] for r in found if r.hypotheses]
        heard = " ".join(h.text for h in best)
        score = min((h.confidence for h in best), default=0.0)
        right, meant = self._judge(asked, heard)
        kept = tuple(utterances)
        return Take(asked, heard, min(max(score, 0.0), 1.0), right, meant and not right, kept)

    def _judge(self, asked: Asked, heard: str) -> tuple[bool, bool]:
        """Whether ``heard`` means what was asked for, and whether it means anything."""
        spec = asked.task.spec
        if spec is None or not heard:
            return heard == asked.text, bool(heard)
        found = self.language.interpret(spec, heard)
        if len(found) != 1:
            return False, False
        meant = self.language.interpret(spec, asked.text)
        return any(same_meaning(found[0], m) for m in meant), True


def from_microphone(
    checker: Checker, asked: Sequence[Asked], blocks: Iterable[Samples], ask: AskBuilder
) -> Taken:
    """Ask for each phrase once, and again when nothing was heard.

    Raises:
        EndOfInput: the microphone was closed.
    """
    listening = checker.listening(blocks)
    listening.quiet(QUIET_S, asked[0])
    takes = []
    for phrase in asked:
        take = Take(phrase)
        for again in (False, True):
            ask(phrase, again)
            heard = listening.hear(phrase, PATIENCE_S)
            if heard is not None:
                take = checker.take(phrase, [heard], listening.found[-1:])
            if take.heard:
                break
        takes.append(take)
    return Taken(tuple(takes), listening.speech, listening.room)


def from_file(checker: Checker, asked: Sequence[Asked], path: Path) -> Taken:
    """The phrases in their order from one recording, with a second's pause between them.

    Raises:
        SpeechError: the file cannot be read.
        UnmatchedError: it holds far fewer, or far more, stretches of speech than phrases.
    """
    listening = checker.listening(FileSource(path).blocks())
    takes: list[Take] = []
    ended = False
    try:
        for phrase in asked:
            heard = listening.hear(phrase)
            assert heard is not None  # without patience there is one, or the end
            checker.remember(phrase, listening.found[-1], heard)
            takes.append(checker.take(phrase, [heard], listening.found[-1:]))
    except EndOfInput:
        ended = True
    while not ended:
        ended = listening.ended
    found = listening.found
    if len(found) != len(asked):
        # One too many or too few: a phrase was cut in two, or two ran together.
        pairs = match(
            len(asked), len(found), lambda p, u: checker.again(asked[p], [found[u]]).right
        )
        if pairs is None:
            raise UnmatchedError(
                f"{path} holds {len(found)} stretches of speech for {len(asked)} phrases; leave a "
                "second of quiet between phrases, or give a folder with one file for each and a "
                "transcript.tsv.",
                Taken((), listening.speech, listening.room),
            )
        takes = [
            Take(phrase) if at is None else checker.again(phrase, [found[at]])
            for phrase, at in zip(asked, pairs, strict=True)
        ]
    return Taken(tuple(takes), listening.speech, listening.room)


def from_folder(checker: Checker, folder: Path) -> Taken:
    """Every recording that the folder's transcript.tsv names, as the hearing bench takes it.

    Raises:
        SpeechError: there is no transcript, or a line or a file of it cannot be read.
    """
    takes: list[Take] = []
    speech: list[Samples] = []
    room: list[Samples] = []
    pad = np.zeros(round(_PAD_S * SAMPLE_RATE), np.int16)
    for item in folder_corpus(folder, checker.language).items:
        asked = _asked(item, checker.language)
        listening = checker.listening([pad, item.sound(), pad])
        heard: list[Recognition] = []
        try:
            while (found := listening.hear(asked)) is not None:
                heard.append(found)
        except EndOfInput:
            takes.append(checker.take(asked, heard, listening.found))
        speech += listening.speech
        room.append(listening.room)
    return Taken(tuple(takes), tuple(speech), np.concatenate((np.zeros(0, np.int16), *room)))


def _asked(item: CorpusItem, language: Language) -> Asked:
    if item.task.spec is None:
        return Asked(item.text, item.task, "other")
    meanings = language.interpret(item.task.spec, item.text)
    if meanings and isinstance(meanings[0], Command):
        return Asked(item.text, item.task, "command", meanings[0].id)
    return Asked(item.text, item.task, "number")
