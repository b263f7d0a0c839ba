"""What is read quickly is what ruamel.yaml (YAML 1.2) reads; all that is unusual goes to it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant import yaml_data, yaml_events
from assistant.resources import data_folder
from assistant.yaml_events import YamlError, YamlEvent, quick_events

FOLDERS = ("procedures", "grammars", "audio_fixtures")
SHIPPED = sorted(p for name in FOLDERS for p in data_folder(name).rglob("*.yaml"))
LINES = [
    line
    for path in SHIPPED
    for line in path.read_text(encoding="utf-8").splitlines()
    if line.strip()
]
SIGNS = " \n:-#'\"[]{},&*!|>?%@`~\\/abz019.=<+\t"


def seen(events: list[YamlEvent]) -> list[YamlEvent]:
    """Events without the lines of ends and of the document, which nobody asks for."""
    return [e._replace(line=0) if e.kind in ("end", "document") else e for e in events]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_shipped_file_is_read_quickly_and_the_same(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    quick = quick_events(text)
    assert quick is not None
    assert seen(quick) == seen(list(yaml_events._thorough(text)))
    assert yaml_data.yaml_data(text) == yaml_data._thorough(text)


@st.composite
def damaged(draw: st.DrawFn) -> str:
    """Lines of shipped files, some with signs put in or taken out."""
    text = "\n".join(draw(st.lists(st.sampled_from(LINES), min_size=1, max_size=6)))
    for _ in range(draw(st.integers(0, 4))):
        at = draw(st.integers(0, len(text)))
        text = text[:at] + draw(st.sampled_from(["", *SIGNS])) + text[at + draw(st.booleans()) :]
    return text


@given(damaged())
def test_what_is_read_quickly_is_the_same_when_damaged(text: str) -> None:
    quick = quick_events(text)
    if quick is None:
        return
    assert seen(quick) == seen(list(yaml_events._thorough(text)))
    try:
        thorough = yaml_data._thorough(text)
    except YamlError:
        with pytest.raises(YamlError):
            yaml_data.yaml_data(text)
    else:
        assert repr(yaml_data.yaml_data(text)) == repr(thorough)


@pytest.mark.parametrize(
    "text",
    ["a: &x 1", "a: *x", "a: !t 1", "%YAML 1.1\n---\na: 1", "a: 1\n---\nb: 1", "a:", "- ", "a:\t1",
     "a: |#\n b", "a: b\x85c", "a: b\u2028c", "\ufeffa: 1", "a: [", "alone", "a: 1\r\nb: 2",
     "--- a"],
)  # fmt: skip
def test_what_is_unusual_or_faulty_is_not_read_quickly(text: str) -> None:
    assert quick_events(text) is None


@pytest.mark.parametrize(
    ("text", "data"),
    # YAML 1.2.2, section 10.3.2: only true and false are truths, and 0o17 is octal, not 017
    [("a: yes\nb: no\nc: on", {"a": "yes", "b": "no", "c": "on"}), ("a: true", {"a": True}),
     ("a: ~", {"a": None}), ("a: null", {"a": None}), ("2: x", {2: "x"}), ("a: 0o17", {"a": 15}),
     ("a: '2'", {"a": "2"}), ("a: 1.5", {"a": 1.5}), ("a: -3", {"a": -3}), ("", None),
     ("a: {b: [c, d]}", {"a": {"b": ["c", "d"]}})],
)  # fmt: skip
def test_data_are_those_of_yaml_1_2(text: str, data: object) -> None:
    assert yaml_data.yaml_data(text) == data


def test_a_key_that_is_given_twice_is_a_fault_with_its_line() -> None:
    with pytest.raises(YamlError, match="duplicate key") as fault:
        yaml_data.yaml_data("a: 1\nb: 2\na: 3")
    assert fault.value.line == 3


@pytest.mark.parametrize(
    "path",
    [p for p in SHIPPED if p.is_relative_to(data_folder("grammars"))],
    ids=lambda path: f"{path.parent.name}/{path.stem}",
)
def test_the_words_of_a_language_are_read_the_quick_way(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each start reads them; quote a phrase that begins with a figure."""

    def slow(text: str) -> object:
        raise AssertionError(f"{path} needs ruamel.yaml")

    monkeypatch.setattr(yaml_data, "_thorough", slow)
    assert yaml_data.yaml_data(path.read_text("utf-8"))
