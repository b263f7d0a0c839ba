"""Contrast of every pair of colours that carries words, by the formula of WCAG 2.1, 1.4.3."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import assistant.board.page

CSS = (Path(assistant.board.page.__file__).parent / "board.css").read_text(encoding="utf-8")
PAIRS = [
    ("ink", "paper"),
    ("ink", "panel"),
    ("faint", "paper"),
    ("faint", "panel"),
    ("paper", "ink"),
    ("panel", "ink"),
    ("on-caution", "caution"),
    ("on-out", "out"),
    ("on-hold", "hold"),
    ("on-doubt", "doubt"),
    ("on-calm", "calm"),
]


def colours(selector: str) -> dict[str, str]:
    """The custom colours that a rule sets, over those of the light look."""
    rule = re.search(re.escape(selector) + r" \{([^}]*)\}", CSS)
    assert rule is not None, selector
    return dict(re.findall(r"--([\w-]+): (#[0-9a-f]+);", rule[1]))


def luminance(colour: str) -> float:
    """Relative luminance of a hexadecimal colour, as WCAG 2.1 defines it."""
    digits = colour[1:] if len(colour) == 7 else "".join(c * 2 for c in colour[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, between 1 and 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_ends() -> None:
    # WCAG 2.1, definition of contrast ratio: 21 for black on white, 1 for equal colours.
    assert contrast("#000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#777777") == pytest.approx(1)


@pytest.mark.parametrize("look", ["light", "dark", "contrast"])
@pytest.mark.parametrize(("front", "back"), PAIRS)
def test_words_reach_level_aa(look: str, front: str, back: str) -> None:
    base = colours(":root")
    chosen = base if look == "light" else base | colours(f':root[data-look="{look}"]')
    least = 7.0 if look == "contrast" else 4.5
    assert contrast(chosen[front], chosen[back]) >= least


@pytest.mark.parametrize("look", ["dark", "contrast"])
def test_the_look_asked_for_is_the_look_preferred(look: str) -> None:
    media = "prefers-color-scheme: dark" if look == "dark" else "prefers-contrast: more"
    inside = CSS[CSS.index(f"@media ({media})") :]
    rule = re.search(r":root:not\(\[data-look\]\) \{([^}]*)\}", inside)
    assert rule is not None
    preferred = dict(re.findall(r"--([\w-]+): (#[0-9a-f]+);", rule[1]))
    assert preferred == colours(f':root[data-look="{look}"]')


def test_a_look_sets_colours_and_edges_and_nothing_else() -> None:
    """``test_looks`` tries the rules that do not look at colours in one of them."""
    looks = re.findall(r":root(?:\[data-look=[^]]*\]|:not\(\[data-look\]\)) \{([^}]*)\}", CSS)
    assert len(looks) == 4  # two that are asked for, and the same two as the tablet has them
    assert CSS.count("data-look") == len(looks)
    for look in looks:
        names = re.findall(r"([\w-]+):", look)
        assert names
        assert all(name.startswith("--") for name in names)
