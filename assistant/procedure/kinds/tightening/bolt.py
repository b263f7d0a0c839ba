"""The bolt named by a tightening step: known, and loaded sensibly by the torque."""

from __future__ import annotations

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.model import Bolt, TighteningStep
from assistant.procedure.kinds.tightening.stages import turn_of
from assistant.quantities.amount import Amount
from assistant.quantities.joint import USUAL_SHARE, JointError, proof_stress, torque_query
from assistant.quantities.threads import ThreadError, thread


def check_bolt(findings: Findings, step: TighteningStep, bolt: Bolt, target: Amount | None) -> None:
    """Cross-check the final torque of a step that names its bolt; the manual still governs.

    ``target`` is None where it is unsound, which is told already.
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
    asked = torque_query(target, known, bolt.grade, step.thread)
    # a torque before a turn by angle only seats the joint, so little is right there
    seats = turn_of(step) is not None and asked.share < USUAL_SHARE[0]
    if asked.query is not None and not seats:
        findings.warn(step, asked.query, "stages" if step.stages else "target")
