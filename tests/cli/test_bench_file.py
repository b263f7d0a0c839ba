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


def test_a_set_may_list_sizes_alone(tmp_path: Path) -> None:
    path = tmp_path / "bench.yaml"
    path.write_text(
        "tools:\n  - {id: f, kind: feeler, name: F, unit: mm, resolution: 0.05 mm,\n"
        "     members: [0.1 mm, {size: 0.2 mm, count: 2}]}\n",
        encoding="utf-8",
    )
    (tool,) = load_bench(path).tools
    assert [(str(m.size), m.count) for m in tool.members] == [("0.1 mm", 1), ("0.2 mm", 2)]


def test_the_shipped_example() -> None:
    path = Path(__file__).parent.parent.parent / "docs" / "examples" / "kettlebeck_bench.yaml"
    assert load_bench(path).tools


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("tools: [", "YAML cannot be read"),
        ("tools: 3", "The key 'tools' must be a list"),
        ("gauges: []\ntools: []", "holds 'tools' and nothing else"),
        (GOOD.replace("name:", "nam:"), ":3: The key 'name' is missing in tool 'dial'"),
        (GOOD.replace("name:", "name: D, colour:"), "The key 'colour' is unknown in tool 'dial'"),
        (
            GOOD.replace("name:", "reslution: 1 thou, name:"),
            "did you mean 'resolution'",
        ),
        (GOOD.replace("unit:", "members: [{sise: 1 mm}], unit:"), "The key 'size' is missing"),
        (GOOD.replace("unit:", "members: [3 furlongs], unit:"), "furlongs"),
        (GOOD.replace("0.1 thou", "0.1 mm2"), "unit"),
        (GOOD.replace("2027-05-01", "next May"), "year-month-day, such as"),
        (GOOD.replace("0.1 thou,", "0.1 thou, usable_from: 2,"), "must be under 1"),
        (GOOD.replace("resolution: 0.1 thou", "resolution: 0 thou"), "above zero"),
        (GOOD + GOOD.replace("tools:\n", ""), "twice"),
        ("", "is empty"),
        ("3", "holds 'tools' and nothing else"),
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
