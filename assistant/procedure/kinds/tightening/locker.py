"""Thread locker: it locks only on clean dry threads, once it has cured, and it is no lubricant."""

from __future__ import annotations

import re
from fractions import Fraction

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.tightening.model import TighteningStep
from assistant.procedure.listed import Consumable
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step
from assistant.quantities.units import same_dimension

_LOCKER = re.compile(r"\b(thread ?lock(er|ing)?|threadlock(er)?)\b", re.I)


def locker_of(procedure: Outline, step: TighteningStep) -> Consumable | None:
    """The thread locker of a step, as it is listed; None without one."""
    return next((c for c in procedure.consumables if c.id == step.locker), None)


def check_locker(findings: Findings, step: TighteningStep) -> None:
    """Locker on oil does not cure, and locker without its times cannot be relied on."""
    lubricant = next((c for c in findings.procedure.consumables if c.id == step.lubricant), None)
    if lubricant is not None and _LOCKER.search(lubricant.name):
        findings.warn(
            step, f"'{lubricant.name}' is a thread locker, not a lubricant; name it as 'locker'.",
            "lubricant",
        )  # fmt: skip
    if step.locker is not None and step.thread == "lubricated":
        findings.error(
            step, "Thread locker does not cure on an oiled thread; write 'thread: dry'.", "locker"
        )
    locker = locker_of(findings.procedure, step)
    if locker is None:
        return
    for key, amount in (("open_time", locker.open_time), ("cure_time", locker.cure_time)):
        if amount is None:
            findings.warn(
                step, f"The thread locker '{locker.id}' states no '{key}'; give it.", "locker"
            )
        elif not same_dimension(amount.unit, "s") or amount.value <= 0:
            findings.error(
                step, f"The {key} {amount} of '{locker.id}' is not a time above zero.", "locker"
            )
            return
    if locker.cure_time is not None and not _cures(findings, step, locker.cure_time.to("s").value):
        findings.warn(
            step,
            f"Nothing after this step waits the {locker.cure_time} that the thread locker takes to "
            "cure; add a wait.",
            "locker",
        )


def _cures(findings: Findings, step: Step, seconds: Fraction) -> bool:
    """Whether a later step waits so long."""
    steps = findings.procedure.steps
    return any(
        time is not None and same_dimension(time.unit, "s") and time.to("s").value >= seconds
        for time in (s.waited for s in steps[steps.index(step) + 1 :])
    )
