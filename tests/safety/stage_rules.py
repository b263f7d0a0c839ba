"""What must hold of the stages of a tightening: torques, turns by angle, loosening, checks.

Beside ``invariants``, which has the rules of every pass.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from assistant.dialogue.events import Heard
from assistant.dialogue.facts import Acknowledged, Fact, StepDone, StepReopened
from assistant.dialogue.kinds.tightening.facts import (
    CheckRepeated,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
    TurnAnnounced,
)
from assistant.procedure.kinds.tightening import Stage, TighteningStep
from assistant.quantities.amount import Amount
from assistant.quantities.units import UNITS, same_dimension
from tests.safety.trace import Said, Trace

Breach = tuple[int, str]


def written_stages(step: TighteningStep) -> list[Stage]:
    """The stages as the procedure states them; a pass of a target is one too."""
    if step.stages:
        return list(step.stages)
    assert step.target is not None
    whole = step.target
    parts = [Amount(whole.value * Fraction(share), whole.unit) for share in step.passes]
    return [
        *(Stage(torque=part) for part in parts[:-1]),
        Stage(torque=parts[-1], turn=step.angle),
    ]


def announced(trace: Trace, before: int, step: str) -> int | None:
    """The place of the last announcement of a torque or a turn."""
    places = [trace.last(before, kind, step=step) for kind in (TorqueAnnounced, TurnAnnounced)]
    return max((p for p in places if p is not None), default=None)


def every_stage_is_done_as_the_procedure_states_it(trace: Trace) -> Iterator[Breach]:
    """Turn, loosening and check are those written; torque is set only where one is written."""
    for at, fact in trace.facts(FastenerTightened):
        step = trace.step(fact.step)
        assert isinstance(step, TighteningStep)
        stage = written_stages(step)[fact.pass_number - 1]
        wanted = stage.loosen if stage.turn is None else stage.turn
        if (fact.turn, fact.loosened) != (wanted, stage.loosen is not None):
            yield at, f"{fact} but the procedure has {stage}"
        if (fact.torque is None) != (stage.torque is None and stage.check is None):
            yield at, f"{fact.torque} was set in {stage}"
        if (fact.moved is None) != (stage.check is None):
            yield at, f"{fact} but the procedure has {stage}"


def a_turn_never_announces_a_torque(trace: Trace) -> Iterator[Breach]:
    """A builder who hears a torque sets it, and a turn by angle has none."""
    language = trace.context.language
    torques = [language.say_unit(u).casefold() for u in UNITS if same_dimension(u, "N*m")]
    for at, fact in trace.facts(TurnAnnounced):
        words = language.say_amount(fact.turn, digits=True).casefold()
        for move in trace.moves[at + 1 :]:
            if isinstance(move, Said) and words in move.text.casefold():
                if any(unit in move.text.casefold() for unit in torques):
                    yield at, f"with a turn was said: {move.text}"
                break


def a_left_hand_thread_is_said_to_be_one_before_it_is_turned(trace: Trace) -> Iterator[Breach]:
    """Turned the wrong way, the wrench clicks at once, or the nut comes off."""
    for at, fact in trace.facts(FastenerTightened):
        step = trace.step(fact.step)
        assert isinstance(step, TighteningStep)
        if not step.left_hand:
            continue
        told = announced(trace, at, fact.step) or 0
        known = trace.last(at, Acknowledged, step=fact.step) or -1
        which = trace.context.language.prompt("left_hand_loosen" if fact.loosened else "left_hand")
        if trace.heard(told, known, which) is None:
            yield at, f"{fact.fastener} of {fact.step}: left hand was not heard"


def a_check_is_over_only_when_nothing_moved(trace: Trace) -> Iterator[Breach]:
    """One that moved has all of them checked once more, from the first on."""
    moved: dict[tuple[str, int], set[str]] = {}
    for at, fact in trace.facts(Fact):
        match fact:
            case FastenerTightened(moved=True):
                moved.setdefault((fact.step, fact.pass_number), set()).add(fact.fastener)
            case FastenerReopened():
                moved.get((fact.step, fact.pass_number), set()).discard(fact.fastener)
            case CheckRepeated():
                if set(fact.moved) != moved.pop((fact.step, fact.pass_number), set()):
                    yield at, f"{fact} but others moved"
            case StepReopened(step=name):
                moved = {key: labels for key, labels in moved.items() if key[0] != name}
            case StepDone(step=name, how="done"):
                if any(labels for key, labels in moved.items() if key[0] == name):
                    yield at, f"{name} is done, but in its check moved {moved}"
            case _:
                pass


def a_whole_pass_is_done_only_after_it_was_named_and_confirmed(trace: Trace) -> Iterator[Breach]:
    """Sixteen fasteners at one word: each is named back, and only where the procedure says so."""
    yes = trace.context.language.phrase_for("confirm")
    for at, fact in trace.facts(FastenerTightened):
        if not fact.together:
            continue
        step, event = trace.step(fact.step), trace.event(at)
        assert isinstance(step, TighteningStep)
        if not step.whole_pass:
            yield at, f"{fact.step} allows no whole pass"
        said = event.recognition.hypotheses[0].text if isinstance(event, Heard) else ""
        told = announced(trace, at, fact.step) or 0
        if said != yes or not _named_back(trace, (told, trace.cause(at)), step, fact.fastener):
            yield at, f"{fact.fastener} of {fact.step} was not named back; heard '{said}'"


def _named_back(trace: Trace, span: tuple[int, int], step: TighteningStep, which: str) -> bool:
    """In a list, as "bolt one, three": the first is whole, the others without the words of all."""
    if trace.heard(*span, which) is not None:
        return True
    kind, _, own = which.rpartition(" ")
    others = {label.rpartition(" ")[0] for label in step.fasteners}
    return others == {kind} and trace.heard(*span, f"{kind} ", f", {own}") is not None


STAGE_RULES = (
    every_stage_is_done_as_the_procedure_states_it,
    a_turn_never_announces_a_torque,
    a_left_hand_thread_is_said_to_be_one_before_it_is_turned,
    a_check_is_over_only_when_nothing_moved,
    a_whole_pass_is_done_only_after_it_was_named_and_confirmed,
)
