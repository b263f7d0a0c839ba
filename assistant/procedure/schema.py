"""A JSON Schema (draft 2020-12) of procedure files, for editors that complete and check YAML."""

from __future__ import annotations

import json
from typing import Any

from assistant.procedure.models import Procedure


def json_schema() -> dict[str, Any]:
    """The schema as plain data. Editors see YAML's own types, so numbers may be bare there."""
    schema = Procedure.model_json_schema(mode="validation", by_alias=True)
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Assembly procedure"
    return schema


def schema_text() -> str:
    """The schema as JSON text, ending in a line break."""
    return json.dumps(json_schema(), indent=2, ensure_ascii=False) + "\n"
