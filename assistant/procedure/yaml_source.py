"""Reads a YAML file into plain data, remembering the line of every key and item.

Every value is kept as the text that was written: ``revision: 010`` stays ``010``, ``14`` does not
turn into a number, ``on`` does not turn into *true*. The typed model turns text into numbers.
Anchors, aliases and tags are refused: a procedure must say what it means in the place where the
reader looks for it, and a file with aliases may unfold to any size.
"""

from __future__ import annotations

import errno
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from assistant.input_file import read_whole
from assistant.procedure.faults import FaultList
from assistant.yaml_events import YamlError, YamlEvent, yaml_events

MAX_BYTES = 1_000_000
MAX_DEPTH = 12
MAX_SCALAR = 5_000
MAX_VALUES = 20_000
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
_NODES = ("scalar", "alias", "mapping", "list")
_EMPTY = {"", "~", "null", "Null", "NULL"}

Loc = tuple[str | int, ...]


@dataclass(frozen=True)
class Source:
    """Plain data of a file and the line (from 1) of every place in it."""

    data: Any
    lines: dict[Loc, int] = field(default_factory=dict)

    def line(self, loc: Loc) -> int:
        """The line of ``loc``, or of the nearest place around it that was written."""
        while loc and loc not in self.lines:
            loc = loc[:-1]
        return self.lines.get(loc, 1)


def read_text(path: Path, faults: FaultList, what: str = "procedure") -> str:
    """The text of ``path``, which should hold a ``what``.

    Raises:
        ProcedureFaults: it cannot be read, or is too large, empty, binary or not UTF-8.
    """
    raw = b""
    try:
        raw = read_whole(path, MAX_BYTES)
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        if error.errno == errno.EFBIG:
            faults.add(0, f"The file is larger than 1 MB; a {what} is a short text, so split it.")
        else:
            faults.add(0, f"The file cannot be read ({reason}); check its name and permissions.")
    except ValueError:  # a NUL inside the name
        faults.add(0, f"This is not a file name; give the path of a {what} file.")
    faults.raise_if_any()
    text = ""
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        faults.add(line, "The file is not UTF-8 text; save it again with the encoding UTF-8.")
    if "\0" in text:
        faults.add(0, f"The file is binary, not text; a {what} is a YAML text file.")
    elif not faults.faults and not text.strip():
        faults.add(0, f"The file is empty; write a {what} into it, or start from an example.")
    faults.raise_if_any()
    return text


def read_source(path: Path, faults: FaultList, what: str = "procedure") -> Source:
    """Parse ``path``; faults that leave the rest readable are added to ``faults``.

    Raises:
        ProcedureFaults: the file cannot be read as YAML at all.
    """
    text = read_text(path, faults, what)
    events: list[YamlEvent] = []
    try:
        events = list(_guarded(yaml_events(text), faults))
    except YamlError as error:
        faults.add(
            error.line,
            f"The YAML cannot be read here ({error.problem}); check the indentation, the colon and "
            "space after each key, and quotes around text that contains ': ' or ' #'.",
        )
    except (ValueError, IndexError, RecursionError):  # slips inside the YAML scanner
        faults.add(0, "The YAML cannot be read; check the line written last for odd characters.")
    faults.raise_if_any()
    return _Builder(events, faults, what).build()


def _guarded(events: Iterator[YamlEvent], faults: FaultList) -> Iterator[YamlEvent]:
    """Pass events on; note what YAML allows and a procedure does not, before anything unfolds."""
    depth = documents = values = 0
    for event in events:
        line, starts = event.line, event.kind in ("mapping", "list")
        values += event.kind in _NODES
        if values > MAX_VALUES:
            faults.add(line, f"The file holds more than {MAX_VALUES} values; split it.")
            return
        if event.kind == "document":
            documents += 1
            if documents == 2:
                faults.add(line, "A second document starts here; keep one procedure to a file.")
        if event.kind == "alias":
            faults.add(line, f"The alias '*{event.anchor}' is not allowed; write the text out.")
        elif event.anchor is not None:
            faults.add(line, f"The anchor '&{event.anchor}' is not allowed; leave it out.")
        if event.tagged:
            faults.add(line, "A tag (a word that starts with '!') is not allowed; leave it out.")
        if len(event.value) > MAX_SCALAR:
            faults.add(line, f"A text here is longer than {MAX_SCALAR} characters; shorten it.")
        if _CONTROL.search(event.value):
            # An escape such as "\\e" in quotes: a terminal would obey it, a voice stumble over it.
            faults.add(line, "A text here holds a control code; write plain text only.")
        if starts:
            depth += 1
            if depth > MAX_DEPTH:
                faults.add(line, "Lists and keys are nested too deeply; check the indentation.")
                return
        elif event.kind == "end":
            depth -= 1
        yield event


class _Builder:
    """Turns checked events into dicts, lists and text; depth is bounded by ``_guarded``."""

    def __init__(self, events: list[YamlEvent], faults: FaultList, what: str) -> None:
        self._events = iter([e for e in events if e.kind != "document"])
        self._faults = faults
        self._what = what
        self._lines: dict[Loc, int] = {}

    def build(self) -> Source:
        first = next(self._events, None)
        if first is None:
            self._faults.add(
                0, f"The file holds no {self._what}, only comments; write one into it."
            )
            self._faults.raise_if_any()
            return Source(None)
        return Source(self._node(first, ()), self._lines)

    def _node(self, event: YamlEvent, loc: Loc) -> Any:
        self._lines.setdefault(loc, event.line)
        if event.kind == "scalar":
            if event.plain and event.value in _EMPTY:
                # An empty 'upper:' must not quietly mean that there is no upper limit.
                name = f"The key '{loc[-1]}'" if loc and isinstance(loc[-1], str) else "This place"
                self._faults.add(
                    self._lines[loc], f"{name} is left empty; write a value or remove the line."
                )
                return None
            return event.value
        if event.kind == "mapping":
            return self._mapping(loc)
        items: list[Any] = []
        while (item := next(self._events)).kind != "end":
            items.append(self._node(item, (*loc, len(items))))
        return items

    def _mapping(self, loc: Loc) -> dict[str, Any]:
        found: dict[str, Any] = {}
        while (key := next(self._events)).kind != "end":
            line = key.line
            if key.kind != "scalar":
                self._node(key, (*loc, "?"))
                self._faults.add(line, "A list or mapping is used as a key; use a word.")
                name = "?"
            else:
                name = key.value
                if name in found:
                    first = self._lines[*loc, name]
                    self._faults.add(
                        line,
                        f"The key '{name}' was already given on line {first}; keep one of them.",
                    )
            self._lines.setdefault((*loc, name), line)
            value = self._node(next(self._events), (*loc, name))
            found.setdefault(name, value)
        return found
