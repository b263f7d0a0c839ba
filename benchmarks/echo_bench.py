"""Listening while speaking: how much of the echo goes, and whether the assistant hears itself.

The voice speaks every line of a whole job into a simulated bench: a loudspeaker that distorts a
little, a room (an exponentially decaying random response, RT60 given), room noise, and a delay from
loudspeaker to microphone. The output of the echo gate goes to the endpointer and the recogniser,
which listens for the phrases that may interrupt that line. Prints a table, with and without the
canceller:

- echo return loss enhancement (ERLE): level of the echo over what is left of it. The first two
  lines, in which the canceller learns the room, do not count.
- how often a phrase was heard although no builder spoke

Nothing is asserted.

    python benchmarks/echo_bench.py
"""

from __future__ import annotations

import argparse
import os
import platform
from dataclasses import dataclass

import numpy as np
import soxr

from assistant.audio.echo import EchoGate, Played
from assistant.cli.workplace import context_for, find_procedure
from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.interrupting import may_cut
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.procedure.loader import load_procedure
from assistant.session.session import Session
from assistant.speech.choice import choose_engine
from assistant.speech.endpoint import Endpointer
from assistant.speech.types import SAMPLE_RATE, Samples
from assistant.voice.espeak import EspeakSynthesiser
from tests.session.kit import SHAFT, Edges, MemoryJournal, StandInInput, new_session, opened

_SURE = 0.7
_GAP = np.zeros(SAMPLE_RATE, np.int16)


@dataclass
class Line:
    """A line, how it sounds, and what may interrupt it."""

    text: str
    sound: Samples
    cuts: Expectation


class Watching(Edges):
    """Keeps each line with the state that it was said in."""

    def __init__(self) -> None:
        super().__init__()
        self.session: Session | None = None
        self.lines: list[tuple[str, Expectation]] = []

    def say(self, said: Say) -> None:
        super().say(said)
        assert self.session is not None
        cuts = may_cut(self.session.context, self.session.state, (said.text,))
        self.lines.append((said.text, cuts))


def spoken_job() -> list[Line]:
    """Every line of the demonstration's procedure, as the stand-in builder goes through it."""
    edges = Watching()
    session = new_session(MemoryJournal(), edges)
    edges.session = session
    session.open(opened(session))
    session.run(StandInInput(session, SHAFT))
    voice = EspeakSynthesiser("en-US")
    lines = []
    for text, cuts in edges.lines:
        made = voice.synthesise(voice.prepared(text, "plain"), 150)
        sound = soxr.resample(made.samples, made.rate, SAMPLE_RATE)
        lines.append(Line(text, (sound * 0.5).astype(np.int16), cuts))
    return lines


def room(rt60_s: float, delay_s: float, rng: np.random.Generator) -> np.ndarray:
    """A room's response: silence for ``delay_s``, then decaying noise with a direct sound."""
    length = int(rt60_s * SAMPLE_RATE)
    tail = rng.standard_normal(length) * 10 ** (-3 * np.arange(length) / length) * 0.1
    tail[0] = 1.0
    return np.concatenate((np.zeros(int(delay_s * SAMPLE_RATE)), tail)) * 0.5


def echoed(far: Samples, response: np.ndarray, rng: np.random.Generator) -> tuple[Samples, Samples]:
    """What the microphone captures: the echo alone, and with noise at -60 dBFS."""
    driven = np.tanh(1.5 * far / 32768) / 1.5  # a small loudspeaker at its limit
    length = len(far) + len(response) - 1
    size = 1 << (length - 1).bit_length()
    echo = np.fft.irfft(np.fft.rfft(driven, size) * np.fft.rfft(response, size), size)[: len(far)]
    noise = rng.standard_normal(len(far)) * 10 ** (-60 / 20)
    return _int16(echo), _int16(echo + noise)


def measure(lines: list[Line], rt60_s: float, delay_s: float, cancelled: bool) -> dict[str, float]:
    """ERLE in dB over all lines but the first two, and what was heard that nobody said."""
    rng = np.random.default_rng(7)
    far = np.concatenate([part for line in lines for part in (line.sound, _GAP)])
    echo, near = echoed(far, room(rt60_s, delay_s, rng), rng)
    left = near
    if cancelled:
        played = Played()
        gate = EchoGate(played)
        out = []
        for start in range(0, len(near) // 1600 * 1600, 1600):
            played.put(far[start : start + 1600])
            got = gate.take(near[start : start + 1600])
            assert got is not None
            out.append(got)
        left = np.concatenate(out)
    context = context_for(load_procedure(find_procedure("kb2_input_shaft")))
    language = context.language
    assert isinstance(language, Language)
    engine = choose_engine("en-US").engine
    at, power_in, power_out, utterances, heard = 0, 0.0, 0.0, 0, 0
    for number, line in enumerate(lines):
        end = min(at + len(line.sound) + len(_GAP), len(left))
        if number >= 2:
            power_in += float(np.sum(echo[at:end].astype(float) ** 2))
            power_out += float(np.sum(left[at:end].astype(float) ** 2))
        if not line.cuts.spec.commands:
            at = end
            continue
        engine.listen_for(language.jsgf(line.cuts.spec), language.words(line.cuts.spec))
        ends = Endpointer()
        for found in [*ends.feed(left[at:end]), *ends.finish()]:
            utterances += 1
            heard += _counts(engine.recognise(found), language, line)
        at = end
    return {
        "erle_db": 10 * np.log10(power_in / power_out),
        "utterances": utterances,
        "heard": heard,
    }


def _counts(recognition: Recognition, language: Language, line: Line) -> bool:
    found = recognition.hypotheses
    if not found or found[0].confidence < _SURE:
        return False
    return len(language.interpret(line.cuts.spec, found[0].text)) == 1


def _int16(sound: np.ndarray) -> Samples:
    return np.clip(np.round(sound * 32768), -32768, 32767).astype(np.int16)


def main() -> None:
    """Print the table."""
    argparse.ArgumentParser(description=__doc__).parse_args()
    lines = spoken_job()
    seconds = sum(len(x.sound) for x in lines) / SAMPLE_RATE
    print(f"{platform.platform()}, {os.cpu_count()} CPUs; {len(lines)} lines, {seconds:.0f} s")
    print("RT60 s  delay ms  canceller  ERLE dB  utterances  taken for the builder", flush=True)
    rooms = [(rt60_s, delay_s) for rt60_s in (0.2, 0.5) for delay_s in (0.05, 0.2, 0.4)]
    # Without the canceller every line is decoded, which takes long: one room shows it.
    for rt60_s, delay_s, cancelled in [*((*x, True) for x in rooms), (0.5, 0.2, False)]:
        got = measure(lines, rt60_s, delay_s, cancelled)
        print(f"{rt60_s:6.1f}  {delay_s * 1000:8.0f}  {'on' if cancelled else 'off':>9}"
              f"  {got['erle_db']:7.1f}  {got['utterances']:10.0f}"
              f"  {got['heard']:21.0f}", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
