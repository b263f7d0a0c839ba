"""Torques and angles in a step's own sentences: none may differ from what is announced.

A sentence is read aloud as written. A torque in it would reach the builder without the wrench
being looked at, without its digits, and without being acknowledged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from assistant.language import Language
from assistant.language.figures import SpokenFigure, figures, speaks_of
from assistant.procedure.checks.installed import language_folder
from assistant.procedure.finding import Findings
from assistant.procedure.kinds import kind_of
from assistant.procedure.kinds.kind import Announced
from assistant.procedure.step import LimitedStep, Step
from assistant.quantities.amount import Amount
from assistant.quantities.units import same_dimension

_LOOSE = "take the figure out, and make the tightening a step of its own"


def check_told_figures(findings: Findings) -> None:
    """Check every figure of torque or angle in what is read aloud."""
    tag = findings.procedure.language
    if language_folder(tag) is None:
        return  # reported already
    language = Language.load(tag)
    for step in findings.procedure.steps:
        texts = list(_texts(step))
        whole = " ".join(text for _, text in texts)
        told = [(loc, f) for loc, text in texts for f in figures(language, text)]
        for loc, figure in told:
            wrong = _wrong(findings, language, step, figure, whole)
            if wrong:
                findings.error(step, f"'{loc[0]}' tells of '{figure.written}', {wrong}", *loc)
        _check_turn_alone(findings, language, step)


def _texts(step: Step) -> Iterator[tuple[tuple[str | int, ...], str]]:
    yield ("title",), step.title
    yield ("say",), step.say
    yield ("picture",), step.picture
    for index, text in enumerate(step.cautions):
        yield ("cautions", index), text
    for key, text in kind_of(step).texts(step):
        yield (key,), text


def _wrong(
    findings: Findings, language: Language, step: Step, figure: SpokenFigure, whole: str
) -> str:
    """What is wrong with a figure in a step, to follow its words; empty when nothing is."""
    announced = kind_of(step).announced(step)
    if announced is not None:
        return _beside_target(announced, figure)
    if kind_of(step).is_hold_point:
        tightened = [a for s in findings.procedure.steps if (a := kind_of(s).announced(s))]
        known = [x for a in tightened for x in (a.torques if figure.torque else a.turns)]
        if _speaks_of_tightening(language, figure, whole) and not _among(figure, known):
            return "which no tightening step of this procedure gives; fix it or take it out."
        return ""
    measured = isinstance(step, LimitedStep) and same_dimension(step.unit, "N*m")
    if figure.torque and measured:
        if speaks_of(language, figure.sentence, "tightening"):
            return f"a torque to tighten to, which is not announced here; {_LOOSE}."
        return ""
    if figure.torque or _speaks_of_tightening(language, figure, whole):
        what = "a torque" if figure.torque else "a turn to tighten by"
        return f"{what} that is not announced and acknowledged here; {_LOOSE}."
    return ""


def _speaks_of_tightening(language: Language, figure: SpokenFigure, whole: str) -> bool:
    """Whether a figure belongs to tightening; "the arrow at 45 degrees" does not."""
    if figure.torque or speaks_of(language, figure.sentence, "tightening", "torque"):
        return True
    if not speaks_of(language, figure.sentence, "turning", "further"):
        return False
    if speaks_of(language, figure.sentence, "fastener"):
        return True
    return speaks_of(language, figure.sentence, "further") and speaks_of(
        language, whole, "tightening", "torque", "fastener"
    )


def _beside_target(announced: Announced, figure: SpokenFigure) -> str:
    if figure.torque:
        if _among(figure, announced.torques):
            return ""
        return (
            f"but the {_listed('target', announced.torques)}; take the figure out, since the "
            "torque is announced."
        )
    if _among(figure, (*announced.turns, *announced.shown)):
        return ""
    if not announced.turns:
        return "but the step has no 'angle'; give it, or take the figure out."
    return (
        f"but the {_listed('angle', announced.turns)}; take the figure out, since the angle is "
        "announced."
    )


def _listed(what: str, amounts: Sequence[Amount]) -> str:
    """``target is 20 N*m``, or ``targets are 20 N*m, 40 N*m``."""
    several = list(dict.fromkeys(map(str, amounts)))
    return f"{what} is {several[0]}" if len(several) == 1 else f"{what}s are {', '.join(several)}"


def _among(figure: SpokenFigure, amounts: Sequence[Amount]) -> bool:
    said = figure.amount
    return said is not None and any(
        same_dimension(a.unit, said.unit) and said.to(a.unit).value == a.value for a in amounts
    )


def _check_turn_alone(findings: Findings, language: Language, step: Step) -> None:
    """A text that tells of the turn and of nothing else: its torque would not be meant."""
    announced, whole = kind_of(step).announced(step), f"{step.title} {step.say}"
    if (
        announced is not None
        and announced.turns
        and announced.torques
        and speaks_of(language, whole, "turning", "further")
        and not speaks_of(language, whole, "tightening", "torque")
    ):
        findings.error(
            step,
            f"The text tells of a turn alone, but the step announces {announced.torques[-1]} as "
            "well; give the turn as 'angle' of the step that tightens to the torque.",
            "say",
        )
