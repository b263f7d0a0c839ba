"""YAML as a stream of events, read twenty times as quickly where that is sure to be the same.

ruamel.yaml (YAML 1.2) decides what is unusual, and names every fault with its line. libyaml (YAML
1.1) reads the rest, which is nearly every file: no tabs, no anchors, aliases, tags or directives,
one document, no empty value. There the two agree (`tests/test_yaml_events.py`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

if TYPE_CHECKING:
    from ruamel.yaml.events import Event

# A character that plain YAML text does not have, a directive, a document marker, or a comment
# directly after a block indicator.
_UNUSUAL = re.compile(
    r"[^\n\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd]"
    r"|^[%.]|^---.|[|>][-+0-9]*#",
    re.MULTILINE,
)
_DEPTH = 100  # deeper than any file of ours; libyaml is slow there

YamlEventKind = Literal["scalar", "alias", "mapping", "list", "end", "document"]


class YamlEvent(NamedTuple):
    """One event. ``line`` counts from 1; ``plain``: a scalar written without quotes or block."""

    kind: YamlEventKind
    line: int
    value: str = ""
    plain: bool = False
    anchor: str | None = None  # of an alias: what it stands for
    tagged: bool = False


class YamlError(ValueError):
    """The text cannot be read. ``line`` counts from 1; 0 where it is not known."""

    def __init__(self, line: int, problem: str, whole: str) -> None:
        self.line, self.problem = line, problem
        super().__init__(whole)


@contextmanager
def as_yaml_error() -> Iterator[None]:
    """Turn what ruamel.yaml raises into a :class:`YamlError`."""
    from ruamel.yaml.error import MarkedYAMLError, YAMLError, YAMLStreamError

    try:
        yield
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = str(error.problem or error.context or "it is not well formed")
        line = mark.line + 1 if mark is not None else 0
        raise YamlError(line, problem, str(error)) from error
    except (YAMLError, YAMLStreamError) as error:  # a character that YAML forbids
        raise YamlError(0, str(error), str(error)) from error


def yaml_events(text: str) -> Iterator[YamlEvent]:
    """The events of ``text`` in order, without the beginning and end of the stream.

    Raises:
        YamlError: it cannot be read.
        ValueError, IndexError, RecursionError: the same; slips inside the scanner.
    """
    quick = quick_events(text)
    return _thorough(text) if quick is None else iter(quick)


def quick_events(text: str) -> list[YamlEvent] | None:
    """The events as libyaml gives them; None where ruamel.yaml must be asked."""
    if _UNUSUAL.search(text):
        return None
    import yaml

    if not hasattr(yaml, "CBaseLoader"):  # built without libyaml
        return None
    found: list[YamlEvent] = []
    depth = 0
    try:
        for event in yaml.parse(text, Loader=yaml.CBaseLoader):
            one = _of_libyaml(event)
            if one is None:
                continue
            depth += (one.kind in ("mapping", "list")) - (one.kind == "end")
            again = one.kind == "document" and bool(found)
            empty = one.plain and not one.value
            alone = one.kind == "scalar" and not depth
            if one.anchor or one.tagged or again or empty or alone or depth > _DEPTH:
                return None
            found.append(one)
    except (yaml.YAMLError, ValueError):
        return None
    return found


def _of_libyaml(event: Any) -> YamlEvent | None:
    line = event.start_mark.line + 1
    match type(event).__name__:
        case "ScalarEvent":
            plain = not event.style
            return YamlEvent("scalar", line, event.value, plain, event.anchor, bool(event.tag))
        case "AliasEvent":
            return YamlEvent("alias", line, anchor=event.anchor)
        case "MappingStartEvent":
            return YamlEvent("mapping", line, anchor=event.anchor, tagged=bool(event.tag))
        case "SequenceStartEvent":
            return YamlEvent("list", line, anchor=event.anchor, tagged=bool(event.tag))
        case "MappingEndEvent" | "SequenceEndEvent":
            return YamlEvent("end", line)
        case "DocumentStartEvent":
            return YamlEvent("document", line)
    return None


def _thorough(text: str) -> Iterator[YamlEvent]:
    from ruamel.yaml import YAML  # slow to import, and seldom needed

    with as_yaml_error():
        for event in YAML(typ="safe", pure=True).parse(text):
            one = _of_ruamel(event)
            if one is not None:
                yield one


def _of_ruamel(event: Event) -> YamlEvent | None:
    from ruamel.yaml import events

    line = event.start_mark.line + 1 if event.start_mark is not None else 0
    match event:
        case events.ScalarEvent():
            plain = event.style in (None, "")
            return YamlEvent("scalar", line, event.value, plain, event.anchor, _tagged(event))
        case events.AliasEvent():
            return YamlEvent("alias", line, anchor=event.anchor)
        case events.MappingStartEvent():
            return YamlEvent("mapping", line, anchor=event.anchor, tagged=_tagged(event))
        case events.CollectionStartEvent():
            return YamlEvent("list", line, anchor=event.anchor, tagged=_tagged(event))
        case events.CollectionEndEvent():
            return YamlEvent("end", line)
        case events.DocumentStartEvent():
            return YamlEvent("document", line)
        case _:
            return None


def _tagged(event: Any) -> bool:
    return event.ctag is not None and str(event.ctag) not in ("", "None")
