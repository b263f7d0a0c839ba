"""The bolt named by a tightening step: known, and loaded sensibly by the torque."""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.model import Bolt, TighteningStep
from assistant.procedure.kinds.tightening.stages import turn_of
from assistant.quantities.amount import Amount
from assistant.quantities.joint import (
    USUAL_SHARE,
    JointError,
    TurnEstimate,
    proof_stress,
    torque_query,
    turned_on,
)
from assistant.quantities.threads import Thread, ThreadError, thread
from assistant.quantities.units import same_dimension

_FAR = Fraction(3)
"""Joints give as much as their bolts and more, so up to three times is usual: common practice, no
source."""


def check_bolt(findings: Findings, step: TighteningStep, bolt: Bolt, target: Amount | None) -> None:
    """Cross-check the final torque of a step that names its bolt; the manual still governs.

    ``target`` is None where it is unsound; that is reported elsewhere.
    """
    try:
        known = thread(bolt.thread)
    except ThreadError as fault:
        findings.error(step, str(fault), "bolt", "thread")
        return
    try:
        proof_stress(known, bolt.grade)
    except JointError as fault:
        findings.error(step, str(fault), "bolt", "grade")
        return
    if target is None:
        return
    # before it cures, thread locker lets a thread slide as oil does: common practice, no source
    slides = "lubricated" if step.locker is not None else step.thread
    asked = torque_query(target, known, bolt.grade, slides)
    # a torque before a turn by angle only seats the joint, so little is right there
    seats = turn_of(step) is not None and asked.share < USUAL_SHARE[0]
    if asked.query is not None and not seats:
        findings.warn(step, asked.query, "stages" if step.stages else "target")
    by = turn_of(step)
    if by is not None and bolt.grip is not None:
        _check_turn(findings, step, bolt.grip, turn_on(asked.share, by, known, bolt))


def turn_on(seated: Fraction, by: Amount, known: Thread, bolt: Bolt) -> TurnEstimate | None:
    """How far the turn may take the bolt; None where its grip is no length above zero."""
    if bolt.grip is None or not same_dimension(bolt.grip.unit, "mm") or bolt.grip.value <= 0:
        return None
    return turned_on(seated, by, known, bolt.grade, bolt.grip)


def _check_turn(
    findings: Findings, step: TighteningStep, grip: Amount, found: TurnEstimate | None
) -> None:
    """Angle-controlled tightening goes to yield by design (VDI 2230): say how far at most."""
    if found is None:
        findings.error(step, f"The grip {grip} is not a length above zero.", "bolt", "grip")
    elif found.most < 1:
        findings.warn(
            step,
            f"Torque and turn load this bolt to {round(found.most * 100)} % of its proof load at "
            "most, even in a joint that does not give, so the turn does not take it to its yield; "
            "check the angle with the manual.",
            "bolt", "grip",
        )  # fmt: skip
    elif found.most > _FAR:
        findings.warn(
            step,
            f"In a joint that does not give, the turn would take this bolt to "
            f"{round(found.most * 100)} % of its proof load, far past its yield; check the angle "
            "with the manual, and fit new bolts.",
            "bolt", "grip",
        )  # fmt: skip
