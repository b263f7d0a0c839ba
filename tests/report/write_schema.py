"""Writes docs/record.schema.json."""

from __future__ import annotations

from pathlib import Path

from assistant.report.export import schema_text

if __name__ == "__main__":
    target = Path(__file__).parents[2] / "docs" / "record.schema.json"
    target.write_text(schema_text(), encoding="utf-8")
