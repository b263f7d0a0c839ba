"""Tightening: fasteners in passes over a pattern, each torque announced and acknowledged first."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import tooling
from assistant.dialogue.commands import YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.judged import ReviewedKind
from assistant.dialogue.kinds.tightening import (
    announcing,
    pass_done,
    passes,
    progress,
    reopening,
    reviewing,
    turned,
    working,
)
from assistant.dialogue.kinds.tightening.facts import (
    CheckRepeated,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
    TurnAnnounced,
)
from assistant.dialogue.kinds.tightening.states import (
    Loosening,
    PassAsked,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.kinds.tightening.wrench import wrench_obstacle
from assistant.dialogue.kinds.tightening.wrench_setting import order, stage_at, wrench
from assistant.dialogue.labels import listed
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Review, underlying
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.plan import plan_on
from assistant.procedure.kinds.tightening.stages import pattern_at, target_of
from assistant.quantities.problem import Problem

_Own = Loosening | TorqueAcknowledge | Tightening | PassAsked


class TighteningDialogue(ReviewedKind[TighteningStep], StateOwner[_Own]):
    """No fastener is tightened before the wrench in hand was announced and acknowledged."""

    kind = "tightening"
    facts = (TorqueAnnounced, TurnAnnounced, FastenerTightened, FastenerReopened, CheckRepeated)
    states = (Loosening, TorqueAcknowledge, Tightening, PassAsked)

    def begin(self, turn: Turn, step: TighteningStep) -> None:
        """Say the order, and announce the first pass."""
        turn.say_text(step.say)
        turn.say_short("pattern", pattern=turn.words("pattern_" + pattern_at(step, 0)),
                       labels=listed(order(step)))  # fmt: skip
        passes.begin(turn)

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """That the torque is understood, or a fastener done; that one was missed."""
        match at:
            case Loosening():
                return MayBeSaid(("understood",), go_back=True, skip=True)
            case TorqueAcknowledge():
                return MayBeSaid(
                    ("understood", "missed"), go_back=True, skip=True, correct_earlier=True
                )
            case Tightening():
                assert state.step is not None
                step = context.procedure.step(state.step)
                assert isinstance(step, TighteningStep)
                fasteners = tuple((f, f) for f in step.fasteners)
                own = ["done", "missed", "correction"]
                if stage_at(step, at.pass_index).check is not None:
                    own.append("moved")
                if step.whole_pass:
                    own.append("pass_done")
                return MayBeSaid(tuple(own), fasteners, go_back=True, skip=True)
            case PassAsked():
                return MayBeSaid(YES_NO, go_back=True, skip=True)
            case _:
                assert_never(at)

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """Loosened; the torque understood; a fastener done, named or missed."""
        match at:
            case Loosening():
                return self._loosening(turn, said)
            case TorqueAcknowledge():
                return self._torque(turn, at, said)
            case Tightening():
                return self._fastener(turn, at, said)
            case PassAsked():
                return self._whole_pass(turn, at, said)
            case _:
                assert_never(at)

    def _loosening(self, turn: Turn, said: Said) -> bool:
        if said.meaning != Command("understood"):
            return False
        passes.loosened(turn)
        return True

    def _torque(self, turn: Turn, at: TorqueAcknowledge, said: Said) -> bool:
        match said.meaning:
            case Command(id="understood"):
                working.acknowledge_torque(turn, at)
            case Command(id="missed"):
                reopening.missed(turn, at)
            case _:
                return False
        return True

    def _fastener(self, turn: Turn, at: Tightening, said: Said) -> bool:
        match said.meaning:
            case Command(id="done"):
                working.tightened(turn, at)
            case Command(id="moved"):
                working.tightened(turn, at, moved=True)
            case Command(id="pass_done"):
                pass_done.ask(turn, at)
            case Command(id="missed" | "correction"):
                reopening.missed(turn, at)
            case Phrase(id=label):
                working.named_fastener(turn, at, label)
            case _:
                return False
        return True

    def _whole_pass(self, turn: Turn, at: PassAsked, said: Said) -> bool:
        match said.meaning:
            case Command(id="confirm"):
                pass_done.confirmed(turn, at)
            case Command(id="wrong"):
                pass_done.refused(turn, at)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Say the torque again, and the fastener that is due."""
        match at:
            case Loosening():
                turned.say_loosen(turn)
            case TorqueAcknowledge():
                passes.say_announcement(turn, at)
            case Tightening(pass_index=index):
                announcing.say(turn, index)
                working.ask_fastener(turn)
            case PassAsked(pass_index=index):
                announcing.say(turn, index)
                pass_done.ask(turn, at)
            case _:
                assert_never(at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """Understood; done, all of a pass at once where that may be; nothing moves in a check."""
        match at:
            case Loosening() | TorqueAcknowledge():
                return builder.say("understood", self.called(at))
            case Tightening():
                whole = builder.step_as(TighteningStep).whole_pass
                return builder.say("pass_done") if whole else builder.say("done", self.called(at))
            case PassAsked():
                return builder.say("confirm")
            case _:
                assert_never(at)

    def say_place(self, turn: Turn, at: _Own) -> None:
        """The fastener that is due."""
        if isinstance(at, Tightening):
            working.ask_fastener(turn)

    def called(self, at: _Own) -> str:
        """A torque is understood, and a fastener done; a turn and loosening are cautions."""
        match at:
            case TorqueAcknowledge():
                return "" if at.by_angle else "torque"
            case Tightening():
                return "fastener"
            case Loosening() | PassAsked():
                return ""
            case _:
                assert_never(at)

    def other_bench(self, turn: Turn, at: _Own) -> None:
        """Its wrench has to be announced before it is used."""
        if not isinstance(at, Loosening):
            passes.other_bench(turn)

    def resumed(self, turn: Turn, at: _Own) -> None:
        """Look at the wrench first; one that is not set as announced is announced again."""
        if tooling.blocked(turn):
            return
        if not isinstance(at, Loosening) and passes.set_otherwise(turn):
            passes.announce(turn)
        else:
            self.ask_again(turn, at)

    def review_allows(self, context: Context, state: State, step: TighteningStep) -> MayBeSaid:
        """Go on, or that a fastener was missed."""
        return MayBeSaid(("go_on", "missed", "correction"))

    def answer_review(self, turn: Turn, step: TighteningStep, at: Review, said: Said) -> bool:
        """A fastener was missed."""
        if said.meaning not in (Command("missed"), Command("correction")):
            return False
        reopening.missed(turn, at)
        return True

    def say_review(self, turn: Turn, step: TighteningStep) -> None:
        """To what torque everything was tightened."""
        reviewing.say_review(turn)

    def obstacle(self, turn: Turn, step: TighteningStep) -> str | None:
        """The wrench at hand must give the torque of every pass."""
        return wrench_obstacle(turn, step)

    def part_way(self, turn: Turn, step: TighteningStep, reason: str) -> bool:
        """A joint that is started but not finished must not be relied on."""
        return progress.part_way(turn, reason)

    def say_torque(self, turn: Turn, step: TighteningStep) -> None:
        """The pass under way with its setting; else the target, with no setting.

        No wrench is announced then, or it must not be used.
        """
        at = underlying(turn.state.awaiting)
        if isinstance(at, TorqueAcknowledge | Tightening | PassAsked) and turn.state.announced:
            announcing.say(turn, at.pass_index, replaces=False)
            if isinstance(at, TorqueAcknowledge):
                announcing.ask(turn, at.pass_index)
            return
        plan = plan_on(step, wrench(turn))
        if isinstance(plan, Problem):
            turn.say("torque_cannot", tone="caution", why=plan)
            return
        target = turn.context.language.say_amount(target_of(step), digits=True)
        turn.say("torque_target", torque=target)
