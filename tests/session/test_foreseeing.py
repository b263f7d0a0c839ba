"""What the voice has to say next is known before the builder answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import Say
from assistant.dialogue.events import AnyEvent, Heard
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.language.spec import Command, Phrase
from assistant.procedure.loader import find_procedures
from assistant.session.foreseeing import foreseen
from assistant.session.foreseeing_screen import ForeseeingScreen
from assistant.session.rehearsal import rehearse
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.played_voice import PlayedVoice
from assistant.voice.spoken_cache import SpokenCache, key_of
from tests.session.kit import START, Edges, MemoryJournal, demo_context, new_session, opened

DEMOS = sorted(p.stem for p in find_procedures())


class Watch:
    """Compares what is said with what was foreseen, turn by turn."""

    def __init__(self, context: Context, monkeypatch: pytest.MonkeyPatch) -> None:
        self.context = context
        self.answers = self.missed = 0
        self.at = START
        monkeypatch.setattr("assistant.session.rehearsal.advance", self.advance)

    def advance(self, context: Context, state: State, event: AnyEvent) -> object:
        after, effects = advance(context, state, event)
        if isinstance(event, Heard):
            spec = listening(context, state).spec
            text = event.recognition.hypotheses[0].text
            meanings = context.language.interpret(spec, text)
            if len(meanings) == 1 and isinstance(meanings[0], Command | Phrase):
                said = {e for e in effects if isinstance(e, Say)}
                known = set(foreseen(context, state, event.at))
                self.answers += len(said)
                self.missed += len(said - known)
        return after, effects


@pytest.mark.parametrize("name", DEMOS)
def test_every_answer_to_a_command_or_phrase_is_foreseen(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    context = demo_context(name)
    watch = Watch(context, monkeypatch)
    rehearse(context)
    assert watch.answers > 20
    assert watch.missed == 0


def test_nothing_is_foreseen_of_a_job_that_is_not_open() -> None:
    assert list(foreseen(demo_context(), State(), START.isoformat())) == []


def test_foreseeing_changes_nothing() -> None:
    context = demo_context()
    session = new_session(MemoryJournal(), Edges(), context)
    session.open(opened(session))
    before = session.state
    assert list(foreseen(context, before, START.isoformat()))
    assert session.state == before
    assert session.id == "s1"


@pytest.mark.audio
def test_the_voice_has_the_next_lines_ready(tmp_path: Path) -> None:
    context = demo_context()
    synthesiser = EspeakSynthesiser("en-US")
    cache = SpokenCache(tmp_path)
    voice = PlayedVoice(synthesiser, None, cache, 150, 1.0)  # type: ignore[arg-type]  # not played
    screen = ForeseeingScreen(context, voice, pause_s=0.0)
    session = new_session(MemoryJournal(), Edges(), context)
    session.open(opened(session))
    screen.state(session.state)
    assert screen.ahead.settled(60.0)
    for said in foreseen(context, session.state, START.isoformat()):
        for sentence in said.text.split(". "):
            whole = sentence if sentence.endswith((".", "?")) else sentence + "."
            prepared = synthesiser.prepared(whole, said.tone)
            assert cache.holds(key_of(synthesiser.identity, 150, prepared)), whole
    screen.ahead.close()
