"""The stages of a tightening step: what each may say, and in which order they make sense."""

from __future__ import annotations

from typing import assert_never

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.kinds.tightening.stages import last_torque, stages_of, work_of
from assistant.quantities.amount import Amount
from assistant.quantities.units import same_dimension

_AMOUNTS = {"torque": "N*m", "check": "N*m", "up_to": "N*m", "turn": "deg", "loosen": "deg"}


def check_stages(findings: Findings, step: TighteningStep) -> bool:
    """Tell what is wrong with the stages of ``step``; whether they are sound enough to plan."""
    before = _errors(findings)
    for key, given in (
        ("target", step.target), ("angle", step.angle), ("up_to", step.up_to),
        ("minimum", step.minimum or None), ("passes", len(step.passes) > 1 or None),
    ):  # fmt: skip
        if given is not None:
            findings.error(
                step, f"The step has 'stages', so '{key}' belongs in one of them; move it.", key
            )
    whole = [_check_stage(findings, step, index) for index in range(len(step.stages))]
    if all(whole) and check_least(findings, step):
        if last_torque(step) is None:
            findings.error(
                step, "No stage has a torque; begin with one, such as {torque: 20 N*m}.", "stages"
            )
        else:
            _check_order(findings, step)
    return _errors(findings) == before


def _errors(findings: Findings) -> int:
    return sum(f.level == "error" for f in findings.found)


def _check_stage(findings: Findings, step: TighteningStep, index: int) -> bool:
    """One stage by itself; whether it says what is done."""
    stage = step.stages[index]
    sound = True
    for key, unit in _AMOUNTS.items():
        amount: Amount | None = getattr(stage, key)
        if amount is None:
            continue
        if not same_dimension(amount.unit, unit):
            what = "a torque; use N*m, lbf*ft or lbf*in" if unit == "N*m" else "an angle; use deg"
            findings.error(step, f"The {key} {amount} is not {what}.", "stages", index, key)
            sound = False
        elif amount.value <= 0:
            findings.error(step, f"The {key} {amount} is not above zero.", "stages", index, key)
            sound = False
    done = [k for k in ("torque", "turn", "loosen", "check") if getattr(stage, k) is not None]
    if done not in (["torque"], ["turn"], ["torque", "turn"], ["loosen"], ["check"]):
        told = (
            "says nothing that is done; give 'torque', 'turn', 'loosen' or 'check'"
            if not done
            else f"has {' and '.join(done)}; make a stage of each"
        )
        findings.error(step, f"Stage {index + 1} {told}.", "stages", index)
        return False
    return sound


def check_least(findings: Findings, step: TighteningStep) -> bool:
    """A least torque, and the most that it may come to; whether they are sound."""
    before = _errors(findings)
    for index, stage in enumerate(stages_of(step)):
        key = "minimum" if stage.minimum else "up_to"
        place = ("stages", index, key) if step.stages else (key,)
        if (stage.minimum or stage.up_to is not None) and stage.torque is None:
            findings.error(step, "Only a torque can be the least or have a most.", *place)
        elif stage.torque is None or stage.up_to is None:
            continue
        elif stage.up_to.to("N*m").value <= stage.torque.to("N*m").value:
            findings.error(
                step, f"The most, {stage.up_to}, is no more than the torque {stage.torque}.", *place
            )
        elif step.adapter is not None or step.prevailing is not None:
            findings.error(
                step,
                "With an adapter or a drag the most would be another mark; give one torque.",
                *place,
            )
    return _errors(findings) == before


def _check_order(findings: Findings, step: TighteningStep) -> None:
    """Torques rise until the fasteners are loosened; nothing is torqued after a turn."""
    torque: Amount | None = None  # reached so far, since the fasteners were loosened
    turned = False
    for index, stage in enumerate(step.stages):
        place = ("stages", index)
        match work_of(stage):
            case "loosen":
                torque, turned = None, False
            case "turn":
                if torque is None:
                    findings.error(
                        step, f"Stage {index + 1} turns a fastener that no torque seated.", *place
                    )
                turned = True
            case "check":
                _check_check(findings, step, index, torque, turned)
            case "torque":
                assert stage.torque is not None
                if turned:
                    findings.error(
                        step,
                        f"Stage {index + 1} sets a torque after a turn, where it would mean "
                        "nothing; loosen first, or put it before the turn.",
                        *place,
                    )
                elif torque is not None and stage.torque.to("N*m").value <= torque.to("N*m").value:
                    findings.error(
                        step,
                        f"Stage {index + 1} has {stage.torque} after {torque}, and torques rise "
                        "from stage to stage; to go round once more, write "
                        f"'check: {torque}'.",
                        *place,
                    )
                torque, turned = stage.torque, stage.turn is not None
            case other:
                assert_never(other)
    if step.stages[-1].loosen is not None:
        findings.error(step, "The last stage leaves the fasteners loose.", "stages")


def _check_check(
    findings: Findings, step: TighteningStep, index: int, torque: Amount | None, turned: bool
) -> None:
    check = step.stages[index].check
    assert check is not None
    if torque is None or turned:
        after = "a turn" if turned else "no torque"
        findings.error(
            step, f"Stage {index + 1} checks a torque after {after}; put it after its torque.",
            "stages", index,
        )  # fmt: skip
    elif check.to("N*m").value != torque.to("N*m").value:
        findings.error(
            step, f"Stage {index + 1} checks at {check}, but they are tightened to {torque}.",
            "stages", index,
        )  # fmt: skip
