"""The voice check: listens to a builder reading, advises, and keeps a profile."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from assistant.audio.microphone import Microphone
from assistant.cli.errors import plainly
from assistant.cli.hearing import Hearing, open_engine
from assistant.cli.speaking import open_voice, voice_output
from assistant.cli.terminal import tell
from assistant.dialogue.effects import Say
from assistant.fitting import advice
from assistant.fitting.errors import FittingError
from assistant.fitting.levels import Levels, measure
from assistant.fitting.profile import (
    CheckedPhrase,
    ChosenThresholds,
    MeasuredLevels,
    Profile,
    save,
)
from assistant.fitting.taking import (
    Checker,
    Take,
    Taken,
    UnmatchedError,
    from_file,
    from_folder,
    from_microphone,
)
from assistant.fitting.thresholds import choose
from assistant.fitting.words import Asked, CheckWords, load_words
from assistant.language import Language
from assistant.language.policy import Policy
from assistant.language.tree import GrammarError
from assistant.session.clock import WallClock
from assistant.session.edges import EndOfInput
from assistant.shared_options import options_as_objects
from assistant.speech.errors import SpeechError

app = typer.Typer()

_AUDIO = (
    "Instead of a microphone: one recording of all phrases in their order, or a folder of "
    "recordings with transcript.tsv."
)


@dataclass(frozen=True, kw_only=True)
class VoiceCheckOptions:
    """Whose voice is checked, and what with."""

    builder: Annotated[
        str, typer.Option("--builder", help="The first and last name of the person who reads.")
    ]
    audio: Annotated[Path | None, typer.Option("--audio", help=_AUDIO)] = None
    language: Annotated[str, typer.Option("--language", help="Language to listen for.")] = "en-US"
    engine: Annotated[str, typer.Option("--engine", help="Recogniser, as with run.")] = "auto"
    device: Annotated[
        str | None, typer.Option("--device", help="Microphone: part of its name.")
    ] = None
    voice: Annotated[str, typer.Option("--voice", help="Voice that asks, as with run.")] = "auto"
    keep: Annotated[bool, typer.Option(help="Keep the profile, for run and resume to load.")] = True


@app.command("fit")
@plainly(FittingError, SpeechError, GrammarError)
@options_as_objects
def fit(asked: VoiceCheckOptions) -> None:
    """Check how well your voice is heard here: three minutes of reading aloud, then advice."""
    if not asked.builder.strip():
        raise FittingError("Say whose voice it is: --builder 'First Last'.")
    language, audio = Language.load(asked.language), asked.audio
    words = load_words(language, asked.language)
    listener = open_engine(Hearing(engine=asked.engine), asked.language)
    checker = Checker(listener, language)
    if audio is None:
        taken, source = _spoken(checker, words, asked)
    elif audio.is_dir():
        taken, source = from_folder(checker, audio), audio.name
    else:
        taken, source = _from_file(checker, words, audio), audio.name
    profile = _judged(taken, words, asked, listener.name, source)
    if not asked.keep:
        tell("Not kept.")
    elif not taken.speech:
        raise FittingError(
            "Nothing was said, so there is no profile to keep; check the microphone."
        )
    else:
        tell(f"Kept in {save(profile)}; run and resume load it for {profile.builder}.")


def _from_file(checker: Checker, words: CheckWords, audio: Path) -> Taken:
    try:
        return from_file(checker, words.asked, audio)
    except UnmatchedError as fault:
        levels = measure(fault.taken.speech, fault.taken.room)
        _levels(levels, words)
        for sentence in advice.on_levels(levels, words):
            tell(sentence)
        raise


def _spoken(checker: Checker, words: CheckWords, options: VoiceCheckOptions) -> tuple[Taken, str]:
    output = voice_output(open_voice(options.voice))

    def say(key: str, **params: object) -> None:
        text = words(key, **params)
        tell(text)
        output.say(Say(text, "ask"))

    def ask(asked: Asked, again: bool) -> None:
        say("ask_again" if again else "ask", phrase=asked.text)

    with Microphone(options.device, output.gate) as microphone:
        say("opening", builder=options.builder, count=len(words.asked))
        say("quiet")
        try:
            taken = from_microphone(checker, words.asked, microphone.blocks(), ask)
        except EndOfInput:
            raise FittingError("The microphone was closed before the check was over.") from None
        say("done")
        return taken, microphone.name


def _judged(
    taken: Taken, words: CheckWords, options: VoiceCheckOptions, listener: str, source: str
) -> Profile:
    """Print what was heard and what to do about it; the profile that follows."""
    levels = measure(taken.speech, taken.room)
    heard = advice.scores(taken.takes)
    chosen, usual = choose(heard), Policy()
    _table(taken.takes, words)
    _levels(levels, words)
    advised = (*advice.on_levels(levels, words), *advice.on_phrases(taken.takes, levels, words))
    for sentence in (*advised, *advice.on_thresholds(chosen, heard, words, usual)):
        tell(sentence)
    return Profile(
        builder=" ".join(options.builder.split()),
        made_at=WallClock().now(),
        language=options.language,
        listener=listener,
        source=source,
        levels=MeasuredLevels(
            speech_dbov=round(levels.speech_dbov, 1),
            noise_dbov=round(levels.noise_dbov, 1),
            snr_db=round(levels.snr_db, 1),
            clipped=round(levels.clipped, 5),
        ),
        thresholds=ChosenThresholds(reject=chosen.reject, sure=chosen.sure),
        phrases=tuple(
            CheckedPhrase(
                asked=t.asked.text, heard=t.heard, confidence=round(t.confidence, 3), right=t.right
            )
            for t in taken.takes
        ),
        advice=advised,
    )


def _table(takes: Sequence[Take], words: CheckWords) -> None:
    width = max((len(t.asked.text) for t in takes), default=0)
    for take in takes:
        score = f"{take.confidence:.2f}" if take.heard else "    "
        tell(f"  {take.asked.text:<{width}}  {score}  {advice.outcome(take, words)}")
    right = sum(t.right for t in takes)
    tell(f"{right} of {len(takes)} phrases heard right.")


def _levels(levels: Levels, words: CheckWords) -> None:
    if not levels.silent:
        tell(
            words(
                "levels",
                speech=levels.speech_dbov,
                noise=levels.noise_dbov,
                snr=levels.snr_db,
                clipped=levels.clipped,
            )
        )
