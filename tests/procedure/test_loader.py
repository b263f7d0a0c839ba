"""The loader: every fault at once, each with its line, and never a traceback."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.loader import (
    Fault,
    ProcedureFaults,
    file_sha256,
    find_procedures,
    load_procedure,
    load_with_lines,
)
from assistant.quantities.amount import parse_amount
from tests.procedure.kit import SOUND, sound_data


def write(tmp_path: Path, text: str | bytes) -> Path:
    path = tmp_path / "p.yaml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def faults_of(path: Path) -> list[Fault]:
    with pytest.raises(ProcedureFaults) as caught:
        load_procedure(path)
    return caught.value.faults


def only_fault(path: Path) -> Fault:
    faults = faults_of(path)
    assert len(faults) == 1, [str(f) for f in faults]
    return faults[0]


def line_of(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_a_sound_file_loads_with_exact_quantities(tmp_path: Path) -> None:
    procedure = load_procedure(write(tmp_path, SOUND))
    bolts = procedure.step("bolts")
    assert isinstance(bolts, TighteningStep)
    assert bolts.target == parse_amount("12 lbf*ft")
    assert procedure.governing.date == "2025-11-03"
    assert [s.id for s in procedure.steps][:2] == ["lock", "serial"]


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    assert load_procedure(write(tmp_path, b"\xef\xbb\xbf" + SOUND.encode())).id == "small"


def test_values_are_kept_as_written(tmp_path: Path) -> None:
    """YAML would read 010, 1e3 and NO as numbers and false; a revision is a text."""
    for revision in ("010", "1E3", "NO", "12"):
        text = SOUND.replace("revision: A\n", f"revision: {revision}\n")
        assert load_procedure(write(tmp_path, text)).revision == revision


def test_every_fault_is_reported_at_once_with_its_line(tmp_path: Path) -> None:
    text = (
        SOUND.replace("revision: A\n", "revison: A\n")
        .replace("date: 2025-11-03", "date: 2025-13-03")
        .replace("kind: dial_indicator", "kind: dial_indcator")
        .replace("12 lbf*ft, tol", "12 lb, tol")
        .replace("kind: choice", "kind: choise")
        .replace("{id: tidy, kind", "{id: lock, kind")
        .replace("criteria: All marked.", "criterion: All marked.")
    )
    found = [(f.line, f.message) for f in faults_of(write(tmp_path, text))]
    expected = [
        (line_of(text, "revison"), "did you mean 'revision'"),
        (1, "'revision' is missing"),
        (line_of(text, "2025-13-03"), "not a day of the calendar"),
        (line_of(text, "dial_indcator"), "did you mean 'dial_indicator'"),
        (line_of(text, "12 lb, "), "'lb' is not a known unit"),
        (line_of(text, "kind: choise"), "did you mean 'choice'"),
        (line_of(text, "{id: lock, kind: action"), "already used on line"),
        (line_of(text, "criterion"), "did you mean 'criteria'"),
        (line_of(text, "{id: hold"), "'criteria' is missing"),
    ]
    for line, words in expected:
        assert any(at == line and words in message for at, message in found), (line, words, found)
    assert len(found) == len(expected), found


def test_a_fault_is_one_line_with_file_line_and_sentence(tmp_path: Path) -> None:
    path = write(tmp_path, SOUND.replace("thread: lubricated", "thread: wet"))
    with pytest.raises(ProcedureFaults) as caught:
        load_procedure(path)
    line = line_of(SOUND, "thread: lubricated")
    assert str(caught.value) == (
        f"{path}:{line}: The key 'thread' in step 'bolts' cannot be 'wet'; "
        "use one of: dry, lubricated."
    )


def test_an_empty_limit_is_a_fault_and_not_no_limit(tmp_path: Path) -> None:
    text = SOUND.replace("upper: 6 thou", "upper: ")
    assert "left empty" in only_fault(write(tmp_path, text)).message


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda s: "", "empty"),
        (lambda s: "  \n\n", "empty"),
        (lambda s: "# only a comment\n", "only comments"),
        (lambda s: b"\x00\x01\x02\x03", "binary"),
        (lambda s: s.encode("utf-16"), "UTF-8"),
        (lambda s: s.replace("Dial,", "Gerät,").encode("latin-1"), "UTF-8"),
        (lambda s: s + "#" + "x" * 1_000_000, "1 MB"),
        (lambda s: "[" * 5000, "nested too deeply"),
        (lambda s: "a: [" + "b," * 200_000 + "]", "more than"),
        (lambda s: s.replace("name: Dial", "name: &x Dial"), "anchor"),
        (lambda s: s.replace("id: dial", "id: !!python/none dial"), "tag"),
        (lambda s: s.replace("id: dial", "id: !!str dial"), "tag"),
        (lambda s: s + "---\nid: two\n", "second document"),
        (lambda s: s.replace("revision: A\n", "revision: A\nrevision: B\n"), "already given"),
        (lambda s: s.replace("revision: A\n", "revision: A\n\tid: x\n"), "indentation"),
        (lambda s: "- a\n- b\n", "holds no keys"),
        (lambda s: "just words", "holds no keys"),
        (lambda s: s.replace("title: Seal", 'title: "Seal'), "cannot be read"),
        (lambda s: s.replace("resolution: 0.1 thou", "resolution: " + "9" * 4500 + " mm"), "long"),
    ],
)
def test_files_that_are_no_procedure_get_one_clear_sentence(
    tmp_path: Path, spoil: Callable[[str], str | bytes], words: str
) -> None:
    fault = only_fault(write(tmp_path, spoil(SOUND)))
    assert words in fault.message


def test_aliases_cannot_unfold(tmp_path: Path) -> None:
    """The well-known 'billion laughs' shape: nine levels of nine references each."""
    lines = ['a0: &a0 "lol"']
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 10)]
    messages = [f.message for f in faults_of(write(tmp_path, "\n".join(lines)))]
    assert any("alias" in m for m in messages)


def test_missing_files_and_folders_are_told(tmp_path: Path) -> None:
    assert "cannot be read" in only_fault(tmp_path / "none.yaml").message
    assert "cannot be read" in only_fault(tmp_path).message


def test_lines_point_into_the_file(tmp_path: Path) -> None:
    loaded = load_with_lines(write(tmp_path, SOUND))
    steps = [s.id for s in loaded.procedure.steps]
    place = ("steps", steps.index("bolts"), "target")
    assert loaded.source.line(place) == line_of(SOUND, "target: 12")


def test_sha256_is_that_of_the_bytes(tmp_path: Path) -> None:
    """Against the published test vector for 'abc' (FIPS 180-4 example)."""
    path = write(tmp_path, b"abc")
    vector = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert file_sha256(path) == vector == hashlib.sha256(b"abc").hexdigest()


def test_procedures_of_the_workshop_are_found_after_the_shipped_ones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    folder = tmp_path / "assembly-assistant" / "procedures"
    folder.mkdir(parents=True)
    (folder / "own.yaml").write_text(SOUND)
    (folder / "notes.txt").write_text("no procedure")
    names = [p.name for p in find_procedures()]
    assert names[-1] == "own.yaml"
    assert "kb2_input_shaft.yaml" in names[:-1]


def survives(path: Path) -> None:
    """Loading either works or reports faults of one line each; nothing else is raised."""
    faults: list[Fault] = []
    try:
        load_procedure(path)
    except ProcedureFaults as report:
        faults = report.faults
        printed = str(report)
    else:
        return
    assert faults
    assert len(printed.splitlines()) == len(faults)
    assert all(f.message and f.line >= 0 for f in faults)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200))
def test_no_bytes_make_a_traceback(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    survives(write(tmp_path_factory.mktemp("fuzz"), raw))


_YAMLISH = st.text(
    st.sampled_from(list("abkind:steps[]{},-&*!|>'\"#%@`?~ \n\t0123.9/*éあ\u2028\x85\ufeff")),
    max_size=120,
)


@settings(max_examples=200, deadline=None)
@given(_YAMLISH)
def test_no_text_makes_a_traceback(tmp_path_factory: pytest.TempPathFactory, text: str) -> None:
    survives(write(tmp_path_factory.mktemp("fuzz"), text))


@pytest.mark.uncounted
@settings(max_examples=200, deadline=None)
@given(st.integers(0, len(SOUND) - 1), st.integers(0, 12), _YAMLISH)
def test_no_slip_of_the_pen_makes_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, at: int, cut: int, put: str
) -> None:
    text = SOUND[:at] + put[:12] + SOUND[at + cut :]
    survives(write(tmp_path_factory.mktemp("fuzz"), text))


_VALUE = st.recursive(
    st.one_of(st.text(max_size=12), st.integers().map(str), st.just("1.5 thou")),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)


@pytest.mark.uncounted
@settings(max_examples=200, deadline=None)
@given(st.data())
def test_no_shape_of_data_makes_a_traceback(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Any value in any place: JSON is YAML, so the spoiled data are written as JSON."""
    whole = sound_data()
    section = data.draw(st.sampled_from(sorted(whole)))
    if isinstance(whole[section], list) and data.draw(st.booleans()):
        item = data.draw(st.sampled_from(whole[section]))
        item[data.draw(st.sampled_from(sorted(item)))] = data.draw(_VALUE)
    else:
        whole[section] = data.draw(_VALUE)
    path = tmp_path_factory.mktemp("fuzz") / "p.yaml"
    path.write_text(json.dumps(whole, default=str), encoding="utf-8")
    survives(path)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("passes: [0.5, 1]", "passes: []", "needs at least 1"),
        ("passes: [0.5, 1]", "passes: [half, 1]", "write a decimal number"),
        ("passes: [0.5, 1]", "passes: [nan, 1]", "write a decimal number"),
        ("passes: [0.5, 1]", "passes: 0.5", r"write passes: [first, second]"),
        ("marked: true", "marked: perhaps", "write true or false"),
        ("marked: true", "quantity: 0", "must be at least 1"),
        ("marked: true", "quantity: two", "write a whole number"),
        ("name: Machine oil", 'name: ""', "is empty"),
        ("name: Machine oil", "name: [oil]", "must be a text"),
        ("name: Machine oil", "name: " + "x" * 2001, "longer than 2000"),
        ("when: {choice: {seal: lip}}", "when: lip", "must hold keys of its own"),
        ("when: {choice: {seal: lip}}", "when: {choice: lip}", "must hold keys of its own"),
        ("when: {choice: {seal: lip}}", "when: {choise: {seal: lip}}", "did you mean 'choice'"),
        ("when: {choice: {seal: lip}}", "when: {reading: {gap: inn}}", "did you mean 'in'"),
        ("when: {choice: {seal: lip}}", "when: {choice: {The Seal: lip}}", "small letters"),
        ("target: 12 lbf*ft", "target: [12]", "a number and a unit written as text"),
        ("target: 12 lbf*ft", "target: 12", "is not a number followed by a unit"),
        ("target: 12 lbf*ft", "target: 11", "is not a number followed by a unit"),
        ("target: 12 lbf*ft", "target: 1.5.5 N*m", "is not a number followed by a unit"),
        ("target: 12 lbf*ft", "target: 1/0 lbf*ft", "divides by zero"),
        ("unit: lbf*ft, res", "unit: ft-lb, res", "'ft-lb' is not a known unit"),
        ("say: felt ring}", "say: Felt 9}", "spoken words in small letters"),
        ("say: felt ring}", "says: felt ring}", "did you mean 'say'"),
        ("revision: C", "revision: Rev C", "one to eight capital letters or digits"),
        ("kind: wait, ", "", "'kind' is missing"),
        ("kind: wait", "kind: pause", "is unknown; use one of: caution"),
        ("kind: wait", "kind: [wait]", "is unknown"),
        ("kind: wait", "kind: cure", "did you mean 'wait'"),
        ("duration: 30 min", "duration: 30", "such as '30 min'"),
        ("duration: 30 min", "time: 30 min", "did you mean 'duration'"),
    ],
)
def test_a_slip_is_told_in_a_mechanics_words(
    tmp_path: Path, old: str, new: str, words: str
) -> None:
    assert old in SOUND
    text = SOUND.replace(old, new)
    found = faults_of(write(tmp_path, text))
    assert any(words in f.message for f in found), [str(f) for f in found]
    assert all(f.line == line_of(text, new or "{id: cure") for f in found), [str(f) for f in found]
    for fault in found:
        for word in ("pydantic", "validation", "Input should", "NoneType", "dict", "tuple"):
            assert word not in fault.message
