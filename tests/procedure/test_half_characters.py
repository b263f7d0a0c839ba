"""Half of a character, written as an escape, is reported in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.loader import load_procedure


@pytest.mark.parametrize(
    "line", ['"\\ud800\\udc00": 1', 'title: "\\ud800"', 'id: "\\udfff"', '"\\ud83d": {}']
)
def test_a_surrogate_is_a_fault_and_no_traceback(tmp_path: Path, line: str) -> None:
    path = tmp_path / "half.yaml"
    path.write_text(f'revision: "a"\n{line}\n', encoding="utf-8")
    with pytest.raises(ProcedureFaults):
        load_procedure(path)
