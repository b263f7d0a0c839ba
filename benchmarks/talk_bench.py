"""How much is said in a job: utterances of the builder, and seconds of speech of the assistant.

``jobs``: an attentive builder works through the demo procedures; every line that the assistant says
is synthesised by the default voice (espeak-ng at its own rate) and its sound is measured.
``lines [JOB]``: what is said in one job, line by line, the longest first: where to shorten.
``helps``: what "what can I say" is answered with at every moment of every job, and aside from it
(in a note, a skip, a stop, ...), the longest first.
``text TEXT``: any text, such as a value.
``prompts``: every prompt is said once, its places filled with an example, and measured.
Run from the checkout: ``python -m benchmarks.talk_bench jobs``, or another of these words.
"""

from __future__ import annotations

import argparse
import statistics
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from string import Formatter

from assistant.cli.demo import read_script
from assistant.cli.people import people
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import Effect, Record, Say
from assistant.dialogue.events import AnyEvent, Heard, TimerElapsed
from assistant.dialogue.expectation import listening
from assistant.dialogue.kinds.measurement.facts import ReadingOffered
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended
from assistant.language import Language
from assistant.language.hypothesis import typed
from assistant.language.tone import Tone
from assistant.session.stand_in import next_line
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.played_voice import trimmed
from assistant.voice.voices import DEFAULT_RATE
from tests.language.plural_forms import base_key
from tests.session.kit import demo_context, opened_event
from tests.session.test_golden import AT_THE_BENCH, SCRIPTS

_AT = "2026-01-05T08:00:00+00:00"


@lru_cache(maxsize=8)
def _voice(language: str) -> EspeakSynthesiser:
    return EspeakSynthesiser(language)


@lru_cache(maxsize=10_000)
def seconds(text: str, tone: Tone = "plain", language: str = "en-US") -> float:
    """How long ``text`` takes in the default voice."""
    voice = _voice(language)
    spoken = voice.synthesise(voice.prepared(text, tone), DEFAULT_RATE)
    return len(trimmed(spoken.samples, spoken.rate)) / spoken.rate


@dataclass
class JobTalk:
    """What was said in one job."""

    utterances: int = 0
    said: list[Say] = field(default_factory=list)
    readings: list[float] = field(default_factory=list)
    """Seconds of the readback of each reading that was in limits at once."""

    def take(self, effects: tuple[Effect, ...]) -> None:
        """Count what one event made the assistant say."""
        lines = [e for e in effects if isinstance(e, Say)]
        self.said += lines
        facts = [e.fact for e in effects if isinstance(e, Record)]
        offered = [f for f in facts if isinstance(f, ReadingOffered)]
        if (
            len(offered) == 1
            and offered[0].judgement.verdict == "in"
            and not offered[0].digits_asked
        ):
            readback = next(x for x in lines if x.tone == "readback")
            self.readings.append(seconds(readback.text, readback.tone))

    @property
    def seconds(self) -> float:
        """All of it."""
        return sum(seconds(x.text, x.tone) for x in self.said)


def work_through(name: str) -> JobTalk:
    """An attentive builder does the job of the script ``name``."""
    talk = JobTalk()
    for _, _, effects, heard in moments(name):
        talk.take(effects)
        talk.utterances += heard
    return talk


def moments(name: str) -> Iterator[tuple[Context, State, tuple[Effect, ...], bool]]:
    """Each state of a job done by an attentive builder, its effects, and whether they spoke."""
    script = read_script(SCRIPTS[name] if name in SCRIPTS else Path(name))
    context = demo_context(name)
    who = people(script.builder, script.inspectors)
    changes: dict[str, object] = {"people": who, "job": script.job, **AT_THE_BENCH.get(name, {})}
    event: AnyEvent = opened_event(context).model_copy(update=changes)
    state, now = State(), _AT
    while True:
        state, effects = advance(context, state, event)
        yield context, state, effects, isinstance(event, Heard)
        if isinstance(state.awaiting, Ended):
            return
        line = next_line(context, state, script.answers())
        if line is None:
            step, until = min(state.waits.items(), key=lambda wait: wait[1])
            now = max(now, until, key=datetime.fromisoformat)
            event = TimerElapsed(at=until, step=step)
            continue
        event = _said(context, state, line, now)


def _said(context: Context, state: State, line: str, at: str) -> Heard:
    took = 2.0 if listening(context, state).free else None
    return Heard(at=at, recognition=typed(line), seconds=took)


def english_jobs() -> list[str]:
    """The demonstration jobs that have a script in English."""
    return [name for name in SCRIPTS if "ko-KR" not in name]


def jobs() -> None:
    """Print the table of the demo procedures."""
    print(f"{'job':<28}{'utterances':>11}{'speech, s':>11}{'cautions':>10}{'readback, s':>16}")
    readings: list[float] = []
    for name in english_jobs():
        talk = work_through(name)
        readings += talk.readings
        cautions = sum(seconds(x.text, x.tone) for x in talk.said if x.tone == "caution")
        middle = f"{statistics.median(talk.readings):.1f}" if talk.readings else "-"
        print(f"{name:<28}{talk.utterances:>11}{talk.seconds:>11.0f}{cautions:>10.0f}{middle:>16}")
    print(f"{len(readings)} readings in limits, median {statistics.median(readings):.1f} s", end="")
    print(f"; the voice at {DEFAULT_RATE} words a minute")


def lines(name: str) -> None:
    """Print what is said in a job, each text with its seconds in all, the longest first."""
    said = Counter((x.tone, x.text) for x in work_through(name).said if x.text)
    took = {line: seconds(line[1], line[0]) for line in said}
    print("| s | times | s in all | tone | as it is said |\n|---|---|---|---|---|")
    for line in sorted(said, key=lambda line: -took[line] * said[line]):
        tone, text = line
        every = took[line] * said[line]
        print(f"| {took[line]:.1f} | {said[line]} | {every:.1f} | {tone} | {text} |")


_ASIDES = ("skip", "go_back", "take_note", "stop_work", "correction", "pause_listening")


def helps() -> None:
    """Print what "what can I say" is answered with, wherever it may be asked."""
    found: dict[str, set[str]] = {}
    asked = 0
    for name in english_jobs():
        for context, here, _, _ in moments(name):
            phrase = context.language.phrase_for
            may = listening(context, here).spec.commands
            words = [phrase(command) for command in _ASIDES if command in may]
            aside = [advance(context, here, _said(context, here, w, _AT))[0] for w in words]
            for state in (here, *aside):
                if "help" not in listening(context, state).spec.commands:
                    continue
                asked += 1
                _, effects = advance(context, state, _said(context, state, phrase("help"), _AT))
                text = " ".join(e.text for e in effects if isinstance(e, Say))
                found.setdefault(text, set()).add(type(state.awaiting).__name__)
    print("| s | where | as it is said |\n|---|---|---|")
    for text in sorted(found, key=lambda text: -seconds(text)):
        print(f"| {seconds(text):.1f} | {', '.join(sorted(found[text]))} | {text} |")
    print(f"\nasked {asked} times; {len(found)} answers")


# What may stand in the places of prompts; any other place gets a title.
_EXAMPLES = {
    "value": "one point five thou", "position": "top", "label": "bolt one", "said": "bolt two",
    "due": "bolt one", "labels": "bolt one, bolt three, bolt two, bolt four",
    "torque": "twelve pound feet, one two", "wanted": "", "allowed": "", "angle": "sixty degrees",
    "held": "three hundred millimeters",
    "set": "Set the wrench to twelve pound feet, one two", "thread": "Threads dry.", "hand": "",
    "drag": "two", "tolerance": "one pound foot", "limits": "At most two thou.", "habit": "",
    "margin": "", "spare": "", "chance": "", "why": "", "spoken": "charlie", "digits": "one two",
    "number": "2", "total": "3", "by": "half a thou", "good_for": "point two thou",
    "lower": "one thou", "upper": "four thou", "lower_number": "one", "duration": "ten minutes",
    "person": "Marta Quill", "gauge": "Dial indicator", "first": "step done", "pattern": "",
    "phrases": "step done, go back, skip this step, repeat that",
    "skipped": "Nothing was skipped.", "deviations": "No deviations.", "moved": "",
    "percent": "98", "clock": "ten o'clock", "job": "KB2-7", "revision": "bravo",
    "text": "Mind it.", "options": "standard, or long shaft", "variants": "standard, or long shaft",
    "parts": "new parts", "variant": "standard", "expected": "delta", "initials": "mike quebec",
    "name": "Bench microphone", "names": "Clean gear oil", "quantity": "end float", "detail": "",
    "shims": "five thou", "result": "three thou", "blade": "two thou", "blades": "two, and three",
    "size": "five thou", "next": "Try blade two.", "age": "an hour ago", "place": "step 2",
    "reason": "worn but sound", "length": ", two seconds long", "waits": "Cure, nine minutes left.",
    "disposition": "use as is", "phrase": "step done", "words": "near side", "what": "end float",
    "sentence": "The microphone is back.", "unit": "millimeters", "tool": "Click torque wrench",
}  # fmt: skip


def prompts() -> None:
    """Print every prompt with the seconds that it takes, as a table of Markdown."""
    language = Language.load("en-US")
    print("| prompt | s | as it is said |\n|---|---|---|")
    for key, template in language.sources.prompts.items():
        names = {name for _, name, _, _ in Formatter().parse(template) if name and name[:2] != "c_"}
        places: dict[str, object] = {n: _EXAMPLES.get(n, "Fit the cap") for n in names}
        form = key[len(base_key(key)) + 1 :]
        count = int(form) if form.isdecimal() else 1 if form == "one" else 2
        said = language.prompt(base_key(key), **places | {"count": count}).strip(" ,")
        print(f"| `{key}` | {seconds(said) if said else 0:.1f} | {said} |")


def main() -> None:
    """Print the table that is asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=("jobs", "lines", "helps", "text", "prompts"))
    parser.add_argument("job", nargs="?", default="kb2_input_shaft", help="or text")
    chosen = parser.parse_args()
    match chosen.what:
        case "lines":
            lines(chosen.job)
        case "helps":
            helps()
        case "text":
            print(f"{seconds(chosen.job):.1f} s: {chosen.job}")
        case "prompts":
            prompts()
        case _:
            jobs()


if __name__ == "__main__":
    main()
