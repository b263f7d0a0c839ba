"""Measurement: a value read off a gauge and spoken."""

from assistant.procedure.kinds.measurement.kind import MeasurementKind
from assistant.procedure.kinds.measurement.model import MeasurementStep

__all__ = ["MeasurementKind", "MeasurementStep"]
