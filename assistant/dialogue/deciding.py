"""The states of a value out of limits: what is done with it, why, and who releases it."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import adjusting, disposing, people, readjusting, tooling
from assistant.dialogue.commands import DISPOSITIONS
from assistant.dialogue.context import Context
from assistant.dialogue.effects import ASKED
from assistant.dialogue.kinds.judged import judged
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.noting import SAID_IN_VAIN, free_speech
from assistant.dialogue.owner import KeepsSpeech, MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import DispositionReason, OutOfLimit, Release
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase
from assistant.procedure.adjusting import AdjustableStep


class Deciding(StateOwner[OutOfLimit]):
    """The value is measured again, or a disposition is named."""

    states = (OutOfLimit,)

    def may_be_said(self, context: Context, state: State, at: OutOfLimit) -> MayBeSaid:
        """A disposition, or what takes the value back."""
        assert state.step is not None
        step = context.procedure.step(state.step)
        own = ("adjusted",) if _may_adjust(context, state, at) else ()
        return MayBeSaid(
            (*own, "correction", "remeasure", "wrong", *DISPOSITIONS),
            reading=judged(step).reading_when_out(context, state, step),
            go_back=True,
        )

    def answer(self, turn: Turn, at: OutOfLimit, said: Said) -> bool:
        """Name the disposition, or take the value back."""
        if isinstance(said.meaning, Command) and said.meaning.id in DISPOSITIONS:
            disposing.name_disposition(turn, at.index, said.meaning.id)
            return True
        if said.meaning == Command("adjusted"):
            readjusting.adjusted(turn, at)
            return True
        return judged(turn.step).answer_out(turn, turn.step, at, said)

    def ask_again(self, turn: Turn, at: OutOfLimit) -> None:
        """Ask what is to be done."""
        judged(turn.step).ask_out(turn, turn.step, at.index)

    def resumed(self, turn: Turn, at: OutOfLimit) -> None:
        """Do not continue with a reading if the gauge has run out of calibration."""
        if not (kind_of(turn.step).measures and tooling.blocked_meanwhile(turn)):
            super().resumed(turn, at)

    def next_line(self, builder: StandIn, at: OutOfLimit) -> str:
        """The disposition that the answers have, for a value that was heard as it was meant."""
        assert builder.state.step is not None
        step = builder.context.procedure.step(builder.state.step)
        if not judged(step).as_meant(builder, step, at.index):
            return builder.say("correction")
        may = _may_adjust(builder.context, builder.state, at)
        if may and judged(step).adjusted_next(builder, step, at.index):
            return builder.say("adjusted")
        return builder.say("disposition_" + builder.answers.disposition)


def _may_adjust(context: Context, state: State, at: OutOfLimit) -> bool:
    turn = Turn(context, state, at="")  # only asked: nothing is collected
    if not isinstance(turn.step, AdjustableStep) or not turn.step.adjustable:
        return False
    value = judged(turn.step).value_out(turn, turn.step, disposing.position_name(turn, at.index))
    return adjusting.allowed(state, turn.step, value)


class GivingReasons(KeepsSpeech[DispositionReason]):
    """The reason of a disposition is kept as it is said."""

    states = (DispositionReason,)
    what = "reason"

    def may_be_said(self, context: Context, state: State, at: DispositionReason) -> MayBeSaid:
        """Anything; and what leaves it."""
        return free_speech(state)

    def keep(
        self,
        turn: Turn,
        at: DispositionReason,
        text: str,
        clip: str | None,
        seconds: float | None,
    ) -> None:
        """Keep the reason, and hold the job for release."""
        disposing.hear_reason(turn, at, text, clip, seconds)

    def leave(self, turn: Turn, at: DispositionReason) -> None:
        """No disposition after all."""
        turn.go(OutOfLimit(at.index))
        judged(turn.step).ask_out(turn, turn.step, at.index)

    def not_offered(self, context: Context, state: State, at: DispositionReason) -> tuple[str, ...]:
        """What is said by habit."""
        return SAID_IN_VAIN

    def ask_again(self, turn: Turn, at: DispositionReason) -> None:
        """Ask for the reason."""
        name = turn.words("name_disposition_" + at.disposition)
        turn.say("disposition_reason", tone="ask", disposition=name)

    def next_line(self, builder: StandIn, at: DispositionReason) -> str:
        """The reason that the answers have."""
        return builder.answers.reason


class Releasing(StateOwner[Release]):
    """Another person than the builder hears the value with its reason, and decides."""

    states = (Release,)

    def may_be_said(self, context: Context, state: State, at: Release) -> MayBeSaid:
        """Who decides; their decision; that the disposition is taken back."""
        decision = ("accept", "refuse") if at.person else ()
        phrases = people.person_phrases(context, state)
        return MayBeSaid(("correction", "wrong", *decision), phrases)

    def answer(self, turn: Turn, at: Release, said: Said) -> bool:
        """Name the person; carry out the decision."""
        match said.meaning:
            case Phrase(id=initials):
                person = people.name_of_another(turn, initials)
                if person is not None:
                    named = replace(at, person=person)
                    turn.go(named)
                    self.ask_again(turn, named)
            case Command(id="accept" | "refuse" as word) if at.person is not None:
                disposing.release(turn, at, word == "accept")
                if word == "accept" and at.disposition in disposing.MEASURED_AGAIN:
                    readjusting.part_changed(turn, at)
            case Command(id="correction" | "wrong"):
                disposing.drop_disposition(turn, at, "taken_back")
                turn.go(OutOfLimit(at.index))
                judged(turn.step).ask_out(turn, turn.step, at.index)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: Release) -> None:
        """Hold for release, or ask the one who was named for the decision."""
        if at.person is None:
            turn.say("hold_for_release", tone="caution")
            people.say_longer_initials(turn)
            return
        disposing.say_to_be_released(turn, at)
        turn.say("person_readback", tone="readback", about=ASKED, person=at.person)
        turn.ask("decision_ask")

    def not_offered(self, context: Context, state: State, at: Release) -> tuple[str, ...]:
        """The builder, who may not decide."""
        return people.builders_initials(state)

    def rested(self, at: Release) -> Release:
        """Whoever was named may have left: they name themselves again."""
        return replace(at, person=None)

    def next_line(self, builder: StandIn, at: Release) -> str:
        """The inspector names themselves, and accepts."""
        if at.person is not None:
            return builder.say("accept")
        phrases = people.person_phrases(builder.context, builder.state)
        return builder.pick(builder.answers.inspector, phrases)
