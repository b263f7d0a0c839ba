"""A record as CSV (one row a reading) and as JSON with a schema."""

from __future__ import annotations

import csv
import json
import re
from io import StringIO
from typing import Any

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.habit import converted
from assistant.report.lines.reading import ReadingLine
from assistant.report.model import BuildRecord
from assistant.report.written import readable

COLUMNS = (
    "session", "job", "procedure", "procedure_revision", "manual_revision",
    "step", "step_title", "position", "quantity", "status",
    "relation", "value", "upper", "unit", "lower_limit", "upper_limit", "limit_unit",
    "verdict", "converted_value", "converted_upper", "converted_lower_limit",
    "converted_upper_limit", "converted_unit",
    "gauge", "how", "heard_at", "confirmed_at", "superseded_at", "superseded_why",
    "by", "heard", "engine", "clip", "formula", "ends",
    "tool", "uncertainty", "uncertainty_unit", "exact",
)  # fmt: skip
"""The columns of the CSV, explained in docs/record-format.md."""


def to_csv(record: BuildRecord) -> str:
    """One row a reading, superseded ones too (RFC 4180: CRLF line ends, header row).

    Numbers are as stated; the converted ones are rounded to a tenth of the reading's resolution.
    """
    out = StringIO()
    writer = csv.DictWriter(out, COLUMNS, lineterminator="\r\n")
    writer.writeheader()
    for reading in record.readings:
        row = reading_row(record, reading)
        writer.writerow({name: _harmless(row.get(name, "")) for name in COLUMNS})
    return out.getvalue()


def to_json(record: BuildRecord) -> str:
    """The whole record; its schema is that of :func:`json_schema`."""
    return record.model_dump_json(indent=2)


def json_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the JSON export."""
    schema = BuildRecord.model_json_schema(mode="serialization")
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def schema_text() -> str:
    """The schema as it is published."""
    return json.dumps(json_schema(), indent=2) + "\n"


def reading_row(record: BuildRecord, reading: ReadingLine) -> dict[str, str | None]:
    """A reading as the CSV's columns, before anything is done about formulas."""
    line = record.step_line(reading.step)
    one, limits = reading.indication, reading.limits
    spread = None if reading.uncertainty is None else reading.uncertainty.as_difference()
    other = converted(one.amount)
    unit = None if other is None else other.unit
    limit = limits.lower or limits.upper
    return {
        "session": record.session,
        "job": record.job,
        "procedure": record.procedure_id,
        "procedure_revision": record.procedure.revision,
        "manual_revision": record.governing.revision,
        "step": reading.step,
        "step_title": "" if line is None else line.title,
        "position": reading.position,
        "quantity": reading.quantity,
        "status": reading.status,
        "relation": one.relation,
        "value": _number(one.amount, one.amount.unit),
        "upper": _number(one.upper, one.amount.unit),
        "unit": one.amount.unit,
        "lower_limit": _number(limits.lower, "" if limit is None else limit.unit),
        "upper_limit": _number(limits.upper, "" if limit is None else limit.unit),
        "limit_unit": "" if limit is None else limit.unit,
        "verdict": reading.judgement.verdict,
        "converted_value": "" if other is None else other.number(),
        "converted_upper": _converted(one.upper, unit),
        "converted_lower_limit": _converted(limits.lower, unit),
        "converted_upper_limit": _converted(limits.upper, unit),
        "converted_unit": unit,
        "gauge": reading.gauge,
        "how": reading.how,
        "heard_at": reading.at,
        "confirmed_at": reading.confirmed_at,
        "superseded_at": reading.superseded_at,
        "superseded_why": reading.superseded_why,
        "by": reading.by,
        "heard": reading.heard,
        "engine": reading.engine,
        "clip": reading.clip,
        "formula": reading.formula,
        "ends": _ends(one),
        "tool": reading.tool,
        "uncertainty": "" if spread is None else spread.number(),
        "uncertainty_unit": "" if spread is None else spread.unit,
        "exact": reading.exact,
        "said_value": "" if one.said is None else one.said.number(),
        "said_unit": "" if one.said is None else one.said.unit,
    }


def _ends(one: Indication) -> str:
    if one.relation != "between":
        return ""
    return ("[" if one.lower_included else "(") + (" ]" if one.upper_included else " )")


def _number(amount: Amount | None, unit: str) -> str:
    if amount is None:
        return ""
    # a spreadsheet takes a fraction for a date: 5/12 is the fifth of December
    told = amount if amount.unit == unit else Amount(amount.to(unit).value, unit)
    return readable(told).number()


def _converted(amount: Amount | None, unit: str | None) -> str:
    if amount is None or unit is None:
        return ""
    other = converted(amount, unit)
    return "" if other is None else other.number()


# A spreadsheet runs a cell such as "=..." as a formula, and strips what is not seen before it.
# Where the list separator is a semicolon or a tab, or a line break ends a cell, the formula may
# also stand in the middle of ours. Full-width signs count as the plain ones in some scripts.
_FORMULA = re.compile(
    r"(?P<before>(?:^|[;\t\r\n])[\s\"'\x00-\x20\x7f-\xa0\u200b-\u200f\u2060\ufeff]*)"
    r"(?P<sign>[=+\-@\uff1d\uff0b\uff0d\uff20])"
)
_NUMBER = re.compile(r"-?\d+(\.\d+)?(/\d+)?")
_CUT_OFF = "\t\r\n"  # a cell that begins with one of these is another cell to some readers


def _harmless(text: str | None) -> str:
    """``text`` as a cell that no spreadsheet runs; a number stays a number."""
    if not text or _NUMBER.fullmatch(text):
        return text or ""
    safe = _FORMULA.sub(r"\g<before>'\g<sign>", text)
    return "'" + safe if safe[0] in _CUT_OFF else safe
