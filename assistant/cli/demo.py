"""The demonstration: a whole session from a recording, checked against what was spoken."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from io import StringIO
from pathlib import Path

from pydantic import BaseModel, ConfigDict

from assistant.cli.hearing import Hearing, open_input
from assistant.cli.people import initials, people
from assistant.cli.practice import practice_store
from assistant.cli.screen import TerminalScreen
from assistant.cli.speaking import open_voice, voice_output
from assistant.cli.terminal import tell
from assistant.cli.workplace import (
    context_for,
    find_procedure,
    new_session_id,
    open_store,
    opening,
    utc_now,
)
from assistant.dialogue.stand_in import Answers
from assistant.procedure.fields import Quantity
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Indication, same_value
from assistant.quantities.habit import converted
from assistant.report.kinds import not_recorded
from assistant.report.lines.reading import ReadingLine
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.resources import data_folder
from assistant.session.clock import DemoClock
from assistant.session.edges import SpeechInput
from assistant.session.session import Session
from assistant.session.surroundings import SessionEdges, SessionStore
from assistant.session.typed_input import TypedInput
from assistant.yaml_data import yaml_data

_VERDICT = {"in": "in", "out": "OUT", "undecided": "?", "no_limit": "no limit"}


class DemoError(RuntimeError):
    """The demonstration's own files are missing or do not match; one sentence."""


class SpokenReading(BaseModel):
    """What the builder says for one position, and the value that must come into the record."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    say: str
    value: Quantity
    under: Quantity | None = None  # with blades: from ``value`` to under this

    def matches(self, recorded: Indication) -> bool:
        """Whether the recorded indication is exactly this one."""
        meant = (
            Indication("eq", self.value)
            if self.under is None
            else Indication("between", self.value, self.under)
        )
        return same_value(recorded, meant)


class DemoScript(BaseModel):
    """A recorded session: who, what was at hand, what was said in which order."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    procedure: str
    job: str
    builder: str
    inspectors: tuple[str, ...]
    revision: str
    variant: str = ""
    parts: str = ""
    choices: dict[str, str] = {}
    numbers: dict[str, str] = {}
    readings: dict[str, dict[str, SpokenReading]] = {}
    stop_at: str = ""  # the step where the builder stops for the day, and resumes
    disposition: str = "use_as_is"
    reason: str = "within wear allowance"

    def answers(self) -> Answers:
        """The answers of the stand-in builder."""
        return Answers(
            revision=self.revision,
            variant=self.variant,
            parts=self.parts,
            inspector=initials(self.inspectors[0]) if self.inspectors else "",
            choices=self.choices,
            numbers=self.numbers,
            readings={s: {p: r.say for p, r in places.items()}
                      for s, places in self.readings.items()},
            disposition=self.disposition,
            reason=self.reason,
        )  # fmt: skip


@dataclass(frozen=True)
class Demo:
    """A script with its recording and its lines in the order in which they were recorded."""

    script: DemoScript
    audio: Path
    lines: tuple[str, ...]


def read_script(path: Path) -> DemoScript:
    """Read a session's script.

    Raises:
        OSError: it cannot be read.
    """
    return DemoScript.model_validate(yaml_data(path.read_text(encoding="utf-8")))


def load_demo(name: str = "kb2_input_shaft") -> Demo:
    """The demonstration called ``name``, shipped in ``audio_fixtures``.

    Raises:
        DemoError: a file of it is missing.
    """
    try:
        folder = data_folder("audio_fixtures")
        script = read_script(folder / f"{name}.yaml")
        lines = (folder / f"{name}.lines.txt").read_text(encoding="utf-8").splitlines()
    except OSError as fault:
        raise DemoError(f"The demonstration cannot be read: {fault}; install again.") from None
    return Demo(script, folder / f"{name}.flac", tuple(lines))


def run_demo(engine: str, keyboard: bool, voice: str, store: str | None) -> bool:
    """Run the demonstration; True when the record is what was spoken.

    Raises:
        DemoError, HearingError, JournalError: it cannot be run.
        OSError: its store cannot be made.
    """
    demo = load_demo()
    script = demo.script
    kept = open_store(store or str(practice_store()))
    clock = DemoClock(utc_now())
    path = find_procedure(script.procedure)
    loaded, opened = opening(path, script.job, people(script.builder, script.inspectors), clock)
    context = context_for(loaded)
    output = voice_output(open_voice(voice))
    output.play_from(kept.clips.sound)
    session_id = new_session_id(script.job, utc_now())
    session = Session(
        session_id,
        context,
        store=SessionStore(kept.journal, kept.clips),
        edges=SessionEdges(output, TerminalScreen(sys.stdout, context), clock),
    )
    source: SpeechInput
    if keyboard:
        source = TypedInput(StringIO("\n".join(demo.lines) + "\n"))
    else:
        source = open_input(Hearing(audio=demo.audio, engine=engine), context, output.gate)
    if not session.open(opened):
        return False
    ended = session.run(source)
    record = build_record(kept.journal.read(session_id))
    faults = differences(script, loaded, record)
    if ended != "finished":
        faults.insert(0, "The session did not come to its end.")
    _summary(record, faults, kept.where)
    return not faults


def differences(script: DemoScript, procedure: Procedure, record: BuildRecord) -> list[str]:
    """Where the record differs from what was spoken, a sentence each; empty when nowhere."""
    faults: list[str] = []
    got = {(r.step, r.position): r.indication for r in _read(record)}
    want = {(s, p): r for s, places in script.readings.items() for p, r in places.items()}
    for key in sorted(want.keys() | got.keys()):
        place = " ".join(key).strip()
        if key not in got:
            faults.append(f"{place}: {want[key].value} was spoken, nothing was recorded.")
        elif key not in want:
            faults.append(f"{place}: {got[key]} was recorded, nothing was spoken.")
        elif not want[key].matches(got[key]):
            faults.append(f"{place}: {want[key].value} was spoken, {got[key]} was recorded.")
    numbers = {i.step: i.text for i in record.identified if i.superseded_at is None}
    for step, text in script.numbers.items():
        if numbers.get(step) != text:
            faults.append(f"{step}: {text} was spelled, {numbers.get(step)} was recorded.")
    return faults + [fault for step in procedure.steps for fault in not_recorded(record, step)]


def _read(record: BuildRecord) -> list[ReadingLine]:
    """The readings that count and were spoken, not computed."""
    return [line for line in record.counting() if line.how != "derived"]


def _summary(record: BuildRecord, faults: list[str], where: str) -> None:
    tell("\nReadings in the record")
    for line in _read(record):
        name = f"{line.quantity} {line.position}".strip()
        other = converted(line.indication.amount) or ""
        tell(
            f"  {name:28} {line.indication!s:>12}  = {other!s:>10}   "
            f"{line.limits!s:24} {_VERDICT[line.judgement.verdict]}"
        )
    for fault in faults:
        tell(f"DIFFERENT: {fault}")
    if not faults:
        tell("\nEvery reading, number and fastener in the record is what was spoken.")
    tell(f"Record: session {record.session} in {where}")
    tell(f'Look at it with: assembly-assistant record {record.session} --store "{where}"')
