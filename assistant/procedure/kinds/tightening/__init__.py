"""Tightening: fasteners drawn down in passes to a torque."""

from assistant.procedure.kinds.tightening.kind import TighteningKind
from assistant.procedure.kinds.tightening.model import Bolt, Stage, TighteningStep, WrenchAdapter

__all__ = ["Bolt", "Stage", "TighteningKind", "TighteningStep", "WrenchAdapter"]
