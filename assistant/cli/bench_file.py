"""The bench inventory file: the tools that are really there, with their calibration."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError

from assistant.quantities.tools import Bench


class BenchError(ValueError):
    """The inventory cannot be used; the message is one sentence."""


def load_bench(path: Path) -> Bench:
    """Read a bench inventory (YAML: ``tools``, a list of them).

    Raises:
        BenchError: it cannot be read, or a tool in it is faulty.
    """
    try:
        data = YAML(typ="safe").load(path.read_text(encoding="utf-8"))
        return Bench.model_validate(data)
    except OSError as fault:
        raise BenchError(f"{path}: cannot be read ({fault.strerror}).") from None
    except UnicodeDecodeError:
        raise BenchError(f"{path}: is not a text file in UTF-8.") from None
    except YAMLError as fault:
        mark = getattr(fault, "problem_mark", None)
        line = f":{mark.line + 1}" if mark is not None else ""
        raise BenchError(f"{path}{line}: is not YAML; mend the line.") from None
    except ValidationError as fault:
        first = fault.errors()[0]
        where = " ".join(str(part) for part in first["loc"]) or "the whole file"
        told = first["msg"].removeprefix("Value error, ")
        raise BenchError(f"{path}: {where}: {told}") from None
    except (ValueError, TypeError, LookupError, AttributeError, RecursionError) as fault:
        # slips inside the YAML reader, such as the thirteenth month of a date
        told = str(fault).splitlines()[0] if str(fault) else "it cannot be made out"
        raise BenchError(f"{path}: a value is not what it looks like ({told}); mend it.") from None
