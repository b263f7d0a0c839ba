"""The bench inventory file, and its faults in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.cli.bench_file import BenchError, load_bench

GOOD = """
tools:
  - {id: dial, kind: dial_indicator, name: Dial, unit: thou, resolution: 0.1 thou,
     calibration_due: 2027-05-01}
"""


def test_a_good_inventory(tmp_path: Path) -> None:
    path = tmp_path / "bench.yaml"
    path.write_text(GOOD, encoding="utf-8")
    (tool,) = load_bench(path).tools
    assert (tool.id, str(tool.calibration_due)) == ("dial", "2027-05-01")


def test_the_shipped_example() -> None:
    path = Path(__file__).parent.parent.parent / "docs" / "examples" / "kettlebeck_bench.yaml"
    assert load_bench(path).tools


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("tools: [", "YAML cannot be read"),
        ("tools: 3", "tools"),
        (GOOD.replace("0.1 thou", "0.1 mm2"), "unit"),
        (GOOD.replace("resolution: 0.1 thou", "resolution: 0 thou"), "above zero"),
        (GOOD + GOOD.replace("tools:\n", ""), "twice"),
        ("", "is empty"),
        ("3", "whole file"),
        ("- a: &x {b: 1}", "anchor"),
        (GOOD.replace("0.1 thou,", "0.1 thou, usable_from: 1E-99999999,"), "decimal"),
        (GOOD.replace("kind:", 'note: "\\e[2J", kind:'), "control code"),
    ],
)
def test_faults_are_told_in_one_sentence(text: str, told: str, tmp_path: Path) -> None:
    path = tmp_path / "bench.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BenchError, match=told) as caught:
        load_bench(path)
    assert str(caught.value).startswith(str(path))
    assert "\n" not in str(caught.value)


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BenchError, match="cannot be read"):
        load_bench(tmp_path / "no.yaml")
