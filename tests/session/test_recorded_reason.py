"""A spoken reason is played to the inspector: stored first, and never one altered since."""

from __future__ import annotations

from concurrent.futures import Future
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import listening
from assistant.journal.clips import ClipStore
from assistant.language import Language
from assistant.language.hypothesis import Recognition, typed
from assistant.language.tone import Tone
from assistant.session.clock import DemoClock
from assistant.session.edges import Sound
from assistant.session.session import Session
from assistant.session.surroundings import SessionEdges, SessionStore
from assistant.session.voice_output import VoiceOutput
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples
from assistant.voice.played_voice import PlayedVoice
from assistant.voice.spoken_cache import Spoken, SpokenCache
from assistant.voice.voices import SilentVoice
from tests.dialogue.kit import procedure
from tests.session.kit import START, Edges, MemoryJournal, opened

GAP = {
    "id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
    "lower": "5 thou", "upper": "30 thou",
}  # fmt: skip
REASON = np.tile(np.array([0, 500, -2000, 700], np.int16), 16_000)  # four seconds
NOTHING = Recognition((), "test")


@dataclass
class Listening(Edges):
    """Keeps, with each line, how many entries were stored when it was said."""

    journal: MemoryJournal = field(default_factory=MemoryJournal)
    stored: list[tuple[Say, int]] = field(default_factory=list)

    def say(self, said: Say) -> None:
        super().say(said)
        self.stored.append((said, len(self.journal.entries)))


def at_release(store: Path, plays: bool) -> tuple[Session, MemoryJournal, Listening, str]:
    """A value out of limits, a spoken reason, and the inspector who has just named themselves."""
    journal, clips = MemoryJournal(), ClipStore(store)
    clip = clips.keep(REASON)
    edges = Listening(journal=journal, recordings=frozenset([clip] if plays else []))
    context = Context(procedure(GAP, {"id": "last", "kind": "action"}), Language.load("en-US"))
    session = Session("s1", context, store=SessionStore(journal, clips),
                      edges=SessionEdges(edges, edges, DemoClock(START)))  # fmt: skip
    session.open(opened(session))
    for line in ("charlie", "that is right", "reading 31 thou", "use as is"):
        session.take(Sound(typed(line)), listening(context, session.state))
    session.take(Sound(NOTHING, REASON), listening(context, session.state))
    session.take(Sound(typed("inspector mike quebec")), listening(context, session.state))
    return session, journal, edges, clip


def test_the_recording_is_played_behind_a_line_that_is_stored_already(tmp_path: Path) -> None:
    _, journal, edges, clip = at_release(tmp_path, plays=True)
    assert edges.played == [clip]
    (line, stored) = next((s, n) for s, n in edges.stored if s.sound)
    assert line.text == "Disposition: use as is. Reason: a recording, 4 seconds long."
    kept = [e.body for e in journal.entries[:stored] if e.kind == "said"]
    assert {"text": line.text, "tone": "readback", "sound": clip} in kept
    assert "sound_missed" not in [e.body.get("kind") for e in journal.entries]


def test_where_it_cannot_be_played_that_is_stored_and_said_once(tmp_path: Path) -> None:
    session, journal, edges, clip = at_release(tmp_path, plays=False)
    assert edges.played == []
    missed = [e.body for e in journal.entries if e.body.get("kind") == "sound_missed"]
    assert [m["clip"] for m in missed] == [clip]
    assert "a recording, 4 seconds long" in " ".join(edges.spoken)
    assert edges.spoken[-1].endswith("Ask the builder for the reason.")
    session.take(Sound(typed("inspection accepted")), listening(session.context, session.state))
    assert "Released by Marta Quill." in " ".join(edges.spoken)


@dataclass
class Beeps:
    """Makes each line one sample, and plays into a list; ``broken`` plays nothing."""

    name: str = "beeps"
    identity: str = "beeps 1"
    heard: list[Samples] = field(default_factory=list)
    cuts: bool = False
    broken: bool = False

    def prepared(self, text: str, tone: Tone) -> str:
        return text

    def synthesise(self, prepared: str, words_per_minute: int) -> Spoken:
        return Spoken(np.array([7], np.int16), 16_000)

    def play(self, samples: Samples, rate: int) -> bool:
        if self.broken:
            raise SpeechError("The loudspeaker is gone.")
        assert rate == 16_000
        self.heard.append(samples)
        return True

    def play_when(self, made: Future[Spoken]) -> bool:
        self.heard.append(made.result().samples)
        return not self.cuts

    def stop(self) -> None: ...


def mouth(beeps: Beeps, store: ClipStore, warned: list[str]) -> VoiceOutput:
    output = VoiceOutput(PlayedVoice(beeps, beeps, SpokenCache(), 150, 0.5), warned.append)
    output.play_from(store.sound)
    return output


def test_the_voice_plays_the_recording_after_the_words_as_loud_as_itself(tmp_path: Path) -> None:
    store, beeps, warned = ClipStore(tmp_path), Beeps(), list[str]()
    clip = store.keep(REASON)
    output = mouth(beeps, store, warned)
    assert output.can_play(clip)
    output.say(Say("Reason.", "readback", sound=clip))
    words, recording = beeps.heard
    assert len(words) == 1
    assert len(recording) == len(REASON)
    assert abs(recording).max() == round(32767 * 0.5)
    output.say(Say("Reason.", "readback"))
    assert len(beeps.heard) == 3


def test_a_whisper_is_not_raised_without_bound_nor_silence_at_all(tmp_path: Path) -> None:
    store, beeps = ClipStore(tmp_path), Beeps()
    output = mouth(beeps, store, [])
    output.say(Say("Reason.", sound=store.keep(np.array([1, -10] * 800, np.int16))))
    assert abs(beeps.heard[-1]).max() == round(10 * 32767 * 0.5 / 1000)
    output.say(Say("Reason.", sound=store.keep(np.zeros(1600, np.int16))))
    assert not beeps.heard[-1].any()


def test_an_altered_or_missing_recording_is_not_played(tmp_path: Path) -> None:
    store, beeps = ClipStore(tmp_path), Beeps()
    clip, other = store.keep(REASON), store.keep(REASON[::2])
    store.path(clip).write_bytes(store.path(other).read_bytes())
    output = mouth(beeps, store, [])
    for name in (clip, "0" * 64, "../etc/passwd"):
        assert not output.can_play(name)
        beeps.heard.clear()
        output.say(Say("Reason.", sound=name))
        assert len(beeps.heard) == 1  # the words alone


def test_without_a_real_voice_nothing_is_played(tmp_path: Path) -> None:
    store = ClipStore(tmp_path)
    output = VoiceOutput(SilentVoice(), lambda text: None)
    output.play_from(store.sound)
    assert not output.can_play(store.keep(REASON))


def test_a_loudspeaker_that_fails_at_the_recording_is_reported(tmp_path: Path) -> None:
    store, beeps, warned = ClipStore(tmp_path), Beeps(broken=True), list[str]()
    output = mouth(beeps, store, warned)
    output.say(Say("Reason.", sound=store.keep(REASON)))
    assert warned == ["The loudspeaker is gone."]


def test_words_that_are_cut_short_cut_the_recording_too(tmp_path: Path) -> None:
    store = ClipStore(tmp_path)

    class Cutting(Beeps):
        def play_when(self, made: Future[Spoken]) -> bool:
            output.stop()
            return False

    beeps = Cutting()
    output = mouth(beeps, store, [])
    output.say(Say("Reason.", sound=store.keep(REASON)))
    assert beeps.heard == []
