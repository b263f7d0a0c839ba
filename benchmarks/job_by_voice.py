"""Does a whole job by voice, as sound: ``python -m benchmarks.job_by_voice kb2_bevel_drive``.

An attentive builder speaks each line that the job awaits: synthetic speakers take turns, over bench
noise. The recogniser that ships hears it, and the dialogue answers. A line that was not understood
is repeated, as a person would. At the step that the script names the builder stops for the day;
the job is rebuilt from what was stored, and goes on. At the end the record is compared with what
was spoken. The names are scripts of ``tests/golden``. ``--to FILE`` keeps the recording.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from pathlib import Path
from time import perf_counter

import numpy as np
import soundfile

from assistant.audio.synthesis import synthesise, waited_for
from assistant.cli.demo import DemoScript, differences, read_script
from assistant.cli.people import people
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.edition import EDITION
from assistant.dialogue.events import AnyEvent, Heard, Opened, Resumed, TimerElapsed
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.owner import owner_of
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended
from assistant.journal.chain import GENESIS, link
from assistant.journal.types import Entry
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.procedure.loader import file_sha256, load_procedure
from assistant.report.record import build_record
from assistant.resources import data_folder
from assistant.session.drafts import drafts
from assistant.session.replaying import rebuild
from assistant.session.stand_in import next_line
from assistant.speech.ear import shipped
from assistant.speech.ear.engine import EarEngine
from assistant.speech.endpoint import Endpointer
from assistant.speech.patience import Patience
from assistant.speech.speculative import SpeculativeFollower
from assistant.speech.types import SAMPLE_RATE, Samples

GOLDEN = Path(__file__).parent.parent / "tests" / "golden"
SPEAKERS = ("slt", "rms", "slt_hts", "awb")
NOISE = "@noise bench 35"
QUIET = np.zeros(int(Patience().open_end * SAMPLE_RATE), np.int16)
"""Behind every line, since a microphone goes on: as long as the end of a value is waited for."""
_AT = "2026-01-05T08:00:00+00:00"
_MOST_LINES = 400


class Job:
    """A job while it is done: its state, its entries, and what was said and heard."""

    def __init__(self, script: DemoScript) -> None:
        path = data_folder("procedures") / f"{script.procedure}.yaml"
        procedure = load_procedure(path)
        self.script = script
        self.language = Language.load(procedure.language)
        self.context = Context(procedure, self.language)
        self.state, self.entries = State(), list[Entry]()
        self.now = _AT  # moves with the timers
        self.sounds: list[Samples] = []
        self.counts: Counter[str] = Counter()
        self.confidences: list[float] = []
        self.stopping = ["stop work", "that is right"] if script.stop_at else []
        opened = Opened(
            at=_AT,
            job=script.job,
            procedure_id=procedure.id,
            procedure_revision=procedure.revision,
            procedure_sha256=file_sha256(path),
            procedure=procedure.model_dump(mode="json"),
            people=people(script.builder, script.inspectors),
            phrases_asked=True,
            edition=EDITION,
            clock="demo",
        )
        self.put(opened)

    def put(self, event: AnyEvent) -> None:
        """One event, and what is stored of it."""
        self.state, effects = advance(self.context, self.state, event)
        for draft in drafts(event, effects):
            self.entries.append(link("voice", len(self.entries) + 1, GENESIS, draft)[0])

    def read(self, session: str, after: int = 0) -> Iterator[Entry]:
        """What was stored, as a journal gives it."""
        return iter(self.entries[after:])

    def facts(self, kind: str = "") -> int:
        """How many facts of a kind were recorded; of any, if none is named."""
        return sum(e.kind == "fact" and kind in ("", e.body["kind"]) for e in self.entries)

    def by_voice(self) -> None:
        """To its end, or until the builder gives up."""
        engine = shipped.load(self.language.pronunciations)
        following = SpeculativeFollower(engine)
        endpointer = Endpointer(follower=following)
        while not isinstance(self.state.awaiting, Ended) and self.counts["lines"] < _MOST_LINES:
            if self.facts("work_stopped") > self.counts["resumed"]:
                self.state, _ = rebuild(self.context, self, "voice")
                self.counts["resumed"] += 1
                self.put(Resumed(at=self.now))
            if owner_of(self.state.awaiting).only_waits(self.state.awaiting):
                step, self.now = min(self.state.waits.items(), key=lambda item: item[1])
                self.put(TimerElapsed(at=self.now, step=step))
                continue
            before = (self.state.awaiting, self.facts())
            line = self._say(engine, following, endpointer)
            same = (self.state.awaiting, self.facts()) == before
            self.counts["repeated"] += same
            if line in self.stopping[:1] and not same:
                self.stopping.pop(0)

    def _say(
        self, engine: EarEngine, following: SpeculativeFollower, endpointer: Endpointer
    ) -> str:
        line = next_line(self.context, self.state, self.script.answers())
        assert line is not None
        if self.state.step == self.script.stop_at and self.stopping:
            line = self.stopping[0]
        number = self.counts["lines"]
        self.counts["lines"] += 1
        directions = [NOISE, "@breath"] if number % 3 == 0 else [NOISE]
        spoken = synthesise([*directions, line], SPEAKERS[number % len(SPEAKERS)], number)
        said = np.concatenate([spoken, QUIET])
        self.sounds.append(said)
        expected = listening(self.context, self.state)
        self._listen(engine, following, expected)
        for utterance in chain(endpointer.follow(said), waited_for(endpointer, self.sounds)):
            heard = Recognition((), engine.name) if expected.free else engine.recognise(utterance)
            self._count(line, heard, expected)
            self.put(Heard(at=self.now, recognition=heard, clip=None))
            expected = listening(self.context, self.state)
            if not isinstance(self.state.awaiting, Ended):
                self._listen(engine, following, expected)
        return line

    def _count(self, line: str, heard: Recognition, expected: Expectation) -> None:
        best = next(iter(heard.hypotheses), None)
        if expected.free:
            self.counts["kept as sound"] += 1
        elif best is None or not self._same(line, best.text, expected):
            self.counts["heard otherwise"] += 1
            print(f"  said '{line}', heard '{'' if best is None else best.text}'")
        if best is not None:
            self.confidences.append(best.confidence)

    def _same(self, line: str, heard: str, expected: Expectation) -> bool:
        """Whether both mean the same, however they are spelled."""
        meant, got = (self.language.interpret(expected.spec, text) for text in (line, heard))
        return bool(meant) and meant == got

    def _listen(
        self, engine: EarEngine, following: SpeculativeFollower, expected: Expectation
    ) -> None:
        if expected.free:
            following.grammar(None)
            return
        jsgf = self.language.jsgf(expected.spec)
        engine.listen_for(jsgf, self.language.words(expected.spec))
        following.grammar(jsgf)


def main() -> None:
    """Do the jobs that are named, and print a line for each."""
    parser = argparse.ArgumentParser(description="Do a whole job by voice.")
    parser.add_argument("names", nargs="+", help="scripts of tests/golden, such as kb2_bevel_drive")
    parser.add_argument("--to", type=Path, help="keep the recording of the last job in this file")
    given = parser.parse_args()
    print(
        f"{'job':20} {'lines':>5} {'otherwise':>9} {'again':>5} {'least':>5} {'sound':>6} "
        f"{'disposed':>8} {'adjusted':>8} {'resumed':>7}  record"
    )
    for name in given.names:
        job, begun = Job(read_script(GOLDEN / f"{name}.yaml")), perf_counter()
        job.by_voice()
        sound = np.concatenate(job.sounds)
        faults = differences(job.script, job.context.procedure, build_record(job.entries))
        if not isinstance(job.state.awaiting, Ended):
            faults.insert(0, f"not finished, at {job.state.step}")
        told = "; ".join(faults) or "as spoken"
        counts, seconds = job.counts, len(sound) / SAMPLE_RATE
        print(
            f"{name:20} {counts['lines']:5} {counts['heard otherwise']:9} {counts['repeated']:5} "
            f"{min(job.confidences):5.2f} {seconds:5.0f}s {job.facts('disposition_recorded'):8} "
            f"{job.facts('adjusted'):8} {counts['resumed']:7}  {told} "
            f"({perf_counter() - begun:.0f} s)",
            flush=True,
        )
        if given.to is not None:
            soundfile.write(given.to, sound, SAMPLE_RATE, subtype="PCM_16")


if __name__ == "__main__":
    main()
