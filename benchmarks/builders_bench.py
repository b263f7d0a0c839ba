"""Every kind of builder does every demonstration job: how much is said, and who meets a dead end.

The builders are those of ``stand_ins``. A dead end is one of these:

- ``again``: the same answer twice to two lines that were no questions, and nothing has moved;
- ``refused``: "not understood" for words that the procedure or the assistant has;
- ``no way``: a line that led nowhere, answered without any words that lead on;
- ``stuck``: what the attentive builder would say leads nowhere, or the job does not end.

``record`` counts jobs whose record differs from what the gauges showed. Exit status 1 where a dead
end was met or a record differs. Run from the checkout:
``python -m benchmarks.builders_bench [--seeds 3] [--job NAME] [--builder NAME] [--show]``.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from random import Random
from typing import get_args

from assistant.cli.demo import DemoScript, differences, read_script
from assistant.cli.people import people
from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import Chime, EndSession, Record, Say
from assistant.dialogue.events import AnyEvent, Heard, Resumed, TimerElapsed
from assistant.dialogue.expectation import listening
from assistant.dialogue.facts import StepDone
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.owner import taught
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended
from assistant.dialogue.talk import Talk
from assistant.journal.chain import GENESIS, link
from assistant.journal.types import Entry
from assistant.language.hypothesis import typed
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.procedure.step import ReadStep
from assistant.report.record import build_record
from assistant.session.drafts import drafts
from assistant.session.stand_in import next_line
from benchmarks.stand_ins import BUILDERS, Builder, Moment
from benchmarks.talk_bench import english_jobs, seconds
from tests.session.kit import START, demo_context, opened_event
from tests.session.test_golden import AT_THE_BENCH, SCRIPTS

DEAD_ENDS = ("again", "refused", "no way", "stuck")
_MOST_LINES = 1500
_NIGHT = timedelta(hours=14)
_READS = ("measurement", "log")


@dataclass
class Tally:
    """What one builder's jobs came to."""

    utterances: int = 0
    said_s: float = 0.0
    steps: int = 0
    readings: int = 0
    reading_utterances: int = 0
    reading_s: float = 0.0
    met: Counter[str] = field(default_factory=Counter)
    where: list[str] = field(default_factory=list)

    def meet(self, dead_end: str, line: str, answer: str) -> None:
        """Note a dead end, with the line that led there and its answer."""
        self.met[dead_end] += 1
        self.where.append(f"{dead_end}: > {line!r}: {answer}")


@dataclass
class Job:
    """One builder at one job; ``now`` advances with every line."""

    context: Context
    script: DemoScript
    tally: Tally
    state: State = field(default_factory=State)
    entries: list[Entry] = field(default_factory=list)
    now: datetime = START
    facts: int = 0
    answer: str = ""  # to the line said last, with what is only shown
    chimed: bool = False
    stopped: bool = False
    rung: set[tuple[str, str]] = field(default_factory=set)

    def feed(self, event: AnyEvent) -> None:
        """One event: what is said counts, and its facts."""
        step = self.state.step
        self.state, effects = advance(self.context, self.state, event)
        for draft in drafts(event, effects):
            self.entries.append(link("bench", len(self.entries) + 1, GENESIS, draft)[0])
        lines = [e for e in effects if isinstance(e, Say)]
        took = sum(seconds(x.text, x.tone) for x in lines if x.text)
        self.tally.said_s += took
        if step is not None and self.context.procedure.step(step).kind in _READS:
            self.tally.reading_s += took
            self.tally.reading_utterances += event.kind == "heard"
        for effect in effects:
            if isinstance(effect, Record):
                self.facts += 1
                fact = effect.fact
                self.tally.steps += isinstance(fact, StepDone) and fact.how == "done"
                self.tally.readings += isinstance(fact, ReadingConfirmed)
        self.answer = " ".join(x.whole for x in lines)
        self.chimed = any(isinstance(e, Chime) for e in effects)
        self.stopped = any(isinstance(e, EndSession) and e.how == "stopped" for e in effects)

    def wait_until(self, when: datetime) -> None:
        """Time passes; the timers that ring meanwhile ring."""
        while waits := [wait for wait in self.state.waits.items() if wait not in self.rung]:
            step, until = min(waits, key=lambda wait: wait[1])
            at = datetime.fromisoformat(until)
            if at > when:
                break
            self.rung.add((step, until))  # a longest time goes on being counted when it is up
            self.now = max(self.now, at)
            self.feed(TimerElapsed(at=self.now.isoformat(), step=step))
        self.now = max(self.now, when)

    def say(self, line: str) -> bool:
        """One line of the builder; returns whether anything moved."""
        before, facts = self.state.awaiting, self.facts
        free = listening(self.context, self.state).free
        self.tally.utterances += 1
        at = self.now.isoformat()
        self.feed(Heard(at=at, recognition=typed(line), seconds=2.0 if free else None))
        return self.state.awaiting != before or self.facts != facts


def do(name: str, builder: Builder, seed: int, tally: Tally) -> None:
    """``builder`` does the job ``name``; what is said and met is added to ``tally``."""
    script = read_script(SCRIPTS[name])
    context, rng = demo_context(name), Random(f"{name} {builder.name} {seed}")
    job = Job(context, script, tally)
    assert builder.talk in get_args(Talk)
    changes: dict[str, object] = {
        "people": people(script.builder, script.inspectors), "job": script.job,
        "talk": builder.talk, **AT_THE_BENCH.get(name, {}),
    }  # fmt: skip
    job.feed(opened_event(context).model_copy(update=changes))
    _work(job, builder, rng)
    for difference in differences(script, context.procedure, build_record(job.entries)):
        if not _of_a_row(context, difference):
            tally.meet("record", name, difference)


def _of_a_row(context: Context, difference: str) -> bool:
    """Whether it is of a row of a log that the builder missed, or read beyond the script."""
    logs = [f"{step.id} " for step in context.procedure.steps if step.kind == "log"]
    return difference.startswith(tuple(logs)) and "nothing was" in difference


def _answers(job: Job) -> Answers:
    """The script's answers; in later rows of a log the values stay as they were in its last."""
    answers = job.script.answers()
    readings = {step: dict(places) for step, places in answers.readings.items()}
    for step in job.context.procedure.steps:
        if step.kind == "log" and step.id in readings and isinstance(step, ReadStep):
            given = readings[step.id]
            last = {place.rpartition(" ")[0]: said for place, said in given.items()}
            for place in step.places:
                if place not in given and place.rpartition(" ")[0] in last:
                    given[place] = last[place.rpartition(" ")[0]]
    return replace(answers, readings=readings)


def _work(job: Job, builder: Builder, rng: Random) -> None:
    before, astray, answered, answers = "", False, "", _answers(job)
    for _ in range(_MOST_LINES):
        if isinstance(job.state.awaiting, Ended):
            return
        line = next_line(job.context, job.state, answers)
        if line is None:
            job.wait_until(min(map(datetime.fromisoformat, job.state.waits.values())))
            continue
        moment = Moment(job.context, job.state, line, rng, before, astray)
        chosen = builder.says(moment)
        if job.state.step is not None and not astray and moment.chance(builder.rests):
            chosen = [moment.phrase("stop_work"), moment.phrase("confirm")]
        for said in chosen:
            job.wait_until(job.now + timedelta(seconds=builder.seconds))
            moved = job.say(said)
            asks = _asks(job.context, said)
            astray = not moved and not asks
            if astray:
                _judge(job, said, right=said == line and job.state.listening, before=answered)
            answered = "" if moved or asks else job.answer
            before = said
        if job.stopped:
            job.now += _NIGHT
            job.feed(Resumed(at=job.now.isoformat()))
    tally_end = f"more than {_MOST_LINES} lines at {job.state.awaiting}"
    job.tally.meet("stuck", before, tally_end)


def _asks(context: Context, line: str) -> bool:
    """Whether a line asks for something that is answered everywhere."""
    return bool(context.language.interpret(ListenSpec(commands=ANYTIME), line))


def _judge(job: Job, line: str, right: bool, before: str) -> None:
    """A line led nowhere: whether that was a dead end."""
    if right:
        job.tally.meet("stuck", line, job.answer)
    if job.answer == before:
        job.tally.meet("again", line, job.answer)
    start = job.context.language.prompt("not_understood", text="|").partition("|")[0]
    if job.answer.startswith(start) and _has_words(job.context, line):
        job.tally.meet("refused", line, job.answer)
    if not any(words in job.answer.lower() for words in _ways_on(job)):
        job.tally.meet("no way", line, job.answer)


def _has_words(context: Context, line: str) -> bool:
    """Whether a line is a command, a value, a spelling, or words of the procedure."""
    language = context.language
    units = ("thou", "in", "mm", "um", "N*m", "lbf*ft", "deg", "degC", "N")
    spec = ListenSpec(commands=language.command_ids, digits=True, spelling=True)
    if language.interpret(spec, line):
        return True
    return bool(language.interpret(ListenSpec(reading=NumberSpec(units)), line))


def _ways_on(job: Job) -> Iterator[str]:
    """The words that lead on from here, or to the help that names them."""
    context, state = job.context, job.state
    spec = listening(context, state).spec
    language = context.language
    for command in spec.commands:
        if command not in ANYTIME or command == "help":
            yield taught(context, state.awaiting, command)
    # "Say inspector, and your initials" names the way as well as the whole phrase does
    yield from (words.lower().split()[0] for _, words in spec.phrases)
    kinds = {"reading": spec.reading, "digits": spec.digits, "spelling": spec.spelling}
    for kind, wanted in kinds.items():
        if wanted:
            yield language.prompt("help_" + kind).split(",")[0]
    if spec.spelling:
        yield "spell it"


def main() -> int:
    """Do the jobs, print the tables."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--job", choices=english_jobs())
    parser.add_argument("--builder", action="append", choices=[b.name for b in BUILDERS])
    parser.add_argument("--show", action="store_true", help="every dead end, with its answer")
    chosen = parser.parse_args()
    names = [chosen.job] if chosen.job else english_jobs()
    print("| builder | utterances a step | speech, s a step | utterances a reading "
          f"| speech, s a reading | {' | '.join((*DEAD_ENDS, 'record'))} |")  # fmt: skip
    print("|---" * (6 + len(DEAD_ENDS)) + "|")
    found = 0
    wanted = chosen.builder or [builder.name for builder in BUILDERS]
    for builder in (b for b in BUILDERS if b.name in wanted):
        tally = Tally()
        for name in names:
            for seed in range(chosen.seeds):
                do(name, builder, seed, tally)
        counts = " | ".join(str(tally.met[x]) for x in (*DEAD_ENDS, "record"))
        print(f"| {builder.name} | {tally.utterances / tally.steps:.1f} "
              f"| {tally.said_s / tally.steps:.1f} "
              f"| {tally.reading_utterances / tally.readings:.1f} "
              f"| {tally.reading_s / tally.readings:.1f} | {counts} |")  # fmt: skip
        found += tally.met.total()
        if chosen.show:
            print(*tally.where, sep="\n", file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
