"""Choice: a branch that the builder's answer decides."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import SPOKEN_PATTERN, Id, Model
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step


class Option(Model):
    """One answer to a choice; ``say`` is what the builder speaks, in dictionary words."""

    id: Id
    say: Annotated[str, Field(pattern=SPOKEN_PATTERN)]


class ChoiceStep(Step):
    """A branch on variant or condition."""

    kind: Literal["choice"]
    options: Annotated[tuple[Option, ...], Field(min_length=2)]


class ChoiceKind(StepKind[ChoiceStep]):
    """Conditions of later steps ask for its answer."""

    kind = "choice"
    also_called = ("question", "options")
    model = ChoiceStep
    hands_on = False
    nested: ClassVar = {"options": Option}
    also_known_as: ClassVar = {"answers": "options"}

    def figures(self, procedure: Outline, step: ChoiceStep) -> list[str]:
        """The answers."""
        return ["Answers: " + ", ".join(o.say for o in step.options) + "."]

    def check(self, findings: Findings, step: ChoiceStep) -> None:
        """Nothing beyond the model, which asks for two options at least."""

    def start(self, draft: StepDraft) -> None:
        """Two options to be named."""
        draft.todo("options")
        draft.step["options"] = [
            {"id": "first", "say": "first"},
            {"id": "second", "say": "second"},
        ]

    def phrases(self, step: ChoiceStep) -> Iterable[tuple[str, Sequence[str]]]:
        """The answers."""
        yield "options", [o.say for o in step.options]

    def options(self, step: ChoiceStep) -> tuple[str, ...]:
        """Their ids."""
        return tuple(o.id for o in step.options)
