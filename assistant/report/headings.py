"""The head of a record, from the event that opened the session."""

from __future__ import annotations

from typing import Any

from pydantic import ValidationError

from assistant.procedure.kinds import kind_of
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step
from assistant.report.lines.job import Document, MaterialLine, PartLine, PersonLine, ToolLine
from assistant.report.lines.step import StepLine
from assistant.report.model import BuildRecord


def open_record(record: BuildRecord, opened: dict[str, Any]) -> Procedure | None:
    """Fill in job, procedure, people, tools, parts and steps; returns the procedure.

    A procedure that this version cannot read leaves those lists empty; its id and revision are
    kept, and the steps are then known from the facts alone.
    """
    record.job = str(opened.get("job", ""))
    record.procedure_id = str(opened.get("procedure_id", ""))
    record.procedure_sha256 = str(opened.get("procedure_sha256", ""))
    record.demo_clock = opened.get("clock") == "demo"
    record.people = _people(opened.get("people"))
    record.procedure = Document(
        title=record.procedure_id, revision=str(opened.get("procedure_revision", ""))
    )
    try:
        procedure = Procedure.model_validate(opened.get("procedure"))
    except ValidationError:
        return None
    _from_procedure(record, procedure)
    return procedure


def _people(stored: Any) -> list[PersonLine]:
    """Everyone named; of a damaged entry what can be read, for verify says that it is damaged."""
    return [
        PersonLine(**{key: str(p.get(key, "")) for key in ("name", "initials", "role")})
        for p in (stored if isinstance(stored, list) else ())
        if isinstance(p, dict)
    ]


def _from_procedure(record: BuildRecord, procedure: Procedure) -> None:
    governing = procedure.governing
    record.procedure = Document(title=procedure.title, revision=procedure.revision)
    record.governing = Document(
        title=governing.title, revision=governing.revision, date=governing.date
    )
    record.tools = [
        ToolLine(
            id=g.id,
            name=g.name,
            kind=g.kind,
            unit=g.unit,
            resolution=g.resolution,
            uncertainty=g.uncertainty,
        )
        for g in procedure.gauges
    ]
    record.materials = [
        MaterialLine(name=c.name, steps=[s.id for s in procedure.steps if c.id in _materials(s)])
        for c in procedure.consumables
    ]
    record.parts = [PartLine(id=p.id, name=p.name, quantity=p.quantity) for p in procedure.parts]
    record.steps = [
        StepLine(id=s.id, number=n, title=s.title, kind=s.kind, reference=s.reference)
        for n, s in enumerate(procedure.steps, 1)
    ]


def _materials(step: Step) -> set[str]:
    """The ids of the consumables that a step uses."""
    return {use.name for use in kind_of(step).uses(step) if use.section == "consumables"}
