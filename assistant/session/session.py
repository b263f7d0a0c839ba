"""Drives the pure core: the journal first, then the effects.

An event and every fact and sentence that follow from it are one durable transaction. Only when
it is stored does the state move and the builder hear the answer; so what the builder has heard
acknowledged is never lost, and a crash between the two is repaired by resuming.
"""

from __future__ import annotations

from collections import deque
from dataclasses import asdict
from datetime import datetime

from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import (
    Effect,
    Say,
)
from assistant.dialogue.events import (
    AnyEvent,
    Attention,
    EquipmentChanged,
    Heard,
    Opened,
    Resumed,
    Revised,
    SpeechCut,
    TimerElapsed,
)
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.interrupting import may_cut
from assistant.dialogue.owner import owner_of
from assistant.dialogue.state import State
from assistant.journal.clips import RATE
from assistant.journal.types import Entry, JournalError
from assistant.quantities.problem import Told, problem
from assistant.quantities.tools import Bench
from assistant.session.carrying_out import EffectRunner
from assistant.session.delivery import Delivery
from assistant.session.drafts import drafts
from assistant.session.edges import (
    EndOfInput,
    Interruptions,
    Sound,
    SpeechInput,
)
from assistant.session.local_time import local_time
from assistant.session.news import EquipmentNews
from assistant.session.replaying import ReplayError, rebuild
from assistant.session.snapshots import StateSnapshot
from assistant.session.surroundings import SessionEdges, SessionStore
from assistant.session.timers import Timers

__all__ = ["ReplayError", "Session", "rebuild"]

_SNAPSHOT_AFTER = 1000  # entries, some 300 utterances, which are replayed in well under a second


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
        self._journal = store.journal
        self._clips = store.clips
        self._snapshots = store.snapshots
        self._output = edges.output
        self._screen = edges.screen
        self._clock = edges.clock
        self._news = edges.news
        self._delivery = Delivery(edges.output, edges.screen)
        self._effects = EffectRunner(store.pictures, edges, self._delivery)
        self._timers = Timers()
        self._inbox: deque[AnyEvent] = deque()  # answers to effects, not handled yet
        self._last: Entry | None = None  # the newest entry of the journal that we wrote
        self._kept_at = 0  # the entry that the last snapshot was made at
        self._outage = False  # the store refuses, and the builder knows
        self._seq = 0

    @property
    def ended(self) -> str | None:
        """How the session ended; None while it has not."""
        return self._effects.ended

    def interruptible(self, interruptions: Interruptions) -> None:
        """Speak through ``interruptions`` from now on: the builder may cut in."""
        self._delivery.allow(interruptions)

    def open(self, opened: Opened) -> bool:
        """Start a new session; False when it cannot be recorded."""
        return self.feed(opened)

    def resume(
        self,
        bench: Bench | None = None,
        revised: Revised | None = None,
        attention: Attention = "always",
    ) -> bool:
        """Rebuild the state from the journal and resume the session, at ``bench``.

        ``revised``: what differs in the procedure's file by now. ``attention``: when the assistant
        listens.

        Raises:
            JournalError: there is no such session, or it cannot be read.
            ReplayError: its events no longer lead to the facts that were recorded.
        """
        self.state, self._seq = rebuild(self.context, self._journal, self.id, self._snapshots)
        return self.feed(Resumed(at=self._now(), bench=bench, revised=revised, attention=attention))

    def run(self, source: SpeechInput) -> str | None:
        """Listen and answer until the session ends or the input does; returns how it ended."""
        while self.ended is None:
            if (cut_by := self._delivery.take_cut()) is not None:
                self.take(cut_by, listening(self.context, self.state))
                continue
            if self._ring_timer():
                continue
            for news in self._news.pending(self.context.language):
                self.feed(self._equipment(news))
            expected = listening(self.context, self.state)
            try:
                sound = source.hear(expected, self._patience())
            except EndOfInput:
                break
            if sound is not None:
                self.take(sound, expected)
        return self.ended

    def take(self, sound: Sound, expected: Expectation) -> None:
        """One utterance was heard."""
        if not sound.recognition.hypotheses and not expected.free:
            return  # nothing of the grammar: shop noise leaves no trace
        if self._delivery.owed and not self.feed(self._cut()):
            return  # what was cut short is stored first, or it would count as said
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
        """Handle ``event``, then the answers to its effects in the order in which they came.

        Returns False, with the state unchanged and the builder informed, when ``event`` cannot
        be stored.
        """
        stored = self._handle(event)
        while self._inbox:
            self._handle(self._inbox.popleft())
        self._keep_snapshot()
        return stored

    def _handle(self, event: AnyEvent) -> bool:
        """Store one event with what follows from it, then carry out its effects."""
        elapsed_ms = self._clock.elapsed_ms()
        event = self._stamped(event, elapsed_ms)
        state, effects = advance(self.context, self.state, event)
        try:
            entries = self._journal.append(self.id, drafts(event, effects), self._seq)
        except JournalError as fault:
            # A timer is tried again and again; what the builder said is answered each time.
            if not self._outage or not isinstance(event, TimerElapsed | EquipmentChanged):
                self._cannot_record(fault.told)
            self._outage = True
            return False
        self._last = entries[-1]
        self._seq = self._last.seq
        self.state = state
        if isinstance(event, SpeechCut):
            self._delivery.clear_owed()
        self._screen.state(self.state)  # before the voice, which takes its time
        self._timers.start(effects, datetime.fromisoformat(event.at), elapsed_ms)
        cuts = self._cuts(effects)
        for effect in effects:
            self._inbox += self._effects.carry_out(effect, cuts)
        self._delivery.finish(cuts)
        if self._outage:
            self._outage = False
            words = self.context.language.prompt("recording_again")
            self._inbox.append(self._equipment(EquipmentNews("store", True, words)))
        if self._delivery.owed and not self._inbox:
            self._inbox.append(self._cut())
        return True

    def _stamped(self, event: AnyEvent, elapsed_ms: int) -> AnyEvent:
        if isinstance(event, Opened | Resumed) and self._clock.kind == "wall":
            event = event.model_copy(update={"local": local_time(self._clock.now())})
        boot = self._clock.boot
        if not boot:
            return event
        stamps: dict[str, object] = {"elapsed_ms": elapsed_ms}
        if isinstance(event, Opened | Resumed):
            stamps["boot"] = boot
        return event.model_copy(update=stamps)

    def _cuts(self, effects: tuple[Effect, ...]) -> Expectation | None:
        """What may cut in while the lines among ``effects`` are said; None: nothing may."""
        texts = tuple(e.text for e in effects if isinstance(e, Say) and e.text)
        if not self._delivery.interruptible or not texts:
            return None
        cuts = may_cut(self.context, self.state, texts)
        return cuts if cuts.spec.commands else None

    def _cut(self) -> SpeechCut:
        return SpeechCut(at=self._now(), unsaid=self._delivery.owed)

    def _equipment(self, news: EquipmentNews) -> EquipmentChanged:
        return EquipmentChanged(at=self._now(), **asdict(news))

    def _keep_snapshot(self) -> None:
        due = self._seq - self._kept_at >= _SNAPSHOT_AFTER
        if self._snapshots is None or self._last is None or not (due or self.ended is not None):
            return
        snapshot = StateSnapshot(self._last.seq, self._last.hash, self.state)
        self._snapshots.save(self.id, self.context, snapshot)
        self._kept_at = self._last.seq

    def _cannot_record(self, why: Told) -> None:
        said = Say(self.context.language.prompt("cannot_record", why=why), "caution")
        self._screen.said(said)
        self._output.say(said)

    def _now(self) -> str:
        return self._clock.now().isoformat()

    def _ring_timer(self) -> bool:
        """Handle the end of the first timer, if it has ended; whether it had."""
        first = self._timers.first()
        if first is None:
            return False
        step, ends = first
        if owner_of(self.state.awaiting).only_waits(self.state.awaiting):
            self._clock.skip_to(ends)
        now = self._now()
        if self._clock.elapsed_ms() < ends:
            return False
        self._timers.remove(step)  # first, for the answer may start it again
        if not self.feed(TimerElapsed(at=now, step=step)):
            self._timers.try_again(step, self._clock.elapsed_ms())
            return False
        return True

    def _patience(self) -> float | None:
        """Seconds to wait for speech before timers and news are looked at; None: any time."""
        most, first = self._news.look_every_s, self._timers.first()
        if first is None:
            return most
        left = max(0.1, (first[1] - self._clock.elapsed_ms()) / 1000)
        return left if most is None else min(left, most)
