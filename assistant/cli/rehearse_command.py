"""The command that speaks a procedure through without a bench."""

from __future__ import annotations

from pathlib import Path

import soundfile
import typer

from assistant.cli.errors import plainly
from assistant.cli.languages import LANGUAGE
from assistant.cli.terminal import tell
from assistant.cli.which_procedure import load_in
from assistant.cli.workplace import AskedError, context_for
from assistant.procedure.faults import ProcedureFaults
from assistant.session.rehearsal import RehearsalError, rehearse
from assistant.speech.errors import SpeechError
from assistant.voice.voices import FileVoice

app = typer.Typer()

_WORDS_PER_MINUTE = 150


@app.command("rehearse")
@plainly(ProcedureFaults, AskedError, RehearsalError, SpeechError)
def rehearse_command(
    procedure: str = typer.Argument(..., help="A procedure's name or file."),
    language: str = LANGUAGE,
    audio: Path | None = typer.Option(None, "--audio", help="Also speak it into this folder."),
) -> None:
    """Speak a whole procedure, every sentence in order, and say how long that takes."""
    loaded = load_in(procedure, language)
    stuck: RehearsalError | None = None
    try:
        scenes = rehearse(context_for(loaded))
    except RehearsalError as fault:
        scenes, stuck = fault.reached, fault
    voice = None if audio is None else FileVoice(audio, loaded.language)
    for scene in scenes:
        tell(f"\n{scene.title}  ({scene.words / _WORDS_PER_MINUTE * 60:.0f} s)")
        for text in scene.said:
            tell(f"  {text}")
            if voice is not None:
                voice.speak(text)
    if stuck is not None:
        raise stuck
    words = sum(scene.words for scene in scenes)
    minutes = words / _WORDS_PER_MINUTE
    tell(f"\n{len(scenes) - 1} steps, {words} words: about {minutes:.0f} minutes to listen to.")
    if audio is not None:
        seconds = sum(soundfile.info(str(p)).duration for p in sorted(audio.glob("*.wav")))
        tell(f"Spoken into {audio}: {seconds / 60:.1f} minutes.")
