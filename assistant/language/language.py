"""One spoken language: compiles listening specs, interprets what was heard, words what is said."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from pathlib import Path
from unicodedata import normalize

from assistant.language.compiled import compiled
from assistant.language.confusables import (
    neighbours,
    phrase_unlikeness,
    phrases_near,
    same_but_doubled,
    sounds_apart,
    twins,
    variants,
)
from assistant.language.data_words import run_together, speech_words, spoken_for, typed_forms
from assistant.language.meaning import meaning_of
from assistant.language.pronouncing import (
    GraphemeToPhoneme,
    JoinedDictionaries,
    Phones,
    bundled_dictionary,
)
from assistant.language.sources import Sources, read_folder
from assistant.language.speaking import SpokenForms
from assistant.language.spec import ListenSpec, Meaning
from assistant.language.text_normaliser import TextNormaliser, characters
from assistant.language.tree import Grammar
from assistant.language.wording import Wording
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.problem import Told
from assistant.resources import data_folder


@dataclass(frozen=True, eq=False)
class Language:
    """Immutable; make one with :meth:`load`. What was compiled for a spec is kept."""

    sources: Sources

    @staticmethod
    def load(name: str, folder: Path | None = None) -> Language:
        """The language ``name`` (such as ``en-US``), from ``folder`` or the shipped grammars.

        Raises:
            GrammarError: the data are missing or faulty.
        """
        where = folder if folder is not None else data_folder("grammars") / name
        return _load(name, where.resolve())

    # What may be said ------------------------------------------------------------------------

    def grammar(self, spec: ListenSpec) -> Grammar:
        """The grammar of what may be said under ``spec``; its start rule is ``utterance``."""
        return compiled(self.sources, spec).grammar

    def jsgf(self, spec: ListenSpec) -> str:
        """``spec`` as JSGF text for a recogniser."""
        return compiled(self.sources, spec).jsgf

    def words(self, spec: ListenSpec) -> tuple[str, ...]:
        """The words of that grammar, sorted."""
        return compiled(self.sources, spec).words

    def sample(self, spec: ListenSpec, rng: random.Random) -> str:
        """A random phrase that ``spec`` allows."""
        return " ".join(compiled(self.sources, spec).network.sample(rng))

    def enumerate(self, spec: ListenSpec, most_words: int) -> Iterator[str]:
        """Every phrase of at most ``most_words`` words that ``spec`` allows, shortest first."""
        phrases = compiled(self.sources, spec).network.enumerate(most_words)
        return (" ".join(spoken) for spoken in phrases)

    # What was meant --------------------------------------------------------------------------

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Distinct meanings of ``text``, heard or typed; empty when it does not fit ``spec``."""
        return _interpret(self, spec, text)

    def may_have(self, spec: ListenSpec, word: str) -> bool:
        """Whether what fits ``spec`` may have ``word`` in it; cheap, and False only if it cannot.

        ``word`` may be made of several: ``lbf·ft``.
        """
        plain = normalize("NFC", word.lower())
        known = compiled(self.sources, spec).typed_words
        return plain in known or self._typist.may_become(plain, known)

    def two_numbers(self, text: str) -> bool:
        """Whether two numbers in figures stand side by side in ``text`` as if they were one."""
        return self._typist.two_numbers(normalize("NFC", text))

    def confusable(self, spec: ListenSpec, text: str) -> tuple[tuple[str, Meaning], ...]:
        """Phrases of the grammar that sound close to ``text``, each with what it would mean.

        Phrases that mean the same as ``text`` are left out.
        """
        return _confusable(self, spec, text)

    def confusable_meanings(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Meanings of phrases of the grammar that sound close to ``text``, its own left out."""
        return tuple(meaning for _, meaning in self.confusable(spec, text))

    def twins(self, one: str, other: str) -> bool:
        """Whether two phrases sound so close that anybody may take one for the other."""
        return twins(one, other, self.pronunciations)

    def same_but_doubled(self, one: str, other: str, vowels: bool = True) -> bool:
        """Whether two phrases come out the same when equal phones that meet are said as one."""
        return same_but_doubled(one, other, self.pronunciations, vowels)

    def sounds_apart(self, one: str, other: str) -> int:
        """How many sounds are put in, left out or changed between two phrases."""
        return sounds_apart(one, other, self.pronunciations)

    def unlikeness(self, one: str, other: str) -> float:
        """How unlike two phrases sound where they differ: 0 the same, 1 nothing in common."""
        return _unlikeness(self, one, other)

    def near(self, one: str, other: str, bound: float) -> bool:
        """Whether two phrases are no more unlike than ``bound``; quicker than their unlikeness."""
        return _near(self, one, other, bound)

    # Words and sounds ------------------------------------------------------------------------

    @property
    def lexicon(self) -> Mapping[str, tuple[Phones, ...]]:
        """Pronunciations that go before those of a recogniser's own dictionary."""
        return self.sources.lexicon

    @cached_property
    def pronunciations(self) -> Mapping[str, tuple[Phones, ...]]:
        """Every known word: the lexicon's entries before the bundled dictionary's.

        A language that is written as it sounds gives its letters' phones in ``letters.yaml``; any
        other word is then sounded out by them.
        """
        known = JoinedDictionaries(self.sources.lexicon, bundled_dictionary())
        if self.sources.letters:
            return GraphemeToPhoneme(known, self.sources.letters)
        return known

    # Commands and prompts --------------------------------------------------------------------

    @property
    def command_ids(self) -> tuple[str, ...]:
        """Every command of the language."""
        return tuple(self.sources.commands)

    def phrases_for(self, command: str) -> tuple[str, ...]:
        """All phrases for a command, the taught one first.

        Raises:
            GrammarError: there is no such command.
        """
        return self._wording.phrases_for(command)

    def phrase_for(self, command: str, place: str = "") -> str:
        """The phrase that is taught for a command, or the one that names it at ``place``."""
        return self._wording.phrase_for(command, place)

    def command_help(self, command: str) -> str:
        """What a command does, in a short sentence."""
        return self._wording.command_help(command)

    def prompt(self, key: str, **params: object) -> str:
        """The prompt called ``key``, its places filled; see :meth:`Wording.prompt`."""
        return self._wording.prompt(key, **params)

    def told(self, problem: Told) -> str:
        """A problem in words; a sentence stays as it is.

        Raises:
            KeyError: the language has no words for it.
        """
        return self._wording.told(problem)

    @cached_property
    def _wording(self) -> Wording:
        return Wording(self.sources)

    # Saying ----------------------------------------------------------------------------------

    def say_number(self, value: Fraction, decimals: int | None = None) -> str:
        """``value`` in words, with at least ``decimals`` decimals."""
        return self._speaker.number(value, decimals)

    def say_amount(self, amount: Amount, digits: bool = False) -> str:
        """``amount`` in words; with ``digits``: ``forty pound feet, four zero``."""
        return self._speaker.amount(amount, digits)

    def say_unit(self, unit: str) -> str:
        """The unit code ``unit`` in words, as of several: ``millimeters``."""
        return self._speaker.unit(unit)

    def say_indication(self, indication: Indication) -> str:
        """``indication`` in words, such as ``less than four thou``."""
        return self._speaker.indication(indication)

    def say_digits(self, number: str) -> str:
        """A written number digit by digit: ``1.50`` is ``one point five zero``."""
        return self._speaker.digits(number)

    def say_spelling(self, text: str) -> str:
        """Characters in the spelling alphabet: ``KB2`` is ``kilo bravo two``."""
        return self._speaker.spelling(text)

    @cached_property
    def decimal_words(self) -> Mapping[str, str]:
        """Digit -> the word that the assistant says for it after the point."""
        return spoken_for(self.sources.grammar, "digit", "d")

    @cached_property
    def digit_words(self) -> Mapping[str, str]:
        """Digit -> the word that the assistant says for it where digits are said one by one."""
        return spoken_for(self.sources.grammar, "each_digit", "d")

    @cached_property
    def character_words(self) -> Mapping[str, str]:
        """Character -> its word in the spelling alphabet."""
        return spoken_for(self.sources.grammar, "character", "char")

    @cached_property
    def _speaker(self) -> SpokenForms:
        speech = speech_words(self.sources.speech)
        return SpokenForms(speech, self.decimal_words, self.digit_words, self.character_words)

    @cached_property
    def _typist(self) -> TextNormaliser:
        speech = speech_words(self.sources.speech)
        forms = typed_forms(self.sources.speech)
        parted = run_together(self.sources.speech)
        return TextNormaliser(forms, speech.minus, speech.point, self.decimal_words, parted)


@lru_cache(maxsize=16)
def _load(name: str, folder: Path) -> Language:
    return Language(read_folder(folder, name))


@lru_cache(maxsize=4096)
def _interpret(language: Language, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
    network = compiled(language.sources, spec).typed
    text = normalize("NFC", text)  # some keyboards give a letter and its marks apart
    for way in _ways(language, spec, text):
        found = [meaning_of(tags, spec) for tags in sorted(network.match(way))]
        meanings = tuple(dict.fromkeys(m for m in found if m is not None))
        if meanings:
            return meanings
    return ()


@lru_cache(maxsize=4096)
def _confusable(language: Language, spec: ListenSpec, text: str) -> tuple[tuple[str, Meaning], ...]:
    grammar = compiled(language.sources, spec)
    heard = tuple(text.lower().split())
    own = set(_interpret(language, spec, text))
    found: dict[Meaning, str] = {}

    def near(word: str) -> tuple[str, ...]:
        return _neighbours(language, word, grammar.words)

    for variant in variants(heard, near, language.pronunciations):
        for tags in grammar.network.match(variant):
            meaning = meaning_of(tags, spec)
            if meaning is not None and meaning not in own:
                found.setdefault(meaning, " ".join(variant))
    return tuple((phrase, meaning) for meaning, phrase in found.items())


@lru_cache(maxsize=65536)
def _neighbours(language: Language, word: str, vocabulary: tuple[str, ...]) -> tuple[str, ...]:
    return neighbours(word, vocabulary, language.pronunciations)


@lru_cache(maxsize=65536)
def _unlikeness(language: Language, one: str, other: str) -> float:
    return phrase_unlikeness(one, other, language.pronunciations)


@lru_cache(maxsize=65536)
def _near(language: Language, one: str, other: str, bound: float) -> bool:
    return phrases_near(one, other, language.pronunciations, bound)


def _ways(language: Language, spec: ListenSpec, text: str) -> Iterator[list[str]]:
    """The words that ``text`` may stand for: as it is, with its figures read, or spelled."""
    yield text.lower().split()  # as a recogniser gives it; then the others are not looked at
    yield language._typist.figures(text)
    yield language._typist.spelled_out(text)
    if spec.spelling and (spelled := characters(text, language.character_words)):
        yield spelled
