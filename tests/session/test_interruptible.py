"""A session that is interrupted: what was cut is stored, owed, and said before work moves on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Event

from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import Expectation
from assistant.language import Language
from assistant.language.hypothesis import typed
from assistant.language.spec import ListenSpec
from assistant.session.edges import Sound
from assistant.session.interruptible import Interruptible
from assistant.session.session import Session, rebuild
from tests.session.kit import SHAFT, Edges, MemoryJournal, StandInInput, new_session, opened

_STOP = Sound(typed("repeat"))


@dataclass
class CuttingIn:
    """Cuts in on every ``every``-th line where that may be done."""

    session: Session
    edges: Edges
    every: int
    lines: int = 0
    whole: list[str] = field(default_factory=list)

    def say(self, said: Say, cuts: Expectation) -> Sound | None:
        self.lines += 1
        if "repeat" in cuts.spec.commands and self.lines % self.every == 0:
            return _STOP
        self.whole.append(said.text)
        return None

    def after(self, cuts: Expectation) -> Sound | None:
        return None


def interrupted(
    every: int, failing: frozenset[int] = frozenset()
) -> tuple[Session, MemoryJournal, CuttingIn]:
    journal, edges = MemoryJournal(failing=failing), Edges()
    session = new_session(journal, edges)
    cutting = CuttingIn(session, edges, every)
    session.interruptible(cutting)
    if not session.open(opened(session)):
        session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
    return session, journal, cutting


def test_every_torque_and_readback_was_said_whole_before_it_counted() -> None:
    _, journal, _ = interrupted(10**9)
    for every in (3, 4, 7):
        session, cut, cutting = interrupted(every)
        for kind in ("reading_confirmed", "fastener_tightened", "acknowledged", "identified"):
            assert cut.facts(kind) == journal.facts(kind), (every, kind)
        weighty = {
            str(e.body["text"]) for e in journal.entries
            if e.kind == "said" and e.body["tone"] in ("caution", "readback")
        }  # fmt: skip
        assert weighty <= set(cutting.whole) | set(cutting.edges.spoken), every
        assert any(e.body.get("kind") == "speech_cut" for e in cut.entries)
        assert rebuild(session.context, cut, "s1")[0] == session.state


def test_lines_that_were_cut_are_owed_also_when_that_could_not_be_stored_at_once() -> None:
    _, reference, _ = interrupted(4)
    cuts = [n for n, e in enumerate(reference.entries) if e.body.get("kind") == "speech_cut"]
    assert cuts
    for failing in range(2, 12):
        session, journal, _ = interrupted(4, frozenset({failing}))
        facts = journal.facts("fastener_tightened")
        assert facts == reference.facts("fastener_tightened"), failing
        assert rebuild(session.context, journal, "s1")[0] == session.state


CUTS = Expectation(ListenSpec(commands=("repeat", "stop_work")))


class OverTheEnd:
    """Speech input that recognises a command when the line that it was said over has just ended."""

    def __init__(self) -> None:
        self.ended: Callable[[], None] = lambda: None
        self.heard = [Sound(typed("stop work"))]

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        self.ended()
        return self.heard.pop() if self.heard else None


class Waiting:
    """Speech output whose line ends when it is released."""

    def __init__(self) -> None:
        self.spoken: list[str] = []
        self.let_go = Event()

    def say(self, said: Say) -> None:
        assert self.let_go.wait(20)
        self.let_go.clear()
        self.spoken.append(said.text)

    def stop(self) -> None:
        self.let_go.set()


def test_a_command_said_over_the_end_of_a_line_is_not_lost() -> None:
    output, source = Waiting(), OverTheEnd()
    cutting = Interruptible(output, source, Language.load("en-US"))

    def end_the_line() -> None:
        output.stop()
        # it has ended when the one speaking thread takes up something else
        cutting._speaking.submit(lambda: None).result(20)

    source.ended = end_the_line
    assert cutting.say(Say("one"), CUTS) is None
    assert output.spoken == ["one"]
    late = cutting.say(Say("two"), CUTS)
    assert late is not None
    assert late.recognition.hypotheses[0].text == "stop work"
    assert output.spoken == ["one"]
    source.heard.append(late)
    assert cutting.say(Say("three"), CUTS) is None
    assert cutting.after(CUTS) is late
    assert cutting.after(CUTS) is None
