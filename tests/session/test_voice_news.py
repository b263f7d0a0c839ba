"""A voice that fails in a session is reported by screen and chime, and stored; so is its return."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from assistant.cli.speaking import voice_output
from assistant.dialogue.effects import ChimeName, Say
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.state import State
from assistant.language.tone import Tone
from assistant.session import voice_output as voice_output_module
from assistant.session.clock import DemoClock
from assistant.session.edges import Sound
from assistant.session.news import NewsStream
from assistant.session.session import Session
from assistant.session.surroundings import SessionEdges, SessionStore
from assistant.session.voice_output import VoiceOutput
from assistant.speech.errors import SpeechError
from tests.session.kit import SHAFT, START, MemoryJournal, StandInInput, demo_context, opened

FAULT = "The loudspeaker 'KB Horn' takes no sound any more; plug it in again."


@dataclass
class Breaking:
    """A voice that fails for the lines numbered ``dumb``, from 1."""

    dumb: range
    name: str = "breaking"
    asked: int = 0
    said: list[str] = field(default_factory=list)

    def speak(self, text: str, tone: Tone = "plain") -> None:
        self.asked += 1
        if self.asked in self.dumb:
            raise SpeechError(FAULT)
        self.said.append(text)

    def set_rate(self, words_per_minute: int) -> None: ...

    def set_volume(self, fraction: float) -> None: ...


@dataclass
class FailingAtItsReturn(Breaking):
    """A voice that can say anything but that it is back."""

    def speak(self, text: str, tone: Tone = "plain") -> None:
        if text.startswith("The voice is back"):
            raise SpeechError(FAULT)
        super().speak(text, tone)
        assert self.asked < 5000, "it tells of itself without end"


@dataclass
class Shown:
    """A screen that keeps what it shows."""

    lines: list[str] = field(default_factory=list)

    def said(self, said: Say) -> None:
        self.lines.append(said.text)

    def heard(self, sound: Sound) -> None: ...

    def recorded(self, fact: AnyFact) -> None: ...

    def state(self, state: State) -> None: ...


def spoken_session(journal: MemoryJournal, output: VoiceOutput, screen: Shown) -> Session:
    news = NewsStream()
    news.of_voice(output.news)
    edges = SessionEdges(output, screen, DemoClock(START), news)
    return Session("job-1", demo_context(), store=SessionStore(journal), edges=edges)


@pytest.mark.parametrize("dumb", [range(1, 4), range(6, 7), range(9, 30)])
def test_a_voice_that_fails_and_comes_back_is_told_and_stored(
    dumb: range, monkeypatch: pytest.MonkeyPatch
) -> None:
    chimes: list[str] = []

    def chime(which: ChimeName, volume: float, player: object) -> bool:
        chimes.append(which)
        return True

    monkeypatch.setattr(voice_output_module, "play_chime", chime)
    voice, shown, journal = Breaking(dumb), Shown(), MemoryJournal()
    output = voice_output(voice)
    session = spoken_session(journal, output, shown)
    session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
    stored = [e.body for e in journal.entries if e.body.get("kind") == "equipment_changed"]
    assert [(s["part"], s["working"]) for s in stored] == [("voice", False), ("voice", True)]
    assert FAULT in str(stored[0]["detail"])
    assert sum(FAULT in line for line in shown.lines) == 1
    assert chimes.count("again") == 1
    assert any(line.startswith("The voice is back") for line in voice.said)


def test_work_goes_on_with_a_voice_that_fails_again_whenever_it_is_back(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(voice_output_module, "play_chime", lambda which, volume, player: True)
    journal = MemoryJournal()
    output = voice_output(FailingAtItsReturn(range(1, 2)))
    session = spoken_session(journal, output, Shown())
    session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
