"""The bench's own tools in the record: which ones, calibrated until when, and what was found.

Another tool in the place of one that was looked at for a step gets a line of its own, behind it:
what the one before measured, it measured, and until when that is calibrated must still be there.
"""

from __future__ import annotations

from collections.abc import Container
from typing import Any

from assistant.dialogue.facts import ToolChecked
from assistant.language.english import in_english
from assistant.procedure.listed import Gauge
from assistant.procedure.models import Procedure
from assistant.report.gathering import Gathering
from assistant.report.lines.job import ToolLine, there_at
from assistant.report.model import BuildRecord

_READ = ("counts", "unconfirmed")


def inventory(record: BuildRecord, event: dict[str, Any], procedure: Procedure | None) -> None:
    """An opening or resuming event may bring an inventory of the bench with it.

    What is used where it has no tool is as the ``procedure`` has it: nothing is known of it.
    """
    kept = event.get("bench")
    tools = kept.get("tools", ()) if isinstance(kept, dict) else ()
    by_id = {str(t.get("id", "")): t for t in tools if isinstance(t, dict)}
    for gauge in dict.fromkeys(line.id for line in record.tools):
        own = by_id.get(gauge)
        if own is not None:
            due = own.get("calibration_due")
            told = (str(own.get("name", "")), None if due is None else str(due))
            line = _line(record, gauge, told, str(event.get("at", "")))
            line.own_id = line.own_id or gauge
        elif isinstance(kept, dict) and procedure is not None:
            _taken_away(record, procedure.gauge(gauge), by_id, str(event.get("at", "")))


def _taken_away(record: BuildRecord, gauge: Gauge, there: Container[str], now: str) -> None:
    last = [line for line in record.tools if line.id == gauge.id][-1]
    if not last.own_name or last.own_id in there:
        return
    line = _line(record, gauge.id, ("", None), now)
    line.own_id, line.unit = "", gauge.unit
    line.resolution, line.uncertainty = gauge.resolution, gauge.uncertainty


def checked(g: Gathering, fact: ToolChecked) -> None:
    """A tool was looked at for a step: what was found is noted with it."""
    gauge = fact.instead_of or fact.tool
    if not any(line.id == gauge for line in g.record.tools):
        return
    line = _line(g.record, gauge, (fact.name, fact.calibration_due or None), g.at)
    line.own_id = fact.tool
    line.unit = fact.unit or line.unit
    line.resolution = fact.resolution or line.resolution
    if fact.resolution is not None:
        line.uncertainty = fact.uncertainty
    line.checked_at = g.at
    line.findings = [in_english(finding) for finding in fact.findings]


def _line(record: BuildRecord, gauge: str, told: tuple[str, str | None], now: str) -> ToolLine:
    """The last line of a gauge, or a new one behind it where ``told`` is of another tool.

    Told are its name and until when it is calibrated.
    """
    at, line = [(i, one) for i, one in enumerate(record.tools) if one.id == gauge][-1]
    read = any(
        r.gauge == gauge and r.status in _READ and there_at(record.tools, gauge, r.at) is line
        for r in record.readings
    )
    if (line.own_name, line.calibration_due) != told and (line.used or line.checked_at or read):
        line.until = now
        line = line.model_copy(
            update={
                "used": False,
                "own_id": "",
                "checked_at": None,
                "until": None,
                "findings": [],
            }
        )
        record.tools.insert(at + 1, line)
    line.own_name, line.calibration_due = told
    return line
