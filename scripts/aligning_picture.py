"""Draws docs/pictures/guide-aligning.svg: the dials and distances of a shaft alignment.

python -m scripts.aligning_picture
"""

from __future__ import annotations

from pathlib import Path

FILE = Path(__file__).parents[1] / "docs" / "pictures" / "guide-aligning.svg"
_STYLE = (
    'xmlns="http://www.w3.org/2000/svg" viewBox="0 0 800 370" style="background:#fff" '
    'font-family="sans-serif" font-size="15" stroke-width="2" fill="none" stroke="#222"'
)
_TEXT = 'fill="#111" stroke="none"'


def box(x: int, y: int, wide: int, high: int, fill: str = "#e8e8e4") -> str:
    """A part of a machine."""
    return f'<rect x="{x}" y="{y}" width="{wide}" height="{high}" fill="{fill}"/>'


def word(x: int, y: int, text: str, anchor: str = "middle") -> str:
    """A label."""
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}" {_TEXT}>{text}</text>'


def line(*points: tuple[int, int]) -> str:
    """A line through points."""
    return f'<polyline points="{" ".join(f"{x},{y}" for x, y in points)}"/>'


def dial(x: int, y: int) -> str:
    """The face of a dial with its hand."""
    return f'<circle cx="{x}" cy="{y}" r="17" fill="#fff"/>' + line((x, y), (x + 6, y - 11))


def distance(left: int, right: int, y: int, text: str) -> str:
    """A dimension line between two places."""
    ends = "".join(line((x, y - 6), (x, y + 6)) for x in (left, right))
    return line((left, y), (right, y)) + ends + word((left + right) // 2, y - 6, text)


def drawn() -> str:
    """The pump stays on the left, the motor moves on the right."""
    rim, front, back = 322, 490, 700
    parts = [
        box(60, 130, 130, 110), word(125, 190, "pump, stays"),
        box(190, 176, 90, 18), box(280, 140, 22, 90, "#cfcfc8"),
        box(310, 140, 24, 90, "#cfcfc8"), box(334, 176, 136, 18),
        box(470, 120, 260, 120), word(600, 185, "motor, moves"),
        box(front - 16, 240, 32, 14, "#b8b8b0"), box(back - 16, 240, 32, 14, "#b8b8b0"),
        line((40, 240), (210, 240)), line((450, 254), (760, 254)),
        # the bracket, clamped on the pump half, with a dial on the rim and one on the face
        line((291, 140), (291, 62), (rim, 62), (rim, 84)),
        dial(rim, 100), line((rim, 117), (rim, 140)),
        word(rim + 26, 106, "rim dial: offset", "start"),
        line((291, 230), (291, 268), (372, 268), (372, 237)), dial(372, 220),
        line((355, 220), (334, 220)), word(332, 286, "face dial: slope"),
        word(291, 52, "bracket"),
        distance(rim, front, 318, "to the front feet"),
        distance(rim, back, 350, "to the back feet"),
    ]  # fmt: skip
    body = "\n".join(parts)
    return f"<svg {_STYLE}>\n{body}\n</svg>\n"


if __name__ == "__main__":
    FILE.write_text(drawn(), encoding="utf-8")
