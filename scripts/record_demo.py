"""Records the demonstration session: record_demo.py [NAME].

Plays an attentive builder against the recogniser that ships: each line that the session awaits is
spoken by one of several synthetic speakers, with pauses, breaths and bench noise, recognised, and
answered. What was spoken, in that order, becomes ``audio_fixtures/NAME.flac`` and
``NAME.lines.txt``. A line that was not understood is repeated by the next speaker, as a person
would. The speaker of each line is the one that the recogniser is surest of. Of several takes, the
one whose least sure line is surest is kept, so that small differences between machines do no harm.
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from itertools import chain
from pathlib import Path

import numpy as np
import soundfile

from assistant.audio.synthesis import synthesise, waited_for
from assistant.cli.demo import DemoScript, differences, read_script
from assistant.cli.people import people
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.events import AnyEvent, Heard, Opened, TimerElapsed
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended, Waiting
from assistant.journal.chain import GENESIS, link
from assistant.journal.types import Entry
from assistant.language import Language
from assistant.language.hypothesis import Recognition, typed
from assistant.procedure.loader import file_sha256, load_procedure
from assistant.report.record import build_record
from assistant.resources import data_folder
from assistant.session.drafts import drafts
from assistant.session.stand_in import next_line
from assistant.speech.ear import shipped
from assistant.speech.ear.engine import EarEngine
from assistant.speech.endpoint import Endpointer, utterances
from assistant.speech.speculative import SpeculativeFollower
from assistant.speech.types import SAMPLE_RATE, Samples

SPEAKERS = ("slt", "rms", "slt_hts", "awb")
SEEDS = (7, 107)
_AT = "2026-01-05T08:00:00+00:00"
_MOST_LINES = 300


def record(name: str, seed: int) -> tuple[Samples, list[str], float]:
    """Speak a whole session; returns its sound, its lines and the least confidence in one."""
    folder = data_folder("audio_fixtures")
    script = read_script(folder / f"{name}.yaml")
    path = data_folder("procedures") / f"{script.procedure}.yaml"
    procedure = load_procedure(path)
    language = Language.load(procedure.language)
    context = Context(procedure, language)
    engine = shipped.load(language.pronunciations)
    opened = Opened(
        at=_AT,
        job=script.job,
        procedure_id=procedure.id,
        procedure_revision=procedure.revision,
        procedure_sha256=file_sha256(path),
        procedure=procedure.model_dump(mode="json"),
        people=people(script.builder, script.inspectors),
        clock="demo",
        talk="usual",
    )
    state, _ = advance(context, State(), opened)
    # One of each for the whole session, hearing along, as when the file is played.
    following = SpeculativeFollower(engine)
    endpointer = Endpointer(follower=following)
    sounds: list[Samples] = []
    lines: list[str] = []
    least = 1.0
    while not isinstance(state.awaiting, Ended):
        if isinstance(state.awaiting, Waiting):
            step, until = min(state.waits.items(), key=lambda item: item[1])
            state, _ = advance(context, state, TimerElapsed(at=until, step=step))
            continue
        if len(lines) >= _MOST_LINES:
            raise SystemExit(f"The session does not come to its end: it is at {state.awaiting}.")
        line = next_line(context, state, script.answers())
        assert line is not None
        expected = listening(context, state)
        if not expected.free:
            engine.listen_for(language.jsgf(expected.spec), language.words(expected.spec))
        speaker = _surest(engine, line, seed + len(lines), lines.count(line))
        said = _speak(line, speaker, seed + len(lines))
        _take_up(engine, following, language, expected)
        sounds.append(said)
        for utterance in chain(endpointer.follow(said), waited_for(endpointer, sounds)):
            if expected.free:
                recognition = Recognition((), engine.name)
            else:
                recognition = engine.recognise(utterance)
            event = Heard(at=_AT, recognition=recognition, clip=None)
            state, _ = advance(context, state, event)
            expected = listening(context, state)
            if isinstance(state.awaiting, Ended):
                continue  # nothing is listened for any more
            _take_up(engine, following, language, expected)
            words = recognition.hypotheses[0] if recognition.hypotheses else None
            told = f"{words.text} ({words.confidence:.2f})" if words else "-"
            least = min(least, words.confidence if words else least)
            print(f"{speaker:8} {line:45} {told}")
        lines.append(line)
    if not _typed_alike(context, opened, lines, script):
        least = 0.0  # a line was misheard and taken back: typed, these lines would go astray
    return np.concatenate(sounds), lines, least


def _take_up(
    engine: EarEngine, following: SpeculativeFollower, language: Language, expected: Expectation
) -> None:
    """Listen for what the moment expects, as a session does."""
    if expected.free:
        following.grammar(None)
        return
    jsgf = language.jsgf(expected.spec)
    engine.listen_for(jsgf, language.words(expected.spec))
    following.grammar(jsgf)


def _typed_alike(context: Context, opened: Opened, lines: list[str], script: DemoScript) -> bool:
    """Whether the same lines, typed, come to the same end with the same record."""
    state, entries = State(), list[Entry]()

    def put(event: AnyEvent) -> None:
        nonlocal state
        state, effects = advance(context, state, event)
        for draft in drafts(event, effects):
            entries.append(link("typed", len(entries) + 1, GENESIS, draft)[0])

    put(opened)
    for line in lines:
        while isinstance(state.awaiting, Waiting):
            step, until = min(state.waits.items(), key=lambda item: item[1])
            put(TimerElapsed(at=until, step=step))
        put(Heard(at=_AT, recognition=typed(line)))
    finished = isinstance(state.awaiting, Ended)
    return finished and not differences(script, context.procedure, build_record(entries))


def _surest(engine: EarEngine, line: str, number: int, turn: int) -> str:
    """The speaker whose ``line`` is heard rightly and most surely; all of them get their turn."""
    quiet = np.zeros(SAMPLE_RATE, np.int16)
    scores: list[tuple[float, str]] = []
    for place, speaker in enumerate(SPEAKERS):
        heard = list(utterances([quiet, _speak(line, speaker, number)]))
        if len(heard) != 1:
            continue
        best = next(iter(engine.recognise(heard[0]).hypotheses), None)
        if best is not None and best.text == line:
            # above this all are sure enough, and variety is worth more
            bonus = 0.01 if place == (number + turn) % len(SPEAKERS) else 0.0
            scores.append((min(best.confidence, 0.95) + bonus, speaker))
    return max(scores)[1] if scores else SPEAKERS[(number + turn) % len(SPEAKERS)]


def _speak(line: str, speaker: str, number: int) -> Samples:
    script = ["@noise bench 35", "@breath"] if number % 3 == 0 else ["@noise bench 35"]
    return synthesise([*script, line], speaker, number)


def main() -> None:
    """Record and write."""
    name = sys.argv[1] if len(sys.argv) > 1 else "kb2_input_shaft"
    with ProcessPoolExecutor() as pool:
        samples, lines, least = max(
            pool.map(partial(record, name), SEEDS), key=lambda take: take[2]
        )
    folder = Path(data_folder("audio_fixtures"))
    soundfile.write(folder / f"{name}.flac", samples, SAMPLE_RATE, subtype="PCM_16")
    (folder / f"{name}.lines.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    size = (folder / f"{name}.flac").stat().st_size
    print(f"Least confidence in a line {least:.2f}")
    print(f"{len(lines)} lines, {len(samples) / SAMPLE_RATE:.0f} s, {size} bytes")


if __name__ == "__main__":
    main()
