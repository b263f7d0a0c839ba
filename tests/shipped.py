"""The shipped procedures. They never change once they are loaded, so each is read once."""

from __future__ import annotations

from functools import cache

from assistant.procedure.loader import load_procedure
from assistant.procedure.models import Procedure
from assistant.resources import data_folder


@cache
def shipped(name: str) -> Procedure:
    """The shipped procedure of that name, such as ``kb2_input_shaft``."""
    return load_procedure(data_folder("procedures") / f"{name}.yaml")
