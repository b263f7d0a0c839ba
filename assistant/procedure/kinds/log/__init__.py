"""Log: values read again and again, at set times."""

from assistant.procedure.kinds.log.kind import LogKind
from assistant.procedure.kinds.log.model import LoggedValue, LogStep, Settled

__all__ = ["LogKind", "LogStep", "LoggedValue", "Settled"]
