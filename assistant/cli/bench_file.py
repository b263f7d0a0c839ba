"""The bench inventory file: the tools that are really there, with their calibration."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from assistant.procedure.fault_words import in_words
from assistant.procedure.faults import FaultList, ProcedureFaults
from assistant.procedure.yaml_source import read_source
from assistant.quantities.tools import Bench


class BenchError(ValueError):
    """The inventory cannot be used; the message is one sentence."""


def load_bench(path: Path) -> Bench:
    """Read a bench inventory (YAML: ``tools``, a list of them).

    It is read as a procedure is: every value as the text that was written, within bounds.

    Raises:
        BenchError: it cannot be read, or a tool in it is faulty.
    """
    try:
        source = read_source(path, FaultList(path), "bench inventory")
    except ProcedureFaults as faults:
        raise BenchError(str(faults.faults[0])) from None
    try:
        return Bench.model_validate(source.data)
    except ValidationError as fault:
        first = fault.errors(include_url=False)[0]
        loc, told = in_words(first, source)
        if first["type"] != "value_error" and first["loc"][:1] != ("tools",):
            told = "A bench inventory holds 'tools' and nothing else; start it with 'tools:'."
        raise BenchError(f"{path}:{source.line(loc)}: {told}") from None
    except UnicodeEncodeError:  # an escape such as "\ud800"
        raise BenchError(f"{path}: a value holds half of a character; write all of it.") from None
