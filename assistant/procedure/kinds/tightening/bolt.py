"""The bolt named by a tightening step: known, and loaded sensibly by the torque."""

from __future__ import annotations

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.model import Bolt, TighteningStep
from assistant.quantities.joint import USUAL_SHARE, JointError, proof_stress, torque_query
from assistant.quantities.threads import ThreadError, thread
from assistant.quantities.units import same_dimension


def check_bolt(findings: Findings, step: TighteningStep, bolt: Bolt) -> None:
    """Cross-check the torque of a step that names its bolt; the manual still governs."""
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
    if not same_dimension(step.target.unit, "N*m") or step.target.value <= 0:
        return  # told of the target itself
    asked = torque_query(step.target, known, bolt.grade, step.thread)
    # a torque before a turn by angle only seats the joint, so little is right there
    seats = step.angle is not None and asked.share < USUAL_SHARE[0]
    if asked.query is not None and not seats:
        findings.warn(step, asked.query, "target")
