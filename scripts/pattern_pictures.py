"""Draws the pictures of tightening patterns in docs/guide/patterns.md.

python -m scripts.pattern_pictures
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from assistant.quantities.amount import parse_amount  # noqa: E402
from assistant.quantities.patterns import Pattern, pattern_order  # noqa: E402
from assistant.report.lines.tightening import PassLine, TightenedLine, TighteningLine  # noqa: E402
from assistant.report.torque_map import torque_map  # noqa: E402

FOLDER = ROOT / "docs" / "pictures"
SHOWN: dict[Pattern, int] = {"cross": 16, "star": 5, "ring": 8, "spiral": 10, "two_row": 10}
"""Pattern and number of fasteners of each picture."""


def drawn(pattern: Pattern, count: int) -> str:
    """One pass in a pattern as SVG, drawn as the record draws it: number inside, turn outside."""
    torque = parse_amount("20 N*m")
    labels = [f"bolt {number}" for number in range(1, count + 1)]
    done = [
        TightenedLine(fastener=labels[place], order=turn, at="", torque=torque)
        for turn, place in enumerate(pattern_order(pattern, count), start=1)
    ]
    line = TighteningLine(
        step="", tool="", pattern=pattern, given=labels, target=torque, tolerance=None,
        angle=None, thread="dry", lubricant="",
    )  # fmt: skip
    one = PassLine(number=1, torque=torque, announced_at="", tightened=done)
    own = '<svg xmlns="http://www.w3.org/2000/svg" style="background:#fff"'
    return torque_map(line, one).svg.replace("<svg", own, 1) + "\n"


def main() -> None:
    """Write every picture."""
    for pattern, count in SHOWN.items():
        path = FOLDER / f"pattern-{pattern.replace('_', '-')}.svg"
        path.write_text(drawn(pattern, count), encoding="utf-8")


if __name__ == "__main__":
    main()
