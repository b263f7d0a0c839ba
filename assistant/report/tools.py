"""The bench's own tools in the record: which ones, calibrated until when, and what was found."""

from __future__ import annotations

from typing import Any

from assistant.dialogue.facts import ToolChecked
from assistant.language.english import in_english
from assistant.report.gathering import Gathering
from assistant.report.model import BuildRecord


def inventory(record: BuildRecord, event: dict[str, Any]) -> None:
    """An opening or resuming event may bring an inventory of the bench with it."""
    kept = event.get("bench")
    tools = kept.get("tools", ()) if isinstance(kept, dict) else ()
    by_id = {str(t.get("id", "")): t for t in tools if isinstance(t, dict)}
    for line in record.tools:
        own = by_id.get(line.id)
        if own is not None:
            due = own.get("calibration_due")
            line.own_name = str(own.get("name", ""))
            line.calibration_due = None if due is None else str(due)


def checked(g: Gathering, fact: ToolChecked) -> None:
    """A tool was looked at for a step: what was found is noted with it."""
    for line in g.record.tools:
        if line.id == (fact.instead_of or fact.tool):
            line.own_id = fact.tool
            line.unit = fact.unit or line.unit
            line.resolution = fact.resolution or line.resolution
            if fact.resolution is not None:
                line.uncertainty = fact.uncertainty
            line.own_name, line.checked_at = fact.name, g.at
            line.calibration_due = fact.calibration_due or None
            line.findings = [in_english(finding) for finding in fact.findings]
