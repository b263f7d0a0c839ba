"""Identification: a number read off a part and spelled aloud."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import ClassVar, Literal

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import Id
from assistant.procedure.finding import Findings, suggestion
from assistant.procedure.form import form_fault
from assistant.procedure.kinds.kind import StepKind, Use
from assistant.procedure.naming import part_name, titles
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step
from assistant.shown_text import id_in_words

_LIKE = re.compile(r"\b(record|note|read)\b.*\b(serial|batch|part number)\b", re.I)
_PAIR = re.compile(
    r"\b(same|matching) (mark|number|serial)s?\b|\b(are|is) a (matched )?pair\b", re.I
)


class IdentificationStep(Step):
    """A serial, batch or part number read off the part and spelled aloud."""

    kind: Literal["identification"]
    part: Id
    what: Literal["serial", "batch", "part_number", "mark"]
    form: str = ""  # RE2 regular expression that the whole upper-case text must match
    same_as: Id | None = None  # the step whose number this one must be: a matched pair


class IdentificationKind(StepKind[IdentificationStep]):
    """The number of a marked part."""

    kind = "identification"
    also_called = ("serial", "number", "mark", "batch")
    model = IdentificationStep
    hands_on = False
    examples: ClassVar = {"what": "serial"}
    rank = 3

    def figures(self, procedure: Outline, step: IdentificationStep) -> list[str]:
        """Which number of which part, and its form."""
        form = f", form {step.form}" if step.form else ""
        lines = [f"Record the {id_in_words(step.what)} of {part_name(procedure, step.part)}{form}."]
        if step.same_as is not None:
            lines.append(f"It must be the one of: {', '.join(titles(procedure, (step.same_as,)))}.")
        return lines

    def check(self, findings: Findings, step: IdentificationStep) -> None:
        """The form is one that a spelled number can have; what it must match comes earlier."""
        if step.same_as is not None:
            steps = findings.procedure.steps
            earlier = {s.id for s in steps[: steps.index(step)] if s.kind == self.kind}
            if step.same_as not in earlier:
                hint = suggestion(step.same_as, sorted(earlier), "numbers")
                findings.error(
                    step, f"'{step.same_as}' is not an earlier number; {hint}", "same_as"
                )
        if not step.form:
            findings.warn(
                step,
                "The number has no 'form', so that any spelling is taken; "
                "write one, such as '^KB[0-9]{3}$'.",
            )
            return
        fault = form_fault(step.form)
        if fault:
            findings.error(
                step,
                f"The form '{step.form}' is not a regular expression of RE2 ({fault}); "
                "write one such as '^KB[0-9]{3}$'.",
                "form",
            )
            return
        if re.search(r"[a-z]", re.sub(r"\\[pP]\{\w*\}|\\.", "", step.form)):
            findings.error(
                step,
                "The form has small letters, but a spelled number is kept in capitals and would "
                "never match; write capitals.",
                "form",
            )

    def start(self, draft: StepDraft) -> None:
        """A marked part to be named, and which number the sentence asks for."""
        draft.parts["part"] = {"id": "part", "name": "TODO name of the part", "marked": True}
        draft.step |= {"part": "part", "what": _what(draft.sentence)}
        if _PAIR.search(draft.sentence):
            draft.step["what"] = "mark"
            draft.todo("a step like this for the other part, and here 'same_as' with its id")

    def sounds_like(self, sentence: str) -> bool:
        """It tells to read or record a number, or that two parts have the same one."""
        return any(words.search(sentence) is not None for words in (_LIKE, _PAIR))

    def uses(self, step: IdentificationStep) -> Iterable[Use]:
        """The part."""
        yield Use("parts", "part", step.part)

    def records_number_of(self, step: IdentificationStep) -> str:
        """The part."""
        return step.part


def _what(sentence: str) -> str:
    text = sentence.lower()
    return "batch" if "batch" in text else "part_number" if "part number" in text else "serial"
