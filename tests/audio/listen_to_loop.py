"""Run in the virtual sound's environment: plays, listens, prints what was heard as JSON.

Usage: ``listen_to_loop.py phrase FILE`` or ``listen_to_loop.py voice open|gated FILE``. A program
of its own because PortAudio looks for devices once per process.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator

from assistant.audio.gate import HalfDuplexGate
from assistant.audio.microphone import Microphone
from assistant.speech.endpoint import utterances
from assistant.speech.types import SAMPLE_RATE, Samples
from assistant.voice.voices import EspeakVoice
from tests.ears import shipped_ear

GRAMMAR = "#JSGF V1.0; grammar c; public <c> = step done | go on | stop work | that is right;"
AFTER_S = 2.5  # of sound, for what is under way and for the quiet that ends an utterance
WORDS = ("step", "done", "go", "on", "stop", "work", "that", "is", "right")


def until_played(microphone: Microphone, player: subprocess.Popen[bytes]) -> Iterator[Samples]:
    """What is captured until the player has ended, and a little more, however slow the machine."""
    after = 0
    for block in microphone.blocks():
        yield block
        if player.poll() is not None:
            after += len(block)
        if after >= AFTER_S * SAMPLE_RATE:
            return


def main(mode: str, *rest: str) -> None:
    engine = shipped_ear()
    engine.listen_for(GRAMMAR, WORDS)
    gate = HalfDuplexGate()
    with Microphone(gate=gate) as microphone:
        next(microphone.blocks())  # capture has truly begun
        if mode == "voice":
            voice = EspeakVoice()
            if rest[0] == "gated":
                with gate.closed():
                    voice.speak("Go on.")
            else:
                voice.speak("Go on.")
        player = subprocess.Popen(["paplay", rest[-1]])
        found = list(utterances(until_played(microphone, player)))
        player.wait()
        texts = [h.text for u in found for h in engine.recognise(u).hypotheses[:1]]
        peak = max(int(abs(u.samples.astype(int)).max()) for u in found) if found else 0
        answer = {"texts": texts, "overruns": microphone.overruns, "peak": peak}
        print(json.dumps(answer))


if __name__ == "__main__":
    main(*sys.argv[1:])
