"""Drives the pure core: the journal first, then the effects.

An event and every fact and sentence that follow from it are one durable transaction. Only when
it is stored does the state move and the builder hear the answer; so what the builder has heard
acknowledged is never lost, and a crash between the two is repaired by resuming.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from datetime import datetime, timedelta
from typing import Literal, assert_never

from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import (
    AdjustVoice,
    Chime,
    Effect,
    EndSession,
    FetchPicture,
    Record,
    Say,
    StartTimer,
)
from assistant.dialogue.events import (
    AnyEvent,
    Attention,
    EquipmentChanged,
    Heard,
    Opened,
    PictureFound,
    PictureMissed,
    Resumed,
    Revised,
    SpeechCut,
    TimerElapsed,
    Unsaid,
)
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.interrupting import may_cut
from assistant.dialogue.state import State, Waiting
from assistant.journal.clips import RATE
from assistant.journal.types import Draft, Entry, Journal, JournalError
from assistant.quantities.problem import Told, problem
from assistant.quantities.tools import Bench
from assistant.session.clock import Clock
from assistant.session.edges import (
    Clips,
    EndOfInput,
    Interruptions,
    NoPicture,
    Pictures,
    Screen,
    Sound,
    SpeechInput,
    SpeechOutput,
)
from assistant.session.news import NewsStream
from assistant.session.replaying import ReplayError, rebuild
from assistant.session.snapshots import SnapshotFolder, StateSnapshot

__all__ = ["ReplayError", "Session", "SessionEdges", "SessionStore", "rebuild"]

_SNAPSHOT_AFTER = 1000  # entries, some 300 utterances, which are replayed in well under a second
_TRY_AGAIN_MS = 5000  # after which a timer that could not be stored is tried again


@dataclass(frozen=True)
class SessionStore:
    """Where a session keeps things: the journal, and beside it sounds, pictures and snapshots."""

    journal: Journal
    clips: Clips | None = None
    pictures: Pictures | None = None
    snapshots: SnapshotFolder | None = None


@dataclass(frozen=True)
class SessionEdges:
    """What a session speaks through, is shown on, takes the time from and hears news of."""

    output: SpeechOutput
    screen: Screen
    clock: Clock
    news: NewsStream = field(default_factory=NewsStream)


class Session:
    """One build session, new or resumed."""

    def __init__(
        self,
        session_id: str,
        context: Context,
        *,
        store: SessionStore,
        edges: SessionEdges,
    ) -> None:
        self.id = session_id
        self.context = context
        self.state = State()
        self.ended: str | None = None
        self._journal = store.journal
        self._clips = store.clips
        self._pictures = store.pictures
        self._snapshots = store.snapshots
        self._mouth = edges.output
        self._screen = edges.screen
        self._clock = edges.clock
        self._news = edges.news
        self._interruptions: Interruptions | None = None
        self._cut_by: Sound | None = None
        self._unsaid: list[Say] = []
        self._kept_at = 0  # the entry that the last snapshot was made at
        self._outage = False  # the store refuses, and the builder has been told
        self._seq = 0
        self._timers: dict[str, int] = {}  # step -> when it rings, by the steady clock in ms

    def interruptible(self, interruptions: Interruptions) -> None:
        """Speak through ``interruptions`` from now on: the builder may cut in."""
        self._interruptions = interruptions

    def open(self, opened: Opened) -> bool:
        """Start a new session; False when it cannot be recorded."""
        return self.feed(opened)

    def resume(
        self,
        bench: Bench | None = None,
        revised: Revised | None = None,
        attention: Attention = "always",
    ) -> bool:
        """Rebuild the state from the journal and take the session up again, at ``bench``.

        ``revised`` says what the procedure's file says otherwise by now; ``attention`` when the
        assistant listens.

        Raises:
            JournalError: there is no such session, or it cannot be read.
            ReplayError: its events no longer lead to the facts that were recorded.
        """
        self.state, self._seq = rebuild(self.context, self._journal, self.id, self._snapshots)
        return self.feed(Resumed(at=self._now(), bench=bench, revised=revised, attention=attention))

    def run(self, ear: SpeechInput) -> str | None:
        """Listen and answer until the session ends or the input does; tells how it ended."""
        while self.ended is None:
            if self._cut_by is not None:
                cut_by, self._cut_by = self._cut_by, None
                self.take(cut_by, listening(self.context, self.state))
                continue
            if self._ring_timers():
                continue
            self._tell_news()
            expected = listening(self.context, self.state)
            try:
                sound = ear.hear(expected, self._patience())
            except EndOfInput:
                break
            if sound is not None:
                self.take(sound, expected)
        return self.ended

    def take(self, sound: Sound, expected: Expectation) -> None:
        """One utterance was heard."""
        if not sound.recognition.hypotheses and not expected.free:
            return  # nothing of the grammar: shop noise leaves no trace
        if self._unsaid and not self._store_cut():
            return  # what was cut short is owed first, or it would count as said
        self._screen.heard(sound)
        clip, seconds = None, None
        if sound.samples is not None:
            seconds = len(sound.samples) / RATE
        if self._clips is not None and sound.samples is not None:
            try:
                clip = self._clips.keep(sound.samples)
            except OSError as fault:
                self._cannot_record(problem("sound_not_kept", why=fault.strerror))
                return
        self.feed(Heard(at=self._now(), recognition=sound.recognition, clip=clip, seconds=seconds))

    def feed(self, event: AnyEvent) -> bool:
        """Store one event with what follows from it, then carry out its effects.

        Returns False, with the state unmoved and the builder told, when it cannot be stored.
        """
        elapsed_ms = self._clock.elapsed_ms()
        if self._clock.boot:
            event = event.model_copy(update={"elapsed_ms": elapsed_ms})
        if self._clock.boot and isinstance(event, Opened | Resumed):
            event = event.model_copy(update={"boot": self._clock.boot})
        state, effects = advance(self.context, self.state, event)
        drafts = [_event_draft(event)]
        for effect in effects:
            if isinstance(effect, Record):
                body = effect.fact.model_dump(mode="json")
                drafts.append(Draft("fact", event.at, body))
            elif isinstance(effect, Say):
                body = {"text": effect.text, "tone": effect.tone}
                drafts.append(Draft("said", event.at, body))
        try:
            entries = self._journal.append(self.id, drafts, self._seq)
        except JournalError as fault:
            # A timer is tried again and again; what the builder said is answered each time.
            if not self._outage or not isinstance(event, TimerElapsed | EquipmentChanged):
                self._cannot_record(fault.told)
            self._outage = True
            return False
        self._seq = entries[-1].seq
        self.state = state
        self._screen.state(self.state)  # before the voice, which takes its time
        cuts = self._cuts(effects)
        self._set_timers(effects, datetime.fromisoformat(event.at), elapsed_ms)
        for effect in effects:
            self._carry_out(effect, cuts)
        self._tell_of_cut(cuts)
        if self._seq - self._kept_at >= _SNAPSHOT_AFTER or self.ended is not None:
            self._keep_snapshot(entries[-1])
        if self._outage:
            self._outage = False
            words = self.context.language.prompt("recording_again")
            self._equipment("store", words)
        return True

    def _equipment(
        self,
        part: Literal["store", "microphone", "voice"],
        detail: str,
        working: bool = True,
        what: str = "",
    ) -> None:
        self.feed(
            EquipmentChanged(at=self._now(), part=part, working=working, detail=detail, what=what)
        )

    def _keep_snapshot(self, last: Entry) -> None:
        # Effects may have fed events of their own; the state is that of the last entry only here.
        if self._snapshots is not None and last.seq == self._seq:
            self._snapshots.save(
                self.id, self.context, StateSnapshot(last.seq, last.hash, self.state)
            )
            self._kept_at = last.seq

    def _cuts(self, effects: tuple[Effect, ...]) -> Expectation | None:
        texts = tuple(e.text for e in effects if isinstance(e, Say))
        if self._interruptions is None or not texts:
            return None
        cuts = may_cut(self.context, self.state, texts)
        return cuts if cuts.spec.commands else None

    def _say(self, said: Say, cuts: Expectation | None) -> None:
        self._screen.said(said)
        if self._cut_by is not None:
            self._unsaid.append(said)
        elif self._interruptions is None or cuts is None:
            self._mouth.say(said)
        else:
            self._cut_by = self._interruptions.say(said, cuts)
            if self._cut_by is not None:
                self._unsaid.append(said)

    def _tell_of_cut(self, cuts: Expectation | None) -> None:
        """Store what was not said; the core sees to it that it is said before work moves on."""
        if self._unsaid:
            self._store_cut()
        elif self._interruptions is not None and cuts is not None and self._cut_by is None:
            self._cut_by = self._interruptions.after(cuts)

    def _store_cut(self) -> bool:
        lines = tuple(Unsaid(text=x.text, tone=x.tone, about=x.about) for x in self._unsaid)
        owed, self._unsaid = self._unsaid, []
        if self.feed(SpeechCut(at=self._now(), unsaid=lines)):
            return True
        self._unsaid = owed
        return False

    def _carry_out(self, effect: Effect, cuts: Expectation | None) -> None:
        match effect:
            case Say():
                self._say(effect, cuts)
            case Chime(which=which):
                self._mouth.chime(which)
            case Record(fact=fact):
                self._screen.recorded(fact)
            case StartTimer():
                pass  # set when the event was stored, before anything was said
            case AdjustVoice(what=what, steps=steps):
                self._mouth.adjust(what, steps)
            case FetchPicture():
                self._fetch(effect)
            case EndSession(how=how):
                self.ended = how
            case _:
                assert_never(effect)

    def _fetch(self, wanted: FetchPicture) -> None:
        found = NoPicture("no_folder") if self._pictures is None else self._pictures.fetch(wanted)
        at, step = self._now(), wanted.step
        if isinstance(found, NoPicture):
            self.feed(PictureMissed(at=at, step=step, **asdict(found)))
        else:
            self.feed(PictureFound(at=at, step=step, **asdict(found)))

    def _cannot_record(self, why: Told) -> None:
        said = Say(self.context.language.prompt("cannot_record", why=why), "caution")
        self._screen.said(said)
        self._mouth.say(said)

    def _now(self) -> str:
        return self._clock.now().isoformat()

    def _tell_news(self) -> None:
        for news in self._news.pending(self.context.language):
            self._equipment(news.part, news.detail, news.working, news.what)

    def _set_timers(self, effects: tuple[Effect, ...], at: datetime, elapsed_ms: int) -> None:
        """Set what rings in so long from the event at ``at``, whatever the wall clock does."""
        for effect in effects:
            if isinstance(effect, StartTimer):
                rest = datetime.fromisoformat(effect.until) - at
                self._timers[effect.step] = elapsed_ms - (-rest // timedelta(milliseconds=1))

    def _ring_timers(self) -> bool:
        due = min(self._timers.items(), key=lambda item: item[1], default=None)
        if due is None:
            return False
        step, when = due
        if isinstance(self.state.awaiting, Waiting):
            self._clock.skip_to(when)
        now = self._now()
        if self._clock.elapsed_ms() < when:
            return False
        del self._timers[step]  # first, for the answer may start it again
        if not self.feed(TimerElapsed(at=now, step=step)):
            self._timers[step] = self._clock.elapsed_ms() + _TRY_AGAIN_MS
            return False
        return True

    def _patience(self) -> float | None:
        most = self._news.look_every_s
        if not self._timers:
            return most
        left = max(0.1, (min(self._timers.values()) - self._clock.elapsed_ms()) / 1000)
        return left if most is None else min(left, most)


def _event_draft(event: AnyEvent) -> Draft:
    body = event.model_dump(mode="json")
    if isinstance(event, Heard):
        return Draft("event", event.at, body, event.clip, event.recognition.engine)
    return Draft("event", event.at, body)
