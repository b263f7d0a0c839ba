"""The form of a number that is spelled aloud: a regular expression, matched in linear time.

Python's own ``re`` backtracks: ``^(A|AA)+$`` against forty letters takes longer than a working day.
RE2 (https://github.com/google/re2, syntax in its wiki) never does; in return it has no backward
references and does not look ahead.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import re2

_MOST_BYTES = 1 << 20  # of a compiled form; a serial number's takes a few hundred


def form_fault(form: str) -> str:
    """Why ``form`` is not a form, in a few words; empty when it is one."""
    try:
        _compiled(form)
    except re2.error as fault:
        told = fault.args[0] if fault.args else ""
        return told.decode("utf-8", "replace") if isinstance(told, bytes) else str(told)
    except UnicodeEncodeError:
        return "it holds half of a character"
    return ""


def fits(form: str, text: str) -> bool:
    """Whether the whole of ``text`` has the form; nothing fits what is not a form."""
    return not form_fault(form) and _compiled(form).fullmatch(text) is not None


@lru_cache(maxsize=64)
def _compiled(form: str) -> Any:
    options = re2.Options()
    options.log_errors = False  # the terminal belongs to the session
    options.max_mem = _MOST_BYTES
    return re2.compile(form, options)
