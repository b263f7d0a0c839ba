"""YAML as plain data, as the safe loader of ruamel.yaml (YAML 1.2) gives it, but quicker."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from assistant.yaml_events import YamlEvent, as_yaml_error, quick_events

_MAY_BE_NO_TEXT = re.compile(r"[-+.0-9]|(?:null|true|false|~|<<|=)$", re.I)
_WHOLE = re.compile(r"0|[1-9][0-9]{0,17}")
_TRUTH = {"true": True, "false": False}


class _UnsureError(ValueError):
    """Something that ruamel.yaml must decide."""


def yaml_data(text: str) -> Any:
    """The data in ``text``: dicts, lists, texts, numbers, truths and None.

    Raises:
        YamlError: it cannot be read, or a key is given twice.
    """
    events = quick_events(text)
    if events:
        try:
            rest = iter(events[1:])  # after the beginning of the document
            return _value(next(rest), rest)
        except _UnsureError:
            pass
    return _thorough(text)


def _thorough(text: str) -> Any:
    from ruamel.yaml import YAML  # slow to import, and seldom needed

    with as_yaml_error():
        return YAML(typ="safe", pure=True).load(text)


def _value(event: YamlEvent, rest: Iterator[YamlEvent]) -> Any:
    match event.kind:
        case "scalar":
            return _scalar(event)
        case "list":
            items: list[Any] = []
            while (one := next(rest)).kind != "end":
                items.append(_value(one, rest))
            return items
    found: dict[Any, Any] = {}
    while (key := next(rest)).kind != "end":
        name = _scalar(key)
        if key.kind != "scalar" or name in found:
            raise _UnsureError
        found[name] = _value(next(rest), rest)
    return found


def _scalar(event: YamlEvent) -> Any:
    text = event.value
    if not event.plain or not _MAY_BE_NO_TEXT.match(text):
        return text
    if _WHOLE.fullmatch(text):
        return int(text)
    if text in _TRUTH:
        return _TRUTH[text]
    raise _UnsureError
