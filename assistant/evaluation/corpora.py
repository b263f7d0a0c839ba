"""What is said to the engines, and what the right answer is."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from pathlib import Path

import numpy as np
import soundfile

from assistant.audio.file_source import read_audio
from assistant.audio.synthesis.neural_speaker import JOE
from assistant.audio.synthesis.speakers import say
from assistant.evaluation.states import READING_STATES, STATES
from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.quantities.amount import Amount
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples

DEBIAN = Path("/usr/share/pocketsphinx/test/data")
VOICES = ("awb", "rms", "slt", "kal16", "kal_diphone", "slt_hts", "espeak_us", "espeak_gb")
UNSEEN = (JOE, "ked_diphone")
"""Voices that the training of our own engine has not met."""
TEMPOS = (0.85, 1.0, 1.2)
_TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_FRAMES = (
    ("torque", "reading {} newton meters"),
    ("torque", "reading {} pound feet"),
    ("torque", "reading one hundred and {} newton meters"),
    ("torque", "reading {}"),
    ("runout", "reading {} thou"),
    ("runout", "reading {} point five thou"),
)


_SAID_DECIMALS = {"thou": 1, "in": 4, "mm": 2, "um": 0, "lbf*ft": 0, "lbf*in": 0}
"""Decimals that a reading in a unit is said with; invented."""


@dataclass(frozen=True)
class Task:
    """What may be said: a state's ``spec``, or a corpus's own ``jsgf`` grammar and its words."""

    name: str
    spec: ListenSpec | None = None
    jsgf: str = ""
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class CorpusItem:
    """One utterance: what was said (``text``, in the grammar's words), by whom, and the sound."""

    name: str
    task: Task
    text: str
    voice: str
    sound: Callable[[], Samples]


@dataclass(frozen=True)
class Corpus:
    """A named list of utterances; ``note`` says where it comes from."""

    name: str
    note: str
    items: tuple[CorpusItem, ...]


def readings(language: Language, count: int, seed: int, voices: tuple[str, ...] = VOICES) -> Corpus:
    """Readings as a mechanic says them: carrier, value as the assistant itself says it, unit."""
    rng = random.Random(f"readings {seed}")

    def drawn(number: NumberSpec, low: Fraction, high: Fraction) -> Amount:
        step = 10**number.max_decimals
        value = rng.randint(int(low * step), int(high * step))
        return Amount(Fraction(value, step), number.units[0], Fraction(1, step))

    spoken = _read(language, count, drawn)
    name = "readings" if voices == VOICES else "unseen readings"
    return _spoken(name, "random readings of the step's gauge, invented", spoken, rng, voices)


def other_units(language: Language, count: int, seed: int) -> Corpus:
    """Readings as in :func:`readings`, said in another unit than the gauge's."""
    rng = random.Random(f"other units {seed}")

    def drawn(number: NumberSpec, low: Fraction, high: Fraction) -> Amount:
        unit = rng.choice(number.units[1:])
        mark = Fraction(1, 10 ** _SAID_DECIMALS[unit])
        first, last = (Amount(end, number.units[0]).to(unit).value / mark for end in (low, high))
        return Amount(rng.randint(int(first), int(last)) * mark, unit, mark)

    spoken = _read(language, count, drawn)
    return _spoken("other units", "random readings in another unit, invented", spoken, rng)


def _read(
    language: Language, count: int, drawn: Callable[[NumberSpec, Fraction, Fraction], Amount]
) -> list[tuple[str, str]]:
    """(state, words) of readings in turn through the states; ``drawn`` takes a state's range."""
    spoken: list[tuple[str, str]] = []
    while len(spoken) < count:
        state = READING_STATES[len(spoken) % len(READING_STATES)]
        number = STATES[state].reading
        assert number is not None
        assert number.low is not None
        assert number.high is not None
        text = f"reading {language.say_amount(drawn(number, number.low, number.high))}"
        if language.interpret(STATES[state], text):
            spoken.append((state, text))
    return spoken


def teens_and_tens(language: Language, count: int, seed: int) -> Corpus:
    """Thirteen and thirty, fourteen and forty and so on, in the same frames, by unseen voices."""
    rng = random.Random(f"teens {seed}")
    pairs = [
        (state, frame.format(number))
        for state, frame in _FRAMES
        for number in (*_TEENS, *_TENS)
        if language.interpret(STATES[state], frame.format(number))
    ]
    spoken = rng.sample(pairs, min(count, len(pairs)))
    return _spoken("teens and tens", "pairs in the same frame", spoken, rng, UNSEEN)


def sampled(language: Language, count: int, seed: int) -> Corpus:
    """Anything that the grammars of the states allow, likely or not."""
    rng = random.Random(f"sampled {seed}")
    names = list(STATES)
    spoken: list[tuple[str, str]] = []
    while len(spoken) < count:
        state = names[len(spoken) % len(names)]
        text = language.sample(STATES[state], rng)
        if len(language.interpret(STATES[state], text)) == 1:
            spoken.append((state, text))
    return _spoken("sampled", "random phrases of the states' grammars", spoken, rng)


def trade(language: Language, count: int, seed: int, voices: tuple[str, ...] = VOICES) -> Corpus:
    """The fixed list of trade phrases beside this file, by every voice in turn."""
    rng = random.Random(f"trade {seed}")
    lines = (Path(__file__).parent / "trade_phrases.tsv").read_text(encoding="utf-8").splitlines()
    phrases = [tuple(line.split("\t")) for line in lines if line and not line.startswith("#")]
    known = [(s, t) for s, t in phrases if language.interpret(STATES[s], t)]
    spoken = [known[i % len(known)] for i in range(count)]
    name = "trade" if voices == VOICES else "unseen trade"
    return _spoken(name, "fixed trade phrases", spoken, rng, voices)


def _spoken(
    name: str,
    note: str,
    phrases: list[tuple[str, str]],
    rng: random.Random,
    voices: tuple[str, ...] = VOICES,
) -> Corpus:
    items = []
    order = rng.sample(voices, len(voices))
    for index, (state, text) in enumerate(phrases):
        # Neighbouring phrases share a state in turn, so the voice must not cycle with them.
        voice = order[(index + index // len(order)) % len(order)]
        tempo = rng.choice(TEMPOS)
        task = Task(state, STATES[state])
        sound = partial(say, text, voice, tempo)
        items.append(CorpusItem(f"{name}-{index}", task, text, voice, sound))
    return Corpus(name, f"{note}; synthetic voices {', '.join(sorted(voices))}", tuple(items))


def debian(folder: Path = DEBIAN) -> Corpus | None:
    """Debian's pocketsphinx-testdata: people, each recording with its own vocabulary."""
    if not (folder / "cards" / "cards.transcription").is_file():
        return None
    cards = Task("cards", None, (folder / "cards" / "cards.gram").read_text(encoding="utf-8"))
    items = []
    for line in (folder / "cards" / "cards.transcription").read_text().splitlines():
        text, _, name = line.replace("<s>", "").replace("</s>", "").rpartition("(")
        path = folder / "cards" / f"{name.rstrip(')')}.wav"
        items.append(
            CorpusItem(
                path.stem, cards, " ".join(text.split()), "person", partial(read_audio, path)
            )
        )
    go = Task("goforward", None, (folder / "goforward.gram").read_text(encoding="utf-8"))
    raw = partial(_raw, folder / "goforward.raw")
    items.append(CorpusItem("goforward", go, "go forward ten meters", "person", raw))
    # The name gives the digits, after the naming of the TIDIGITS corpus (z: zero).
    raw = partial(_raw, folder / "tidigits" / "dhd.2934z.raw")
    items.append(CorpusItem("dhd.2934z", DIGITS, "two nine three four zero", "person", raw))
    return Corpus("debian", "Debian pocketsphinx-testdata, recorded people", tuple(items))


def librivox(folder: Path = DEBIAN) -> Iterator[Samples]:
    """Recorded reading aloud from the same package: speech that is not a command."""
    for path in sorted((folder / "librivox").glob("*.wav")):
        yield read_audio(path)


def folder_corpus(folder: Path, language: Language) -> Corpus:
    """A folder of sound files with ``transcript.tsv``: on each line a file name, a tab, the words.

    Without one, files named as the Free Spoken Digit Dataset names them (``7_jackson_32.wav``)
    tell by their names which digit is said by whom.

    A phrase is listened for in the first state that knows it; digits said alone belong to the
    state of a value read back digit by digit; anything else gets a grammar of the folder's own
    phrases.

    Raises:
        SpeechError: there is no transcript, or one of its lines cannot be read.
    """
    listing = folder / "transcript.tsv"
    if not listing.is_file():
        digits = [found for path in sorted(folder.glob("*.wav")) if (found := _digit(path))]
        if digits:
            return Corpus(folder.name, f"single digits in {folder}", tuple(digits))
        raise SpeechError(
            f"{folder} holds no transcript.tsv; write one line per file: name, tab, words."
        )
    pairs: list[tuple[str, str]] = []
    for number, line in enumerate(listing.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip():
            continue
        name, tab, text = line.partition("\t")
        if not tab or not text.strip() or not (folder / name).is_file():
            raise SpeechError(
                f"{listing}:{number}: write the name of a sound file of the folder, a tab and "
                "the words that are said in it."
            )
        pairs.append((name, " ".join(text.lower().split())))
    own = _own_task(folder.name, {text for _, text in pairs})
    items = tuple(
        CorpusItem(
            name,
            _task_for(text, language) or own,
            text,
            "person",
            partial(read_audio, folder / name),
        )
        for name, text in pairs
    )
    return Corpus(folder.name, f"recordings in {folder}", items)


def _digit(path: Path) -> CorpusItem | None:
    named = re.fullmatch(r"(\d)_([a-z]+)_\d+", path.stem)
    if named is None:
        return None
    text = DIGIT_WORDS[int(named[1])]
    sound = partial(read_audio, path)
    return CorpusItem(path.name, Task("digits", STATES["digits"]), text, named[2], sound)


def _task_for(text: str, language: Language) -> Task | None:
    for name in ("digits", *STATES):
        if language.interpret(STATES[name], text):
            return Task(name, STATES[name])
    return None


def _own_task(name: str, texts: set[str]) -> Task:
    options = " | ".join(sorted(texts))
    return Task(name, None, f"#JSGF V1.0;\ngrammar own;\npublic <phrase> = {options};\n")


DIGIT_WORDS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")

DIGITS = Task(
    "digit strings",
    None,
    "#JSGF V1.0;\ngrammar digits;\npublic <digits> = <digit>+;\n<digit> = zero | oh | one | two"
    " | three | four | five | six | seven | eight | nine;\n",
)
"""Strings of digits of any length, as in the TIDIGITS corpus."""


def _raw(path: Path) -> Samples:
    """Headerless 16-bit sound at 16 kHz."""
    samples, _ = soundfile.read(
        path, dtype="int16", samplerate=16000, channels=1, format="RAW", subtype="PCM_16"
    )
    return np.asarray(samples, np.int16)
